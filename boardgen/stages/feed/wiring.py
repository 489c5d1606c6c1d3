"""The feed in one of three arrangements, and the blocking capacitors that it makes compulsory."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import INNER, OUTER, Use, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.common import placed, two_pin

RAIL = "feed rail"


def fitted(request: Request, strip: Strip) -> bool:
    """Only where the strip asks for a feed."""
    return strip.feed is not None


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """Chokes, rail capacitors, and blocking capacitors in series with what follows."""
    arrangement = {
        "plain": _plain,
        "local rail": _local_rail,
        "common-mode choked": _common_mode_choked,
    }[request.spec.switching.feed_arrangement]
    uses = arrangement(strip, choices)
    blocking, inward = _blocking(strip, choices)
    return Wiring((*uses, *blocking), inward)


def _choke(strip: Strip, choices: Choices, slot: str, outer: str, inner: str) -> Use:
    subject = Subject(strip.label, "feed", slot)
    part = choices.part("choke", subject)
    return two_pin(subject, part, part.value, outer, inner, strip.fitted)


def _plain(strip: Strip, choices: Choices) -> list[Use]:
    centre, braid = OUTER
    return [
        _choke(strip, choices, "centre choke", "feed", centre),
        _choke(strip, choices, "braid choke", braid, "0V"),
    ]


def _local_rail(strip: Strip, choices: Choices) -> list[Use]:
    centre, braid = OUTER
    return [
        _choke(strip, choices, "centre choke", RAIL, centre),
        *_rail_capacitors(strip, choices),
        _choke(strip, choices, "supply choke", "feed", RAIL),
        _choke(strip, choices, "braid choke", braid, "0V"),
    ]


def _common_mode_choked(strip: Strip, choices: Choices) -> list[Use]:
    centre, braid = OUTER
    subject = Subject(strip.label, "feed", "bifilar choke")
    # the feed current enters winding A at its start and comes back through B from its end: the fluxes cancel
    joins = {
        "winding A start": "feed",
        "winding A end": RAIL,
        "winding B start": "0V",
        "winding B end": braid,
    }
    return [
        _choke(strip, choices, "centre choke", RAIL, centre),
        *_rail_capacitors(strip, choices),
        placed(subject, choices.part("choke", subject), joins, strip.fitted),
    ]


def _rail_capacitors(strip: Strip, choices: Choices) -> list[Use]:
    _, braid = OUTER
    subject = Subject(strip.label, "feed", "rail")
    part = choices.part("rail capacitor", subject)
    count = round(choices.choice("rail capacitor", subject).chosen / part.figures["capacitance"].value)
    return [
        two_pin(Subject(strip.label, "feed", f"rail {n}"), part, part.value, RAIL, braid, strip.fitted)
        for n in range(1, count + 1)
    ]


def _blocking(strip: Strip, choices: Choices) -> tuple[list[Use], tuple[str, str]]:
    """One capacitor before a transformer, since its winding would short the feed; without one, both conductors."""
    part = choices.part("blocking capacitor", Subject(strip.label, "feed", "blocking"))

    def block(slot: str, outer: str, inner: str) -> Use:
        return two_pin(Subject(strip.label, "feed", slot), part, part.value, outer, inner, strip.fitted)

    centre = block("blocking centre", OUTER[0], INNER[0])
    if strip.braid_breaker:
        return [centre], (INNER[0], OUTER[1])
    return [centre, block("blocking braid", OUTER[1], INNER[1])], INNER

"""Relays with their commons towards the antenna and their normally open contacts towards the bus."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import INNER, OUTER, Use, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.common import drain, placed, two_pin
from boardgen.stages.selector import coil

MIDDLE = ("middle centre", "middle braid")
IDLE = ("idle centre", "idle braid")


def fitted(request: Request, strip: Strip) -> bool:
    """Every antenna has a selector, unless a port is through at rest; the output has none."""
    return not strip.is_output and request.spec.switching.rest is None


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """Relays, what an idle antenna is left on, and the parts about each coil."""
    cascade = request.spec.switching.relays_in_series == 2
    uses = _relay(request, strip, choices, 1, OUTER, MIDDLE if cascade else INNER, _idle_nets(strip))
    if cascade:
        # an idle middle pair is shorted and held at 0V
        uses += _relay(request, strip, choices, 2, MIDDLE, INNER, ("0V", "0V"))
    uses += _terminated(request, strip, choices) if strip.idle == "terminated" else _open(request, strip, choices)
    return Wiring((*uses, *coil.line_uses(request, strip, choices)), INNER)


def _idle_nets(strip: Strip) -> tuple[str, str] | None:
    return IDLE if strip.idle == "terminated" else None


def _relay(
    request: Request,
    strip: Strip,
    choices: Choices,
    number: int,
    commons: tuple[str, str],
    opened: tuple[str, str],
    closed: tuple[str, str] | None,
) -> list[Use]:
    subject = Subject(strip.label, "selector", f"relay {number}")
    part = choices.part("relay", Subject("", "selector", "relay"))
    plus, minus = coil.nets(request)
    joins = {"coil +": plus, "coil -": minus}
    for index, pole in enumerate("AB"):
        joins[f"pole {pole} common"] = commons[index]
        joins[f"pole {pole} normally open"] = opened[index]
        if closed:
            joins[f"pole {pole} normally closed"] = closed[index]
    return [placed(subject, part, joins, strip.fitted), *coil.relay_uses(request, strip, choices, number)]


def _bleeder(request: Request, strip: Strip, choices: Choices, slot: str, net: str, to: str) -> Use:
    part = choices.part("bleeder", Subject("", "board", "bleeder"))
    return two_pin(Subject(strip.label, "selector", slot), part, part.value, net, to, strip.fitted)


def _terminated(request: Request, strip: Strip, choices: Choices) -> list[Use]:
    """Z0 between the idle conductors; split with its middle on 0V where a transformer allows it."""
    subject = Subject(strip.label, "selector", "termination")
    part = choices.part("termination", subject)
    centre, braid = IDLE
    if strip.braid_breaker:
        return [
            two_pin(
                Subject(strip.label, "selector", "termination centre"), part, part.value, centre, "0V", strip.fitted
            ),
            two_pin(Subject(strip.label, "selector", "termination braid"), part, part.value, braid, "0V", strip.fitted),
        ]
    return [
        two_pin(subject, part, part.value, centre, braid, strip.fitted),
        _bleeder(request, strip, choices, "idle bleeder", braid, drain(request)),
    ]


def _open(request: Request, strip: Strip, choices: Choices) -> list[Use]:
    """Bleeders on the pair; one is enough where a winding joins its conductors."""
    braid = _bleeder(request, strip, choices, "braid bleeder", OUTER[1], drain(request))
    if strip.braid_breaker:
        return [braid]
    return [_bleeder(request, strip, choices, "centre bleeder", OUTER[0], drain(request)), braid]

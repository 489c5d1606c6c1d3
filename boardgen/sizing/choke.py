"""The feed chokes of each arrangement: impedance over the band after tolerance, current, common-mode target."""

from __future__ import annotations

import math
from collections.abc import Iterator

from boardgen.model.choice import Choice, Subject
from boardgen.model.outcome import Outcome, choice, gather, shortfall
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.request import Request, candidates, has_pattern, pin_of, standing_of
from boardgen.sizing import rules
from boardgen.sizing.choke_model import Judged, judge
from boardgen.spec import quantity
from boardgen.spec.strip import Strip

SOURCE = "handbook/reactance.py (L, C, R model of a choke); the ratios are a design rule of this program"

SLOTS = {
    "plain": ("centre choke", "braid choke"),
    "local rail": ("centre choke", "supply choke", "braid choke"),
    "common-mode choked": ("centre choke",),
}
"""Single chokes of each arrangement. Those after the centre choke lie between the braid and the supply pair."""
IN_COMMON_MODE_PATH = {
    "plain": ("centre choke", "braid choke"),
    "local rail": ("supply choke", "braid choke"),
    "common-mode choked": (),
}


def chokes(request: Request) -> Outcome:
    """The single chokes of every strip with a feed."""
    arrangement = request.spec.switching.feed_arrangement
    return gather(
        _outcome(request, strip, slot, arrangement)
        for strip in request.strips
        if strip.feed is not None
        for slot in SLOTS[arrangement]
    )


def _outcome(request: Request, strip: Strip, slot: str, arrangement: str) -> Outcome:
    subject = Subject(strip.label, "feed", slot)
    targeted = slot in IN_COMMON_MODE_PATH[arrangement] and arrangement != "plain"
    best = next((j for j in _judged(request, slot) if _short(request, strip, j, targeted) <= 1), None)
    if best is None and targeted:
        # prediction judges the target; the rule is what a choke must meet
        meeting = [j for j in _judged(request, slot) if _short(request, strip, j, targeted=False) <= 1]
        best = max(meeting, key=lambda j: (has_pattern(j.part), j.common_mode_ohm), default=None)
    if best is None:
        best = min(_judged(request, slot), key=lambda j: _short(request, strip, j, targeted=False), default=None)
    if best is None:
        found = "no choke on offer has all the figures needed"
        raise InputError([Problem("V111 choke", "error", Place(key=str(subject)), found)])
    short = _short(request, strip, best, targeted=False) > 1
    problems = (_problem(request, strip, subject, best),) if short else ()
    return Outcome(tuple(_story(request, strip, subject, best, targeted)), (best.part,), problems)


def _judged(request: Request, slot: str) -> Iterator[Judged]:
    band = request.spec.band
    target_hz = request.spec.targets.common_mode.to_hz or band.highest
    found = (judge(part, band.lowest, band.highest, target_hz) for part in _offered(request, slot))
    return (judged for judged in found if judged)


def _offered(request: Request, slot: str) -> tuple[Part, ...]:
    pin = "choke" if slot == "centre choke" else pin_of(request, "supply_choke", "choke")
    return candidates(request, "choke", pin)


def _short(request: Request, strip: Strip, judged: Judged, targeted: bool) -> float:
    """How far the worst rule is missed: 1 or less where all are met."""
    current = strip.feed.current if strip.feed else 0.0
    ratios = [
        rules.CHOKE_LOWEST_RATIO * strip.impedance / judged.lowest_ohm,
        rules.CHOKE_BAND_RATIO * strip.impedance / judged.band_ohm,
        current / judged.part.figures["rated current"].value,
    ]
    if targeted:
        # two such chokes lie in parallel between the braid and the supply pair
        ratios.append(2 * request.spec.targets.common_mode.value / judged.common_mode_ohm)
    return max(ratios)


def _story(request: Request, strip: Strip, subject: Subject, judged: Judged, targeted: bool) -> list[Choice]:
    band, part, z0 = request.spec.band, judged.part, strip.impedance
    standing = standing_of(part.figures["inductance"], part.figures["self resonance"])
    angular = 2 * math.pi * band.lowest
    values = [
        choice(
            "choke",
            subject,
            "at least",
            rules.CHOKE_LOWEST_RATIO * z0 / angular,
            judged.lowest_ohm / angular,
            chosen=part.figures["inductance"].value,
            basis="worst of tolerance, with self resonance",
            formula="|Z| >= 15 Z0 at the lowest frequency, Z = (R + j w L) || C || Q w L",
            source=SOURCE,
            standing=standing,
            at_hz=band.lowest,
            part=part.key,
            next_limit=f"self resonance {part.figures['self resonance'].value / 1e6:.3g} MHz",
        ),
        choice(
            "choke impedance",
            subject,
            "at least",
            rules.CHOKE_BAND_RATIO * z0,
            judged.band_ohm,
            basis="worst of tolerance",
            formula="|Z| >= 8 Z0 over the band",
            source=SOURCE,
            standing=standing,
            at_hz=judged.band_hz,
            part=part.key,
        ),
    ]
    if targeted and judged.common_mode_hz:
        values.append(
            choice(
                "common-mode impedance",
                subject,
                "at least",
                request.spec.targets.common_mode.value,
                judged.common_mode_ohm / 2,
                basis="chokes alone, worst of tolerance; judged by prediction, not here",
                formula="|Z|/2 of two equal chokes in parallel",
                source=SOURCE,
                standing=standing,
                at_hz=judged.common_mode_hz,
                part=part.key,
            )
        )
    return values


def _problem(request: Request, strip: Strip, subject: Subject, best: Judged) -> Problem:
    band, part, z0 = request.spec.band, best.part, strip.impedance
    current = strip.feed.current if strip.feed else 0.0
    rated = part.figures["rated current"].value
    if current > rated:
        asked, has = (quantity.format(amperes, "A") for amperes in (current, rated))
        found = f"no choke on offer carries {asked} and meets the band; {part.number} is rated {has}"
        return shortfall("V110 choke", subject, found, "", "Lower the feed current, or add a choke to the catalogue.")
    lowest, highest, binding = (quantity.format(f, "Hz") for f in (band.lowest, band.highest, best.band_hz))
    found = (
        f"no choke on offer meets {lowest} to {highest}; {part.number} has {best.lowest_ohm:.0f} ohm at the lowest "
        f"frequency and {best.band_ohm:.0f} ohm at {binding}"
    )
    lowest_ohm, band_ohm = rules.CHOKE_LOWEST_RATIO * z0, rules.CHOKE_BAND_RATIO * z0
    henry = quantity.format(lowest_ohm / (2 * math.pi * band.lowest), "H", 3)
    farad = quantity.format(1 / (2 * math.pi * band.highest * band_ohm), "F", 3)
    wanted = f"{lowest_ohm:.0f} ohm and {band_ohm:.0f} ohm are needed"
    hint = f"A choke of {henry} after tolerance with at most {farad} would do; so would a narrower band."
    return shortfall("V110 choke", subject, found, wanted, hint)

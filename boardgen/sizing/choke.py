"""The feed chokes of each arrangement, by their impedance over the band, their current and the common-mode target.

Rules, worst of tolerance: |Z| >= 15 Z0 at the lowest frequency and >= 8 Z0 over the band; two of different kind in
series across the line may not resonate below that. A choke is an inductance with its direct resistance, its capacitance
from the self resonance, and a loss from its quality: Z = (R + j w L) || C || Q w L.
Source: handbook/reactance.py; the ratios are design rules of this program.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from boardgen.handbook import reactance
from boardgen.model.choice import Choice, Subject
from boardgen.model.choices import Choices
from boardgen.model.outcome import Outcome, choice, gather, shortfall
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.request import Request, has_pattern, needed, pin_of, standing_of
from boardgen.sizing import rules
from boardgen.sizing.preference import one_for_all, preferred
from boardgen.spec import quantity
from boardgen.spec.strip import Strip

SOURCE = "L, C, R model of a choke; the ratios are a design rule of this program"

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
ASSUMED_QUALITY = 30.0
"""Q of a choke whose sheet gives none: assumed, the low end of the drum chokes in the catalogue."""
POINTS, RESONANCE_POINTS = 121, 401
"""Frequencies at which a choke is judged, and two in series, whose dip is narrow."""


def chokes(request: Request) -> Outcome:
    """The single chokes of every strip with a feed."""
    arrangement = request.spec.switching.feed_arrangement
    request = _with_one_kind(request, arrangement)
    return gather(
        _outcome(request, strip, slot, arrangement)
        for strip in request.strips
        if strip.feed is not None
        for slot in SLOTS[arrangement]
    )


def _with_one_kind(request: Request, arrangement: str) -> Request:
    """The request with one choke pinned for every place, where one suits all and nothing else was asked for."""
    parts = request.spec.parts
    fed = [strip for strip in request.strips if strip.feed is not None]
    if not fed or {"choke", "supply_choke"} & {*parts.pinned, *request.kept}:
        return request

    def fits(strip: Strip, slot: str) -> Callable[[Part], bool]:
        of_part = {judged.part.key: judged for judged in _judged(request, slot)}
        targeted = _is_targeted(slot, arrangement)
        return lambda part: part.key in of_part and _short(request, strip, of_part[part.key], targeted) <= 1

    # strips of one impedance and current ask for the same
    unlike = {(s.impedance, s.feed.current if s.feed else 0.0): s for s in fed}.values()
    places = [fits(strip, slot) for strip in unlike for slot in SLOTS[arrangement]]
    one = one_for_all(request, _offered(request, "centre choke"), places)
    if one is None:
        return request
    return replace(request, spec=request.spec.model_copy(update={"parts": parts.model_copy(update={"choke": one.key})}))


def _is_targeted(slot: str, arrangement: str) -> bool:
    """Whether the common-mode target hangs on a choke there."""
    return slot in IN_COMMON_MODE_PATH[arrangement] and arrangement != "plain"


def _outcome(request: Request, strip: Strip, slot: str, arrangement: str) -> Outcome:
    subject = Subject(strip.label, "feed", slot)
    targeted = _is_targeted(slot, arrangement)
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
    return Outcome(tuple(_choices(request, strip, subject, best, targeted)), (best.part,), problems)


def _judged(request: Request, slot: str) -> Iterator[Judged]:
    band = request.spec.band
    target_hz = request.spec.targets.common_mode.to_hz or band.highest
    found = (judge(part, band.lowest, band.highest, target_hz) for part in _offered(request, slot))
    return (judged for judged in found if judged)


def _offered(request: Request, slot: str) -> tuple[Part, ...]:
    pin = "choke" if slot == "centre choke" else pin_of(request, "supply_choke", "choke")
    return preferred(request, "choke", pin)


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


def _choices(request: Request, strip: Strip, subject: Subject, judged: Judged, targeted: bool) -> list[Choice]:
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
            formula=f"|Z| >= {rules.CHOKE_LOWEST_RATIO:g} Z0 at the lowest frequency, Z = (R + j w L) || C || Q w L",
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
            formula=f"|Z| >= {rules.CHOKE_BAND_RATIO:g} Z0 over the band",
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


class Judged(Struct, frozen=True):
    """A choke over the band: least impedance at the lowest frequency and anywhere, worst of its tolerance.

    `common_mode_ohm` is the least impedance as far up as the common-mode target reaches, at `common_mode_hz`;
    infinite and None where the target ends below the band.
    """

    part: Part
    lowest_ohm: float
    band_ohm: float
    band_hz: float
    common_mode_ohm: float
    common_mode_hz: float | None


def impedance(part: Part, frequency_hz: float, inductance_h: float) -> complex:
    """Impedance of a choke in ohm, at hertz, with that inductance in henries in the place of its nominal one.

    Its nominal self resonance gives the capacitance, its quality the loss.
    """
    quality = part.figures["quality"].value if "quality" in part.figures else ASSUMED_QUALITY
    loss_ohm = quality * reactance.inductive(frequency_hz, inductance_h)
    dc_ohm = part.figures["dc resistance"].value
    return reactance.choke_impedance(frequency_hz, inductance_h, dc_ohm, _capacitance(part), loss_ohm)


@functools.lru_cache(1024)
def judge(part: Part, lowest_hz: float, highest_hz: float, target_hz: float) -> Judged | None:
    """The choke between two frequencies in hertz; None where the catalogue lacks a figure that is needed.

    The common-mode impedance is judged up to `target_hz`. Cost: 121 points for each choke on offer, kept.
    """
    if needed(part, "inductance", "self resonance", "dc resistance", "rated current") is None:
        return None
    reach_hz = min(target_hz, highest_hz)
    common = _least(part, lowest_hz, reach_hz) if reach_hz >= lowest_hz else (math.inf, None)
    return Judged(part, _worst(part, lowest_hz), *_least(part, lowest_hz, highest_hz), *common)


def _worst(part: Part, frequency_hz: float) -> float:
    """Least |Z| over the tolerance of the inductance."""
    inductance = part.figures["inductance"]
    return min(abs(impedance(part, frequency_hz, henry)) for henry in (inductance.least, inductance.most))


def _least(part: Part, lowest_hz: float, highest_hz: float) -> tuple[float, float]:
    """Least |Z| between two frequencies over the tolerance, and where it is."""
    return min((_worst(part, f), f) for f in log_spaced(lowest_hz, highest_hz, POINTS))


@functools.lru_cache(1024)
def _capacitance(part: Part) -> float:
    return reactance.resonant_capacitance(part.figures["inductance"].value, part.figures["self resonance"].value)


@functools.cache
def log_spaced(low: float, high: float, count: int) -> tuple[float, ...]:
    """`count` values from low to high, both ends exact, evenly spaced on a log axis."""
    step = math.log(high / low) / (count - 1)
    return (low, *(low * math.exp(step * n) for n in range(1, count - 1)), high)


def least_impedance_ohm(first: Part, second: Part, lowest_hz: float, highest_hz: float) -> tuple[float, float]:
    """Least |Z| of the two in series over the band, and its frequency in Hz."""
    frequencies = log_spaced(lowest_hz, highest_hz, RESONANCE_POINTS)
    henries = [part.figures["inductance"].value for part in (first, second)]
    return min((abs(impedance(first, f, henries[0]) + impedance(second, f, henries[1])), f) for f in frequencies)


def series_resonance(request: Request, choices: Choices) -> tuple[Problem, ...]:
    """A shortfall for each strip whose two unlike chokes in series across the line resonate in the band.

    Only the plain arrangement has two in series. Between the self resonances of both one is a capacitance and the other
    still an inductance: together they may short the signal.
    """
    if request.spec.switching.feed_arrangement != "plain":
        return ()
    problems = []
    band = request.spec.band
    for strip in (s for s in request.strips if s.feed):
        subject = Subject(strip.label, "feed", "centre choke")
        first, second = (choices.part("choke", Subject(strip.label, "feed", slot)) for slot in SLOTS["plain"])
        ohm, at_hz = least_impedance_ohm(first, second, band.lowest, band.highest)
        limit = rules.CHOKE_BAND_RATIO * strip.impedance
        if first.key != second.key and ohm < limit:
            found = f"{first.number} and {second.number} in series resonate: {ohm:.0f} ohm at {at_hz / 1e6:.3g} MHz"
            hint = "Take the same choke twice."
            problems.append(shortfall("V112 series resonance", subject, found, f"{limit:.0f} ohm are needed", hint))
    return tuple(problems)

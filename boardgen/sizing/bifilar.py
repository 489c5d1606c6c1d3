"""The bifilar choke of the common-mode choked feed.

Rule: its common-mode impedance, worst of tolerance, is at least 15 Z0 as far up as the common-mode target reaches, and
meets the target where one on offer does. Source: handbook/reactance.py (L, C model); the ratio is a design rule of this
program.
"""

from __future__ import annotations

import math

from boardgen.handbook import reactance
from boardgen.model.choice import Subject
from boardgen.model.outcome import Outcome, choice, gather, shortfall
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.request import Request, needed, standing_of
from boardgen.sizing import rules
from boardgen.sizing.choke import log_spaced
from boardgen.sizing.preference import preferred
from boardgen.spec.strip import Strip

POINTS = 121
SOURCE = "L || C model; the parallel capacitance of a bifilar choke is assumed until measured"


def bifilar_chokes(request: Request) -> Outcome:
    """One for every strip with a feed in the common-mode choked arrangement."""
    if request.spec.switching.feed_arrangement != "common-mode choked":
        return Outcome()
    return gather(_outcome(request, strip) for strip in request.strips if strip.feed is not None)


def common_mode_ohm(part: Part, lowest_hz: float, highest_hz: float) -> tuple[float, float]:
    """Least common-mode impedance of a bifilar choke between two frequencies, over the tolerance of its inductance.

    Returns
    -------
    ohm, hertz
        The least |w L/(1 - w^2 L C)| of both ends of the tolerance, and where it lies.

    """
    inductance = part.figures["inductance"]
    capacitance = part.figures["parallel capacitance"].value

    def least(frequency_hz: float) -> float:
        return min(
            abs(reactance.effective_reactance(frequency_hz, henry, capacitance))
            for henry in (inductance.least, inductance.most)
        )

    return min((least(f), f) for f in log_spaced(lowest_hz, highest_hz, POINTS))


def _outcome(request: Request, strip: Strip) -> Outcome:
    subject = Subject(strip.label, "feed", "bifilar choke")
    band, target = request.spec.band, request.spec.targets.common_mode
    offered = [p for p in preferred(request, "bifilar choke", "bifilar_choke") if _complete(p)]
    if not offered:
        problem = Problem(
            "V121 bifilar choke", "error", Place(key=str(subject)), "none on offer has all the figures needed"
        )
        raise InputError([problem])
    current = strip.feed.current if strip.feed else 0.0
    carrying = [p for p in offered if p.figures["rated current"].value >= current]
    reach_hz = min(band.highest, target.to_hz or band.highest)
    targeted, upto = reach_hz >= band.lowest, max(reach_hz, band.lowest)
    needed_ohm = rules.CHOKE_LOWEST_RATIO * strip.impedance
    wanted = max(target.value, needed_ohm) if targeted else needed_ohm
    judged = {p.key: common_mode_ohm(p, band.lowest, upto) for p in offered}
    meeting = [p for p in carrying if judged[p.key][0] >= wanted]
    best = (meeting or sorted(carrying or offered, key=lambda p: -judged[p.key][0]))[0]
    ohm, at_hz = judged[best.key]
    value = choice(
        "choke",
        subject,
        "at least",
        needed_ohm / (2 * math.pi * at_hz),
        ohm / (2 * math.pi * at_hz),
        chosen=best.figures["inductance"].value,
        basis="common mode, worst of tolerance",
        formula=f"|Z_cm| >= {rules.CHOKE_LOWEST_RATIO:g} Z0 and the common-mode target",
        source=SOURCE,
        standing=standing_of(best.figures["inductance"], best.figures["parallel capacitance"]),
        at_hz=at_hz,
        part=best.key,
    )
    common_mode = choice(
        "common-mode impedance",
        subject,
        "at least",
        target.value,
        ohm,
        basis="choke alone, worst of tolerance; judged by prediction, not here",
        formula="|w L/(1 - w^2 L C)|",
        source=SOURCE,
        standing=value.standing,
        at_hz=at_hz,
        part=best.key,
    )
    problems = () if carrying and value.met else (_problem(subject, best, current, ohm, needed_ohm),)
    return Outcome((value, common_mode) if targeted else (value,), (best,), problems)


def _complete(part: Part) -> bool:
    figures = needed(part, "inductance", "parallel capacitance", "rated current", "dc resistance")
    return figures is not None and len(part.pins) == 4


def _problem(subject: Subject, best: Part, current: float, ohm: float, needed_ohm: float) -> Problem:
    found = (
        f"no bifilar choke on offer carries {current * 1e3:.4g} mA with enough impedance; {best.number} is rated "
        f"{best.figures['rated current'].value * 1e3:.4g} mA and has {ohm:.0f} ohm"
    )
    wanted = f"{needed_ohm:.0f} ohm are needed"
    return shortfall("V120 bifilar choke", subject, found, wanted, "Lower the feed current or take the local rail.")

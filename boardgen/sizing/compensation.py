"""Capacitors across the pair at both ends of a transformer, which meet its leakage: a low-pass section of the line."""

from __future__ import annotations

import math

from boardgen.handbook.compensation import end_capacitance_f, section_return_loss_db
from boardgen.model.choice import Subject
from boardgen.model.outcome import Outcome, choice, shortfall
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.model.transformer import Wound
from boardgen.request import Request, candidates, needed, standing_of
from boardgen.sizing import rules
from boardgen.spec import quantity
from boardgen.spec.strip import Strip
from boardgen.stages.braid_breaker import BOARD_END, PORT_END
from boardgen.stages.braid_breaker import NAME as STAGE

LEAST_RETURN_LOSS_DB = 14.0
"""What the leakage of one transformer may leave of the match, anywhere in its range: design rule of this program."""
BOARD_END_V = 50.0
"""Least rated voltage behind a transformer, which keeps surges of the coax to itself: design rule of this program."""
CENTRE_OF_STEP = 1.12
"""Preferred numbers of twelve a decade miss by no more than this."""


def compensation(request: Request, strip: Strip, wound: Wound) -> Outcome:
    """The capacitor at each end of a strip's transformer, and what the match is at worst with both."""
    z0, highest_hz = request.z0_ohm, request.spec.band.highest
    leakage_h = wound.leakage.value
    outcome, fitted = Outcome(), {}
    for end, series_h, end_ohm, volts, part_of in (
        (PORT_END, leakage_h, strip.impedance, _port_v(strip), "half of the leakage"),
        (BOARD_END, leakage_h + rules.BETWEEN_H, z0, BOARD_END_V, "half of the leakage, of relay and copper"),
    ):
        ideal_f = end_capacitance_f(series_h, z0, end_ohm)
        part = _nearest(request, ideal_f, volts)
        capacitance = part.figures["capacitance"]
        fitted[end] = capacitance.value * end_ohm / z0
        values = choice(
            "compensation capacitor",
            Subject(strip.label, STAGE, end),
            "at most",
            ideal_f * CENTRE_OF_STEP,
            capacitance.value,
            basis=part_of,
            formula="C = L/(2 Z0 Z_end), nearest on offer",
            source="constant-k section: handbook/compensation.py; the limit is half a step of preferred numbers",
            standing=standing_of(wound.leakage, capacitance),
            part=part.key,
            next_limit=f"ideal {ideal_f * 1e12:.3g} pF",
        )
        problems = () if values.met else (_too_large(values.subject, ideal_f, part),)
        outcome += Outcome((values,), (part,), problems)
    # the board's end also meets what lies behind it
    behind = fitted[BOARD_END] - end_capacitance_f(rules.BETWEEN_H, z0, z0)
    worst = min(
        section_return_loss_db(henry, fitted[PORT_END], max(0.0, behind), z0, highest_hz)
        for henry in (wound.leakage.least, leakage_h, wound.leakage.most)
    )
    story = choice(
        "compensated return loss",
        Subject(strip.label, STAGE, "transformer"),
        "at least",
        LEAST_RETURN_LOSS_DB,
        worst,
        basis="leakage anywhere in its range",
        formula="series L with C across the line at both ends",
        source="chain matrices: handbook/compensation.py",
        standing=wound.leakage.standing,
        at_hz=highest_hz,
    )
    return outcome + Outcome((story,), (), () if story.met else (_spread_too_wide(story.subject, worst),))


def _too_large(subject: Subject, ideal_f: float, part: Part) -> Problem:
    wanted = quantity.format(ideal_f, "F", 3)
    found = f"no capacitor on offer that keeps its value is as small as {wanted}; taken is {part.number}"
    return shortfall("V132 compensation", subject, found, "", "Add one to the catalogue, or leave compensation off.")


def _spread_too_wide(subject: Subject, worst_db: float) -> Problem:
    found = f"leakage may lie so far off that the compensated transformer alone leaves {worst_db:.1f} dB return loss"
    hint = "A lower highest frequency, or windings as a pair, spreads less."
    return shortfall("V133 leakage", subject, found, f"{LEAST_RETURN_LOSS_DB:g} dB are wanted", hint)


def _port_v(strip: Strip) -> float:
    return rules.SURGE_CAPACITOR_V if strip.surge else BOARD_END_V


def _nearest(request: Request, ideal_f: float, volts: float) -> Part:
    """The capacitor that keeps its value, bears the voltage and comes nearest; of equal ones the first."""
    steady = [p for p in candidates(request, "capacitor", "") if p.attributes.get("dielectric") == "C0G"]
    offered = [p for p in steady if needed(p, "capacitance", "rated voltage")]
    rated = [p for p in offered if p.figures["rated voltage"].value >= volts]
    return min(rated or offered, key=lambda p: abs(math.log(p.figures["capacitance"].value / ideal_f)))

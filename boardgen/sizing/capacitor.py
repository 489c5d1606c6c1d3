"""Blocking, rail and bypass capacitors: the smallest on offer whose reactance, after tolerance, is low enough.

Rules, at the lowest frequency: blocking X <= Z0/20, feed rail X <= 1 ohm (two in parallel may do), coil bypass
|X| <= 10 ohm; rated for 1.5 times the direct voltage, and for 250 V behind a gas tube.
Source: X = 1/(w C) (handbook/reactance.py); the limits are design rules of this program.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from boardgen.handbook import reactance
from boardgen.model.choice import Choice, Subject
from boardgen.model.outcome import Outcome, choice, shortfall
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.model.roles import RoleName
from boardgen.request import Request, candidates, figure_order, needed, standing_of
from boardgen.sizing import rules
from boardgen.spec import quantity

SOURCE = "X = 1/(w C), textbook; the limit is a design rule of this program"


class Need(NamedTuple):
    """What a capacitor must do: its role and limit, the voltage across it, and whether two in parallel are allowed."""

    role: RoleName
    subject: Subject
    limit_ohm: float
    volts: float
    pin: str
    two: bool
    formula: str


def capacitors(request: Request) -> Outcome:
    """Every capacitor of the board."""
    return sum((_outcome(request, need) for need in _needs(request)), Outcome())


def _needs(request: Request) -> Iterator[Need]:
    """Those beside each feed, one where each feed line comes in, and the bypasses of the coils."""
    direct_v = rules.CAPACITOR_VOLTAGE_RATIO * request.spec.control.supply.high
    blocking = f"X <= Z0/{1 / rules.BLOCKING_RATIO:g}"
    rail = f"X <= {rules.RAIL_REACTANCE_OHM:g} ohm"
    bypass = f"|X| <= {rules.BYPASS_REACTANCE_OHM:g} ohm"
    fed = [strip for strip in request.strips if strip.feed]
    for strip in fed:
        at = Subject(strip.label, "feed", "blocking")
        limit = rules.BLOCKING_RATIO * strip.impedance
        signal_v = max(direct_v, rules.SURGE_CAPACITOR_V if strip.surge else 0.0)
        yield Need("blocking capacitor", at, limit, signal_v, "blocking_capacitor", False, blocking)
        if request.spec.switching.feed_arrangement != "plain":
            at = Subject(strip.label, "feed", "rail")
            yield Need("rail capacitor", at, rules.RAIL_REACTANCE_OHM, direct_v, "rail_capacitor", True, rail)
    if fed:
        at = Subject("", "control entry", "feed decoupling")
        yield Need("rail capacitor", at, rules.RAIL_REACTANCE_OHM, direct_v, "rail_capacitor", False, rail)
    at = Subject("", "selector", "coil bypass")
    yield Need("bypass capacitor", at, rules.BYPASS_REACTANCE_OHM, direct_v, "", False, bypass)


def _outcome(request: Request, need: Need) -> Outcome:
    lowest = request.spec.band.lowest
    required = 1 / (2 * math.pi * lowest * need.limit_ohm)
    by_value = candidates(request, "capacitor", need.pin, figure_order("capacitance"))
    offered = [p for p in by_value if needed(p, "capacitance", "rated voltage")]
    rated = [p for p in offered if p.figures["rated voltage"].value >= need.volts]
    if not offered:
        problem = Problem(
            "V131 capacitor", "error", Place(key=str(need.subject)), "no capacitor on offer has its figures"
        )
        raise InputError([problem])
    for count in (1, 2) if need.two else (1,):
        for part in rated or offered:
            if count * part.figures["capacitance"].least >= required:
                problems = () if rated else (_problem(need, required, part),)
                return Outcome(tuple(_choices(need, lowest, required, part, count)), (part,), problems)
    count, part = (2 if need.two else 1), max(rated or offered, key=figure_order("capacitance"))
    return Outcome(tuple(_choices(need, lowest, required, part, count)), (part,), (_problem(need, required, part),))


def _choices(need: Need, lowest: float, required: float, part: Part, count: int) -> list[Choice]:
    capacitance, rated = part.figures["capacitance"], part.figures["rated voltage"]
    drift = "; X7R may drift 15 % more over temperature" if part.attributes.get("dielectric") == "X7R" else ""
    return [
        choice(
            need.role,
            need.subject,
            "at least",
            required,
            count * capacitance.least,
            chosen=count * capacitance.value,
            basis="worst of tolerance" + ("; two in parallel" if count == 2 else "") + drift,
            formula=need.formula,
            source=SOURCE,
            standing=standing_of(capacitance),
            at_hz=lowest,
            part=part.key,
            next_limit=f"{reactance.capacitive(lowest, count * capacitance.least):.3g} ohm at the lowest frequency",
        ),
        choice(
            "capacitor voltage",
            need.subject,
            "at least",
            need.volts,
            rated.value,
            basis="behind a gas tube" if need.volts == rules.SURGE_CAPACITOR_V else "highest supply",
            formula=f"rated >= {rules.CAPACITOR_VOLTAGE_RATIO:g} x direct voltage, "
            f"and {rules.SURGE_CAPACITOR_V:g} V where surges come",
            source=rules.DESIGN_RULE,
            standing=standing_of(rated),
            part=part.key,
        ),
    ]


def _problem(need: Need, required: float, part: Part) -> Problem:
    wanted = quantity.format(required, "F", 3)
    found = f"no capacitor on offer gives {wanted} after tolerance at {need.volts:.0f} V; taken is {part.number}"
    hint = "Raise the lowest frequency, or add a larger capacitor to the catalogue."
    return shortfall("V130 capacitor", need.subject, found, "", hint)

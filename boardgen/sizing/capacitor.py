"""Blocking, rail and bypass capacitors: the smallest on offer whose reactance, after tolerance, is low enough."""

from __future__ import annotations

import math
from typing import NamedTuple

from boardgen.handbook import reactance
from boardgen.model.choice import Choice, Subject
from boardgen.model.outcome import Outcome, choice, shortfall
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.request import Request, candidates, figure_order, needed, standing_of
from boardgen.sizing import rules
from boardgen.spec import quantity

SOURCE = "X = 1/(w C), textbook (handbook/reactance.py); the limit is a design rule of this program"


class Wish(NamedTuple):
    """What a capacitor must do: its role and limit, the voltage across it, and whether two in parallel are allowed."""

    role: str
    subject: Subject
    limit_ohm: float
    volts: float
    pin: str
    two: bool
    formula: str


def capacitors(request: Request) -> Outcome:
    """Every capacitor of the board."""
    return sum((_outcome(request, wish) for wish in _wishes(request)), Outcome())


def _wishes(request: Request) -> list[Wish]:
    wishes = []
    supply_v = request.spec.control.supply.high
    for strip in (s for s in request.strips if s.feed):
        at = Subject(strip.label, "feed", "blocking")
        limit = rules.BLOCKING_RATIO * strip.impedance
        signal_v = max(_direct_voltage(supply_v), rules.SURGE_CAPACITOR_V if strip.surge else 0.0)
        wishes.append(Wish("blocking capacitor", at, limit, signal_v, "blocking_capacitor", False, "X <= Z0/20"))
        if request.spec.switching.feed_arrangement != "plain":
            at = Subject(strip.label, "feed", "rail")
            rail_v = _direct_voltage(supply_v)
            wishes.append(
                Wish("rail capacitor", at, rules.RAIL_REACTANCE_OHM, rail_v, "rail_capacitor", True, "X <= 1 ohm")
            )
    if any(s.feed for s in request.strips):
        at = Subject("", "control entry", "feed decoupling")
        wishes.append(
            Wish(
                "rail capacitor",
                at,
                rules.RAIL_REACTANCE_OHM,
                _direct_voltage(supply_v),
                "rail_capacitor",
                False,
                "X <= 1 ohm",
            )
        )
    at = Subject("", "selector", "coil bypass")
    limit = rules.BYPASS_REACTANCE_OHM
    wishes.append(Wish("bypass capacitor", at, limit, _direct_voltage(supply_v), "", False, "|X| <= 10 ohm"))
    return wishes


def _direct_voltage(volts: float) -> float:
    return rules.CAPACITOR_VOLTAGE_RATIO * volts


def _outcome(request: Request, wish: Wish) -> Outcome:
    lowest = request.spec.band.lowest
    required = 1 / (2 * math.pi * lowest * wish.limit_ohm)
    by_value = candidates(request, "capacitor", wish.pin, figure_order("capacitance"))
    offered = [p for p in by_value if needed(p, "capacitance", "rated voltage")]
    rated = [p for p in offered if p.figures["rated voltage"].value >= wish.volts]
    if not offered:
        problem = Problem(
            "V131 capacitor", "error", Place(key=str(wish.subject)), "no capacitor on offer has its figures"
        )
        raise InputError([problem])
    for count in (1, 2) if wish.two else (1,):
        for part in rated or offered:
            if count * part.figures["capacitance"].least >= required:
                problems = () if rated else (_problem(wish, required, part),)
                return Outcome(tuple(_story(wish, lowest, required, part, count)), (part,), problems)
    count, part = (2 if wish.two else 1), max(rated or offered, key=figure_order("capacitance"))
    return Outcome(tuple(_story(wish, lowest, required, part, count)), (part,), (_problem(wish, required, part),))


def _story(wish: Wish, lowest: float, required: float, part: Part, count: int) -> list[Choice]:
    capacitance, rated = part.figures["capacitance"], part.figures["rated voltage"]
    drift = "; X7R may drift 15 % more over temperature" if part.attributes.get("dielectric") == "X7R" else ""
    return [
        choice(
            wish.role,
            wish.subject,
            "at least",
            required,
            count * capacitance.least,
            chosen=count * capacitance.value,
            basis="worst of tolerance" + ("; two in parallel" if count == 2 else "") + drift,
            formula=wish.formula,
            source=SOURCE,
            standing=standing_of(capacitance),
            at_hz=lowest,
            part=part.key,
            next_limit=f"{reactance.capacitive(lowest, count * capacitance.least):.3g} ohm at the lowest frequency",
        ),
        choice(
            "capacitor voltage",
            wish.subject,
            "at least",
            wish.volts,
            rated.value,
            basis="behind a gas tube" if wish.volts == rules.SURGE_CAPACITOR_V else "highest supply",
            formula="rated >= 1.5 x direct voltage, and 250 V where surges come",
            source=rules.DESIGN_RULE,
            standing=standing_of(rated),
            part=part.key,
        ),
    ]


def _problem(wish: Wish, required: float, part: Part) -> Problem:
    wanted = quantity.format(required, "F", 3)
    found = f"no capacitor on offer gives {wanted} after tolerance at {wish.volts:.0f} V; taken is {part.number}"
    hint = "Raise the lowest frequency, or add a larger capacitor to the catalogue."
    return shortfall("V130 capacitor", wish.subject, found, "", hint)

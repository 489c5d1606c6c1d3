"""Resistors of the attenuator in the output: preferred numbers, and what they make of loss and match.

Source: handbook/attenuator.py; the limits are design rules of this program.
"""

from __future__ import annotations

from itertools import product

from boardgen.catalogue.series import Series
from boardgen.handbook import attenuator
from boardgen.model.choice import Subject
from boardgen.model.outcome import Outcome, choice, gather, shortfall
from boardgen.model.part import Part
from boardgen.request import Request
from boardgen.sizing import rules
from boardgen.sizing.resistors import SOURCE, TOLERANCE, nearest
from boardgen.stages.attenuator import name_of

FORMULAS = {
    "shunt": "Z0 (K + 1)/(K - 1) with K = 10^(L/20), to the nearest preferred number",
    "series": "Z0 (K^2 - 1)/(2 K) with K = 10^(L/20), to the nearest preferred number",
}


def attenuators(request: Request) -> Outcome:
    """Every step of the attenuator in the output."""
    steps = request.spec.output.attenuator
    return gather(_step(request, name_of(number), loss_db) for number, loss_db in enumerate(steps, 1))


def _step(request: Request, name: str, wanted_db: float) -> Outcome:
    """The resistors of a step, its loss with them, and the least return loss that their tolerance leaves.

    Rules: preferred numbers; the loss is off by no more than ATTENUATION_SHARE of it.
    """
    z0 = request.z0_ohm
    outcome = Outcome()
    parts = {}
    for slot, ohm in zip(FORMULAS, attenuator.pi_ohm(wanted_db, z0), strict=True):
        part = parts[slot] = _resistor(request, ohm)
        value = choice(
            "resistance",
            Subject("", name, slot),
            "equal",
            ohm,
            _ohm(part),
            formula=FORMULAS[slot],
            source=f"textbook (recalled); {SOURCE}",
            standing="computed",
            part=part.key,
        )
        outcome += Outcome((value,), (part,))
    return outcome + _judged(Subject("", name, "step"), wanted_db, z0, _ohm(parts["shunt"]), _ohm(parts["series"]))


def _ohm(part: Part) -> float:
    return part.figures["resistance"].value


def _resistor(request: Request, ohm: float) -> Part:
    """The nearest on offer, which below the least of all series is that."""
    least = min(s.lowest_ohm for s in request.catalogue.resistors if isinstance(s, Series))
    return nearest(request, max(ohm, least))


def _judged(subject: Subject, wanted_db: float, z0: float, shunt: float, series: float) -> Outcome:
    """What the resistors make of the loss and of the match."""
    loss_db = attenuator.loss_db(shunt, series, z0)
    ends = (1 - TOLERANCE, 1 + TOLERANCE)
    match_db = min(attenuator.return_loss_db(shunt * one, series * other, z0) for one, other in product(ends, repeat=2))
    source = "textbook (recalled)"
    loss = choice(
        "attenuation", subject, "equal", wanted_db, loss_db, formula="chain matrix of shunt, series, shunt",
        source=source, standing="computed",
    )  # fmt: skip
    match = choice(
        "attenuator return loss", subject, "at least", rules.ATTENUATOR_RETURN_LOSS_DB, match_db,
        basis="worst of tolerance", formula="the input with the other end in Z0", source=source, standing="computed",
    )  # fmt: skip
    off_db = abs(loss_db - wanted_db)
    if off_db <= rules.ATTENUATION_SHARE * wanted_db and match.met:
        return Outcome((loss, match))
    problem = shortfall(
        "V154 attenuator",
        subject,
        f"the resistors on offer make {loss_db:.2f} dB with {match_db:.1f} dB of return loss",
        f"{wanted_db:g} dB within {rules.ATTENUATION_SHARE:.0%} and {rules.ATTENUATOR_RETURN_LOSS_DB:g} dB are needed",
        "Ask for a larger loss, or add smaller resistors to the catalogue.",
    )
    return Outcome((loss, match), (), (problem,))

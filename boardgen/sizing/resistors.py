"""Terminations of idle antennas, bleeders, and resistors of lamps: preferred numbers of 1 % film.

Source: IEC 60063 (handbook/preferred.py), handbook/lamp.py; the ratios are design rules of this program.
"""

from __future__ import annotations

from boardgen.catalogue.series import Series
from boardgen.handbook import lamp, preferred
from boardgen.model.choice import Choice, Subject
from boardgen.model.outcome import Outcome, choice, gather, shortfall
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.request import Request
from boardgen.sizing import rules
from boardgen.spec.strip import Strip

SOURCE = "IEC 60063 preferred numbers"
TOLERANCE = 0.01


def resistors(request: Request) -> Outcome:
    """Terminations of every terminated strip, and the bleeder of the board.

    Rules: a termination is Z0 to the nearest preferred number; a bleeder is at least 1000 Z0 and 10 times the
    common-mode target, so that it costs neither.
    """
    return gather([_bleeder(request), *(_termination(request, s) for s in request.antennas if s.idle == "terminated")])


def nearest(request: Request, ohm: float) -> Part:
    """The resistor nearest to a value: E24 where it has it within 1 %, else E96."""
    return request.catalogue.resistor(_near(ohm))


def _near(ohm: float) -> float:
    common = preferred.nearest(ohm, "E24")
    return common if abs(common / ohm - 1) <= TOLERANCE else preferred.nearest(ohm, "E96")


def _termination(request: Request, strip: Strip) -> Outcome:
    """Between the idle conductors: Z0, as two halves with their middle on 0V or one resistor."""
    subject = Subject(strip.label, "selector", "termination")
    z0 = request.z0_ohm if strip.braid_breaker else strip.impedance
    halves = 2 if strip.split_termination else 1
    part = nearest(request, z0 / halves)
    total = part.figures["resistance"].value * halves
    value = choice(
        "termination",
        subject,
        "equal",
        z0,
        total,
        basis="two halves with their middle on 0V" if strip.split_termination else "one resistor",
        formula="R = Z0 between the conductors, to the nearest preferred number",
        source=SOURCE,
        standing="computed",
        part=part.key,
    )
    return Outcome((value,), (part,))


def _bleeder(request: Request) -> Outcome:
    """High enough to cost neither signal nor common-mode impedance."""
    subject = Subject("", "board", "bleeder")
    z0 = max(strip.impedance for strip in request.strips)
    required = max(
        rules.BLEEDER_RATIO * max(z0, request.z0_ohm),
        rules.BLEEDER_COMMON_MODE_RATIO * request.spec.targets.common_mode.value,
    )
    most = max(s.highest_ohm for s in request.catalogue.resistors if isinstance(s, Series))
    wanted = preferred.at_least(required / (1 - TOLERANCE), "E24")
    part = request.catalogue.resistor(wanted if wanted <= most else preferred.at_most(most, "E24"))
    value = choice(
        "bleeder",
        subject,
        "at least",
        required,
        part.figures["resistance"].value * (1 - TOLERANCE),
        chosen=part.figures["resistance"].value,
        basis="worst of tolerance",
        formula=f"R >= {rules.BLEEDER_RATIO:g} Z0 and >= {rules.BLEEDER_COMMON_MODE_RATIO:g} x the common-mode target",
        source=f"{SOURCE}; ratios: {rules.DESIGN_RULE}",
        standing="computed",
        part=part.key,
    )
    return Outcome((value,), (part,), () if value.met else (_short(value),))


def _short(bleeder: Choice) -> Problem:
    found = f"the largest resistor on offer, {bleeder.chosen:.3g} ohm, is too small for a bleeder"
    hint = "Lower targets.common_mode, or add a larger resistor to the catalogue."
    return shortfall("V136 bleeder", bleeder.subject, found, f"{bleeder.required:.3g} ohm are needed", hint)


def indicator_resistor(request: Request, indicator: Part) -> Outcome:
    """The resistor of every lamp: at most 2 mA at the highest supply; nothing without lamps."""
    if not request.spec.control.indicators:
        return Outcome()
    forward = indicator.figures["forward voltage"]
    required = lamp.series_resistor_ohm(request.spec.control.supply.high, forward.value, rules.INDICATOR_A)
    part = request.catalogue.resistor(preferred.at_least(required, "E24"))
    value = choice(
        "indicator",
        Subject("", "selector", "indicator resistor"),
        "at least",
        required,
        part.figures["resistance"].value,
        basis="highest supply",
        formula=f"R = (V - V_F)/{rules.INDICATOR_A * 1e3:g} mA",
        source=f"Ohm's law; {rules.INDICATOR_A * 1e3:g} mA assumed",
        standing=forward.standing,
        part=part.key,
    )
    return Outcome((value,), (part,))

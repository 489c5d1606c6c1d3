"""The diodes about a coil."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.sizing.cable import ohm_per_m
from boardgen.sizing.candidates import candidates, needed, standing_of
from boardgen.sizing.outcome import Outcome, warning
from boardgen.sizing.request import Request
from boardgen.sizing.story import choice

REVERSE_RATIO = 1.5
"""Least reverse voltage of a diode over the highest supply."""


def series_diode(request: Request) -> tuple[Outcome, Part | None]:
    """The diode with the least drop whose reverse voltage suffices; none where reversal is not guarded against."""
    if not request.spec.protection.reverse:
        return Outcome(), None
    subject = Subject("", "selector", "series diode")
    required = REVERSE_RATIO * request.spec.control.supply.high
    offered = [
        p for p in candidates(request, "diode", "series_diode") if needed(p, "forward voltage", "reverse voltage")
    ]
    fitting = [p for p in offered if p.figures["reverse voltage"].value >= required] or offered
    part = min(fitting, key=lambda p: p.figures["forward voltage"].value)
    value = choice(
        "series diode",
        subject,
        "at least",
        required,
        part.figures["reverse voltage"].value,
        basis="highest supply reversed",
        formula="reverse voltage >= 1.5 x supply; least forward drop",
        source="common practice, no source",
        standing=standing_of(part.figures["reverse voltage"], part.figures["forward voltage"]),
        part=part.key,
        next_limit=f"drops {part.figures['forward voltage'].value:.2f} V of the line",
    )
    return Outcome((value,), (part,)), part


def flyback_diode(request: Request, relay: Part) -> Outcome:
    """Carries the coil's current when it is switched off; without a series diode also that of a reversed line."""
    subject = Subject("", "selector", "flyback diode")
    control = request.spec.control
    coil_a = control.supply.high / relay.figures["coil resistance"].least
    reversed_a = _reversed_a(request)
    required = coil_a if request.spec.protection.reverse else max(coil_a, reversed_a)
    offered = [
        p for p in candidates(request, "diode", "flyback_diode") if needed(p, "rated current", "reverse voltage")
    ]
    fitting = [
        p
        for p in offered
        if p.figures["rated current"].value >= required
        and p.figures["reverse voltage"].value >= REVERSE_RATIO * control.supply.high
    ]
    part = fitting[0] if fitting else max(offered, key=lambda p: p.figures["rated current"].value)
    value = choice(
        "flyback diode",
        subject,
        "at least",
        required,
        part.figures["rated current"].value,
        basis="coil current at the highest supply"
        if request.spec.protection.reverse
        else "line reversed at its source",
        formula="rated current >= V/R",
        source="textbook (recalled)",
        standing=standing_of(part.figures["rated current"]),
        part=part.key,
    )
    problems: tuple[Problem, ...] = ()
    if not request.spec.protection.reverse:
        found = f"a reversed line drives {reversed_a:.2g} A through the flyback diode, and more over a shorter cable"
        problems = (
            warning("V161 reversed line", subject, found, "Set protection.reverse = true, and fuse the source."),
        )
    return Outcome((value,), (part,), problems)


def _reversed_a(request: Request) -> float:
    """Current through a forward flyback diode on a cold cable of the stated length, amperes."""
    control = request.spec.control
    loop = control.length * ohm_per_m(control.cable) * (2 if request.low_side else 1 + 1 / control.returns)
    return (control.supply.high - 0.7) / loop

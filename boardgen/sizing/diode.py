"""The diodes about a coil: in series against a reversed line, and across it against what it induces.

Source: textbook (recalled); the ratio of reverse voltage is common practice.
"""

from __future__ import annotations

from boardgen.handbook import coil, data_cable
from boardgen.model.choice import Subject
from boardgen.model.outcome import Outcome, choice, shortfall, warning
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.request import Request, candidates, figure_order, needed, standing_of
from boardgen.sizing.cable import ohm_per_m

FORWARD_V = 0.7
"""Drop of a flyback diode that a reversed line drives: assumed, a silicon diode."""
REVERSE_RATIO = 1.5
"""Least reverse voltage of a diode over the highest supply."""


def series_diode(request: Request) -> tuple[Outcome, Part | None]:
    """The diode of least drop in series with each control line; None where reversal is not guarded against.

    Rule: its reverse voltage is at least 1.5 times the highest supply.
    """
    if not request.spec.protection.reverse:
        return Outcome(), None
    subject = Subject("", "selector", "series diode")
    required = REVERSE_RATIO * request.spec.control.supply.high
    by_drop = candidates(request, "diode", "series_diode", figure_order("forward voltage"))
    offered = [p for p in by_drop if needed(p, "forward voltage", "reverse voltage")]
    fitting = [p for p in offered if p.figures["reverse voltage"].value >= required]
    part = fitting[0] if fitting else max(offered, key=figure_order("reverse voltage"))
    value = choice(
        "series diode",
        subject,
        "at least",
        required,
        part.figures["reverse voltage"].value,
        basis="highest supply reversed",
        formula=f"reverse voltage >= {REVERSE_RATIO:g} x supply; least forward drop",
        source="common practice, no source",
        standing=standing_of(part.figures["reverse voltage"], part.figures["forward voltage"]),
        part=part.key,
        next_limit=f"drops {part.figures['forward voltage'].value:.2f} V of the line",
    )
    problems = () if value.met else (_reverse_problem(subject, part, required),)
    return Outcome((value,), (part,), problems), part


def _reverse_problem(subject: Subject, part: Part, required: float) -> Problem:
    found = f"{part.number} bears {part.figures['reverse voltage'].value:.0f} V in reverse"
    return shortfall("V162 reverse voltage", subject, found, f"{required:.0f} V are needed", "Pin a higher diode.")


def flyback_diode(request: Request, relay: Part) -> Outcome:
    """The diode across each coil, which carries the coil's current when it is switched off.

    Rule: its rated current is at least that of the coldest coil at the highest supply. Where no series diode guards
    against a reversed line, one that bears that line's current is preferred, and a warning says what flows.
    """
    subject = Subject("", "selector", "flyback diode")
    control = request.spec.control
    required = control.supply.high / coil.resistance_at(relay.figures["coil resistance"].least, control.coldest)
    reversed_a = reversed_line_a(request)
    wished = required if request.spec.protection.reverse else max(required, reversed_a)
    offered = [
        p for p in candidates(request, "diode", "flyback_diode") if needed(p, "rated current", "reverse voltage")
    ]
    reverse_v = REVERSE_RATIO * control.supply.high
    bearing = [p for p in offered if p.figures["reverse voltage"].value >= reverse_v]
    fitting = [p for p in bearing if p.figures["rated current"].value >= wished]
    part = fitting[0] if fitting else max(bearing or offered, key=figure_order("rated current"))
    value = choice(
        "flyback diode",
        subject,
        "at least",
        required,
        part.figures["rated current"].value,
        basis="coil current at the highest supply and the coldest",
        formula="rated current >= V/R",
        source="textbook (recalled)",
        standing=standing_of(part.figures["rated current"]),
        part=part.key,
    )
    problems = [] if part in bearing else [_reverse_problem(subject, part, reverse_v)]
    if not value.met:
        found = f"{part.number} carries {value.achieved:.2g} A"
        problems.append(
            shortfall("V160 flyback diode", subject, found, f"{required:.2g} A are needed", "Pin a larger diode.")
        )
    if not request.spec.protection.reverse:
        rated_a = value.achieved
        found = f"a reversed line drives {reversed_a:.2g} A through the flyback diode, which is rated {rated_a:.2g} A"
        problems.append(
            warning("V161 reversed line", subject, found, "Set protection.reverse = true, and fuse the source.")
        )
    return Outcome((value,), (part,), tuple(problems))


def reversed_line_a(request: Request) -> float:
    """Current in amperes that a reversed line drives forward through a flyback diode, on the cold cable as it is."""
    control = request.spec.control
    one = data_cable.at_temperature(ohm_per_m(control.cable), control.coldest)
    loop = control.length * one * (2 if request.low_side else 1 + 1 / control.returns)
    return (control.supply.high - FORWARD_V) / loop

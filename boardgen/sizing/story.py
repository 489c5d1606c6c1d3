"""Writes the story of a choice: unit from the table of roles, margin from what was achieved."""

from __future__ import annotations

from boardgen.model.choice import Bound, Choice, Subject
from boardgen.model.figure import Standing
from boardgen.model.roles import ROLES


def choice(
    role: str,
    subject: Subject,
    bound: Bound,
    required: float,
    achieved: float,
    *,
    formula: str,
    source: str,
    standing: Standing,
    chosen: float | None = None,
    basis: str = "nominal",
    at_hz: float | None = None,
    part: str = "",
    next_limit: str = "",
) -> Choice:
    """A choice in a role of the closed table. `chosen` is what was achieved unless it is given."""
    return Choice(
        role=role,
        subject=subject,
        required=required,
        unit=ROLES[role].unit,
        bound=bound,
        chosen=achieved if chosen is None else chosen,
        achieved=achieved,
        basis=basis,
        formula=formula,
        source=source,
        standing=standing,
        at_hz=at_hz,
        part=part,
        margin=_margin(bound, required, achieved),
        next_limit=next_limit,
    )


def _margin(bound: Bound, required: float, achieved: float) -> float | None:
    if bound == "at least":
        return achieved / required if required > 0 else None
    return required / achieved if achieved > 0 else None

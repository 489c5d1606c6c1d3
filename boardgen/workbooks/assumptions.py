"""Which figures of the parts on a board are not certain, and what to check before money is spent."""

from __future__ import annotations

from collections.abc import Iterable

from boardgen.model.figure import STANDINGS, Figure
from boardgen.model.part import Part
from boardgen.spec import quantity
from boardgen.workbooks.shared_sheets import AssumptionRow

_CERTAIN = ("read", "measured")


def assumption_rows(parts: Iterable[Part]) -> tuple[AssumptionRow, ...]:
    """Every figure that was neither read nor measured, the least certain first."""
    rows = [
        AssumptionRow(part.name, name, _value(figure), figure.standing, figure.source)
        for part in _distinct(parts)
        for name, figure in part.figures.items()
        if figure.standing not in _CERTAIN
    ]
    return tuple(sorted(rows, key=lambda row: -STANDINGS.index(row.standing)))


def sentences_to_verify(parts: Iterable[Part]) -> tuple[str, ...]:
    """What the parts ask to have checked before ordering, each with the part it is about."""
    found = [f"{part.name}: {sentence}" for part in _distinct(parts) for sentence in part.verify]
    return tuple(dict.fromkeys(found))


def _distinct(parts: Iterable[Part]) -> Iterable[Part]:
    return {part.key: part for part in parts}.values()


def _value(figure: Figure) -> str:
    text = quantity.format(figure.value, figure.unit)
    if figure.low is None and figure.high is None:
        return text
    return f"{text} ({quantity.format(figure.least, figure.unit)} to {quantity.format(figure.most, figure.unit)})"

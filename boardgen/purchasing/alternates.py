"""Reads which parts may be bought in the place of others. What stands there was approved by the user, not by us.

UTF-8 text, comma-separated, with a heading row; the columns may stand in any order:

part       catalogue key of the part wanted
alternate  catalogue key of the part that may be bought in its place
source     who approved it and why

One row an alternate; a row holds in its own direction only.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.model.figure import Figure
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.purchasing.fields import FieldError
from boardgen.purchasing.order import Difference
from boardgen.purchasing.table import Table
from boardgen.spec import quantity

COLUMNS = ("part", "alternate", "source")


class Approval(Struct, frozen=True):
    """`alternate` may be bought in the place of `part`; both are catalogue keys."""

    part: str
    alternate: str
    source: str = ""
    file: str = ""
    line: int | None = None


def read_approvals(text: str, file_name: str) -> tuple[tuple[Approval, ...], tuple[Problem, ...]]:
    """The approvals in a file, and what is wrong with it. A pair that stands twice counts once."""
    table = Table("alternate", file_name, COLUMNS, ())
    found: dict[tuple[str, str], Approval] = {}

    def read(cells: Mapping[str, str], line: int) -> Approval:
        if cells["part"] == cells["alternate"]:
            raise FieldError(found=f"{cells['part']} in the place of itself", wanted="two parts")
        return Approval(cells["part"], cells["alternate"], cells["source"], file_name, line)

    for row in table.rows(text, read):
        found.setdefault((row.part, row.alternate), row)
    return tuple(found.values()), table.sorted_problems


def differences(wanted: Part, other: Part) -> tuple[Difference, ...]:
    """Value, footprint, attributes, figures and pins, as far as either states them and they are not alike."""
    plain = [("kind", wanted.kind, other.kind), ("value", wanted.value, other.value)]
    plain.append(("footprint", wanted.footprint, other.footprint))
    names = dict.fromkeys((*wanted.attributes, *other.attributes))
    plain += [(name, wanted.attributes.get(name, ""), other.attributes.get(name, "")) for name in names]
    figures = dict.fromkeys((*wanted.figures, *other.figures))
    plain += [(name, _text(wanted.figures.get(name)), _text(other.figures.get(name))) for name in figures]
    roles = dict.fromkeys((*wanted.pins, *other.pins))
    plain += [(f"pin of {role}", wanted.pins.get(role, ""), other.pins.get(role, "")) for role in roles]
    return tuple(Difference(name, one, two) for name, one, two in plain if one != two)


def _text(figure: Figure | None) -> str:
    return "" if figure is None else quantity.format(figure.value, figure.unit)

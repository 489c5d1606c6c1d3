"""Parts that may be bought in the place of others: reads what the user approved, and says in what they differ.

What stands in the table was approved by the user, not by us. A row holds in its own direction only.
"""

from __future__ import annotations

from typing import Annotated

from msgspec import Struct

from boardgen.model.figure import Figure
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.purchasing.makers_numbers import NO_KEYS, Keys
from boardgen.purchasing.order import Difference
from boardgen.spec import quantity
from boardgen.tables.column import column
from boardgen.tables.csv_table import CsvKind, read_table
from boardgen.tables.fault import FieldError

_ALTERNATES = CsvKind(
    "alternate",
    others={
        "unit_price": "this is a table of prices: give it with --prices",
        "quantity": "this is a table of stock: give it with --stock",
    },
)


class AlternateRow(Struct, frozen=True):
    """One row an alternate."""

    part: Annotated[str, column("catalogue key of the part wanted, or its maker's number")]
    alternate: Annotated[str, column("catalogue key of the part that may be bought in its place")]
    source: Annotated[str, column("who approved it and why")]


class Approval(Struct, frozen=True):
    """`alternate` may be bought in the place of `part`; both are catalogue keys."""

    part: str
    alternate: str
    source: str = ""
    file: str = ""
    line: int | None = None


def read_approvals(text: str, file_name: str, keys: Keys = NO_KEYS) -> tuple[tuple[Approval, ...], tuple[Problem, ...]]:
    """The approvals in a table, and what is wrong with it. A pair that stands twice counts once.

    `keys` has catalogue keys by what else may stand for a part.
    """
    table = read_table(text, file_name, AlternateRow, _ALTERNATES, _check_two_parts)
    found: dict[tuple[str, str], Approval] = {}
    for line, row in table.rows:
        pair = keys.get(row.part, row.part), keys.get(row.alternate, row.alternate)
        found.setdefault(pair, Approval(*pair, row.source, file_name, line))
    return tuple(found.values()), table.problems


def _check_two_parts(row: AlternateRow) -> None:
    if row.part == row.alternate:
        raise FieldError(found=f"{row.part} in the place of itself", wanted="two parts")


def misfit(wanted: Part, other: Part) -> str:
    """Why a part cannot be soldered where another stands, "" where it can: another footprint, or a pin elsewhere."""
    if wanted.footprint != other.footprint:
        return f"its footprint is {other.footprint or 'unknown'}, not {wanted.footprint or 'unknown'}"
    moved = [role for role in wanted.pins if other.pins.get(role) != wanted.pins[role]]
    if not moved:
        return ""
    role = moved[0]
    more = f", and {len(moved) - 1} more pins" if len(moved) > 1 else ""
    return f"its {role} is pin {other.pins.get(role) or 'unknown'}, not {wanted.pins[role]}{more}"


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

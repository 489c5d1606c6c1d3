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

from boardgen.model.problem import Problem
from boardgen.purchasing.fields import FieldError
from boardgen.purchasing.table import Table

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

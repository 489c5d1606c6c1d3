"""The predicted response as a table: one row for each frequency and selected antenna."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence

from boardgen.files.harmless import harmless

Cells = Sequence[str] | Sequence[float] | Sequence[None]
"""A column: words, numbers, or nothing where the quantity does not exist."""


def response_csv(tables: Sequence[Mapping[str, Cells]]) -> bytes:
    """Tables of the same columns one below another: numbers with six digits; always the same bytes for the same cells.

    Written by columns, since each is all words or all numbers.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(tables[0])
    for table in tables:
        writer.writerows(zip(*map(_written, table.values()), strict=True))
    return text.getvalue().encode()


def _written(cells: Cells) -> list[str]:
    if not cells or cells[0] is None:
        return [""] * len(cells)
    return [harmless(cell) if isinstance(cell, str) else f"{cell:.6g}" for cell in cells]

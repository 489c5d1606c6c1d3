"""The predicted response as a table: one row for each frequency and selected antenna."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence

from boardgen.formats.harmless import harmless

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
    if isinstance(cells[0], str):
        plain = {word: harmless(str(word)) for word in set(cells)}
        return [plain[word] for word in cells]
    # one form for the whole column: to format its numbers one by one would take half as long again
    return ("|".join(["%.6g"] * len(cells)) % tuple(cells)).split("|")

"""The cost of a board over the number of boards, as one table of text.

UTF-8, comma-separated. Amounts are in the currency of the last column; `beside_goods` is freight, fees and tax;
`line_by_line` what a board would cost if each line were bought where it is cheapest, blank where that cannot be done.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from boardgen.formats.harmless import harmless
from boardgen.purchasing.cost_over_quantity import CostPoint

COLUMNS = (
    "boards",
    "cost_per_board",
    "total",
    "goods",
    "beside_goods",
    "suppliers",
    "line_by_line",
    "proven",
    "why",
    "currency",
)


def cost_csv(points: Sequence[CostPoint], currency: str) -> bytes:
    """One row a number of boards."""
    text = io.StringIO(newline="")
    table = csv.writer(text, lineterminator="\n")
    table.writerow(COLUMNS)
    table.writerows(_row(point, currency) for point in points)
    return text.getvalue().encode("utf-8", "replace")


def _row(point: CostPoint, currency: str) -> tuple[str, ...]:
    return (
        str(point.boards),
        str(point.per_board),
        str(point.total),
        str(point.goods),
        str(point.beside_goods),
        str(point.suppliers),
        "" if point.line_by_line is None else str(point.line_by_line),
        "yes" if point.optimal else "no",
        harmless("; ".join(point.causes)),
        currency,
    )

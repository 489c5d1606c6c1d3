"""The files of an order, as bytes by name."""

from __future__ import annotations

import re
from collections.abc import Sequence

from boardgen.documents.json.document import json_bytes
from boardgen.documents.json.order import order_document
from boardgen.documents.letters import with_letters
from boardgen.documents.order.request_for_quotation import request_page, request_text
from boardgen.documents.order.tables import cost_csv, stock_csv, supplier_csv
from boardgen.purchasing.cost_over_quantity import CostPoint
from boardgen.purchasing.order import Order
from boardgen.purchasing.quoted_order import bought_only
from boardgen.spec.label import ascii_name

LONGEST = 60
_NOT_PLAIN = re.compile("[^a-z0-9]+")


def purchase_files(order: Order, points: Sequence[CostPoint] = ()) -> dict[str, bytes]:
    """One table for each supplier, the request for quotation, the stock afterwards, and all of it as data.

    With `points`, also the cost over the number of boards as a table and a plot.
    """
    bought = bought_only(order)
    return {
        **{f"{name}.csv": supplier_csv(s) for name, s in zip(file_names(bought), bought.suppliers, strict=True)},
        "request-for-quotation.html": request_page(bought),
        "request-for-quotation.txt": request_text(bought),
        "stock-after.csv": stock_csv(order.stock),
        "order.json": json_bytes(order_document(order)),
        **_cost_files(order, points),
    }


def _cost_files(order: Order, points: Sequence[CostPoint]) -> dict[str, bytes]:
    if not points:
        return {}
    from boardgen.documents.plots.cost import cost_svg

    return {
        "cost-over-quantity.csv": cost_csv(points, order.currency),
        "cost-over-quantity.svg": with_letters(cost_svg(points, order.title, order.currency)).encode(),
    }


def file_names(order: Order) -> tuple[str, ...]:
    """A name for the order of each supplier, unlike all others: "order-1-some-supplier"."""
    return tuple(
        f"order-{n}-{_NOT_PLAIN.sub('-', ascii_name(s.supplier, n).lower())[:LONGEST].strip('-')}".rstrip("-")
        for n, s in enumerate(order.suppliers, 1)
    )

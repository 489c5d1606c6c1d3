"""An order as plain data, for --json and order.json."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from boardgen.documents import problems
from boardgen.purchasing.money import plain, price_text
from boardgen.purchasing.order import Order, OrderLine, SupplierOrder, UnboughtLine, WhereUsed

SCHEMA = "boardgen order 1"


def document(order: Order) -> dict[str, object]:
    """The order; amounts and quantities are texts, so that none loses a digit."""
    return {
        "schema": SCHEMA,
        "title": order.title,
        "currency": order.currency,
        "goal": order.goal,
        "ordered_on": _day(order.on),
        "wanted_by": _day(order.by),
        "boards": [{"title": b.title, "revision": b.revision, "boards": b.boards} for b in order.boards],
        "total": str(order.total),
        "goods": str(order.goods),
        "shipping": str(order.shipping),
        "order_fees": str(order.order_fees),
        "tax": str(order.tax),
        "line_by_line": {
            "total": None if order.line_by_line.total is None else str(order.line_by_line.total),
            "suppliers": order.line_by_line.suppliers,
            "reason": order.line_by_line.reason,
        },
        "proof": {
            "optimal": order.proof.optimal,
            "bound": str(order.proof.bound),
            "gap": str(order.proof.gap),
            "reason": order.proof.reason,
        },
        "rates": [
            {"from": r.currency, "to": order.currency, "rate": plain(r.rate), "as_of": _day(r.as_of)}
            for r in order.rates
        ],
        "suppliers": [_supplier(supplier) for supplier in order.suppliers],
        "unbought": [_unbought(line) for line in order.unbought],
        "not_fitted": [{"board": n.board, "refs": list(n.refs), "part": n.part.key} for n in order.not_fitted],
        "stock": [
            {
                "part": line.key,
                "before": plain(line.before),
                "bought": plain(line.bought),
                "used": plain(line.used),
                "left": plain(line.left),
            }
            for line in order.stock
        ],
        "reasons": list(order.reasons),
        "shortfalls": problems.as_json(problems.shortfalls(order.problems)),
        "warnings": problems.as_json(problems.warnings(order.problems)),
    }


def _supplier(order: SupplierOrder) -> dict[str, object]:
    return {
        "supplier": order.supplier,
        "currency": order.currency,
        "goods": str(order.goods),
        "shipping": str(order.shipping),
        "order_fee": str(order.order_fee),
        "tax": str(order.tax),
        "total": str(order.total),
        "in_order_currency": str(order.in_order_currency),
        "lead_days": order.lead_days,
        "explanation": order.explanation,
        "lines": [_line(line, order.currency) for line in order.lines],
    }


def _line(line: OrderLine, currency: str) -> dict[str, object]:
    return {
        "part": line.part.key,
        "order_code": line.order_code,
        "maker": line.maker,
        "number": line.number,
        "description": line.description,
        "quantity": plain(line.quantity),
        "unit": line.unit,
        "needed": plain(line.needed),
        "spares": plain(line.spares),
        "from_stock": plain(line.from_stock),
        "minimum": plain(line.minimum),
        "multiple": plain(line.multiple),
        "unit_price": price_text(line.unit_price, currency),
        "line_total": str(line.line_total),
        "lead_days": line.lead_days,
        "as_of": _day(line.as_of),
        "source": line.source,
        "invented": line.invented,
        "instead_of": [part.key for part in line.instead_of],
        "where_used": _uses(line.where_used),
        "explanation": line.explanation,
        "passed_over": line.passed_over,
        "note": line.note,
    }


def _unbought(line: UnboughtLine) -> dict[str, object]:
    return {
        "part": line.part.key,
        "needed": plain(line.needed),
        "spares": plain(line.spares),
        "from_stock": plain(line.from_stock),
        "unit": line.unit,
        "reason": line.reason,
        "where_used": _uses(line.where_used),
    }


def _uses(uses: tuple[WhereUsed, ...]) -> list[dict[str, object]]:
    return [
        {"board": u.board, "refs": list(u.refs), "per_board": _number(u.per_board), "quantity": _number(u.quantity)}
        for u in uses
    ]


def _number(number: Decimal) -> str:
    return plain(number)


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None

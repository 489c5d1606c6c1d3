"""order.json, and what `order` says: amounts and quantities are texts, so that none loses a digit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Annotated

from msgspec import UNSET, UnsetType, field

from boardgen.documents.json import document
from boardgen.documents.json.document import Problem, Record, says
from boardgen.purchasing import order as purchased
from boardgen.purchasing.money import plain, price_text
from boardgen.purchasing.quotes import OrderChange

Amount = Annotated[str, says("An amount of money.")]
Quantity = Annotated[str, says("A number of the unit.")]
Day = Annotated[str, says("A day: year, month, day.")]


class Boards(Record, frozen=True):
    """Boards of one kind."""

    title: str
    revision: str
    boards: int


class LineByLine(Record, frozen=True):
    """The same bought by the cheapest offer of each line by itself, to compare with."""

    total: Amount | None
    suppliers: int
    reason: Annotated[str, says("Why there is no total.")]


class Proof(Record, frozen=True):
    """How far the order may be from the best one."""

    optimal: bool
    bound: Annotated[str, says("No order costs less.")]
    gap: str
    reason: str
    not_looked_at: Annotated[tuple[str, ...], says("Suppliers of what is needed, whose currency has no rate.")]


class Rate(Record, frozen=True):
    """A rate of exchange."""

    from_: str = field(name="from")
    to: str
    rate: str
    as_of: Day | None


class Use(Record, frozen=True):
    """Where a part is used."""

    board: str
    refs: tuple[str, ...]
    per_board: Quantity
    quantity: Quantity


class Line(Record, frozen=True):
    """A part ordered from a supplier."""

    part: Annotated[str, says("Its key in the catalogue.")]
    order_code: str
    maker: str
    number: str
    description: str
    quantity: Quantity
    unit: str
    needed: Quantity
    spares: Quantity
    from_stock: Quantity
    minimum: Annotated[str, says("The supplier's least quantity.")]
    multiple: Annotated[str, says("The supplier's multiple.")]
    unit_price: Amount
    line_total: Amount
    lead_days: int | None
    as_of: Annotated[Day | None, says("The day of the price.")]
    source: Annotated[str, says("Where the price is from.")]
    invented: Annotated[bool, says("Whether the price is invented, for demonstration only.")]
    instead_of: Annotated[tuple[str, ...], says("Parts in whose place it is bought.")]
    where_used: tuple[Use, ...]
    explanation: str
    passed_over: Annotated[str, says("What was not taken, and why.")]
    note: str
    ordered_on: Annotated[Day | None, says("The day on which the buyer ordered it, as noted in the workbook.")]
    order_number: Annotated[str, says("The number of the buyer's order, as noted.")]
    received: Annotated[Quantity | None, says("How much came, as noted.")]
    remark: Annotated[str, says("What else the buyer noted.")]


class Supplier(Record, frozen=True):
    """What one supplier gets."""

    supplier: str
    currency: str
    goods: Amount
    shipping: Amount
    order_fee: Amount
    tax: Amount
    total: Amount
    in_order_currency: Amount
    lead_days: int | None
    explanation: str
    lines: tuple[Line, ...]


class Unbought(Record, frozen=True):
    """A part that cannot be bought."""

    part: str
    needed: Quantity
    spares: Quantity
    from_stock: Quantity
    unit: str
    reason: str
    where_used: tuple[Use, ...]


class NotFitted(Record, frozen=True):
    """Places of a board that stay empty."""

    board: str
    refs: tuple[str, ...]
    part: str


class Stock(Record, frozen=True):
    """A part in stock, before and after."""

    part: str
    before: Quantity
    bought: Quantity
    used: Quantity
    left: Quantity


class Change(Record, frozen=True):
    """What differs in a line or in the terms of a supplier."""

    supplier: str
    line: Annotated[int | None, says("The number of the line; null for terms.")]
    part: str | None
    what: str
    before: str
    now: str


class Order(Record, frozen=True, tag_field="schema", tag="boardgen order 1"):
    """An order for one or more kinds of board."""

    title: str
    currency: str
    goal: Annotated[str, says("What was made least.")]
    ordered_on: Day | None
    wanted_by: Day | None
    boards: tuple[Boards, ...]
    total: Amount
    goods: Amount
    shipping: Amount
    order_fees: Amount
    tax: Amount
    line_by_line: LineByLine
    proof: Proof
    rates: tuple[Rate, ...]
    suppliers: tuple[Supplier, ...]
    unbought: tuple[Unbought, ...]
    not_fitted: tuple[NotFitted, ...]
    stock: tuple[Stock, ...]
    reasons: tuple[str, ...]
    shortfalls: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    total_before: Annotated[Amount | UnsetType, says("The total before the quotes were entered.")] = UNSET
    entered: Annotated[tuple[Change, ...] | UnsetType, says("What was entered in the workbook.")] = UNSET
    since: Annotated[tuple[Change, ...] | UnsetType, says("What differs from an earlier order.")] = UNSET
    folder: Annotated[str | UnsetType, says("Where the files were written.")] = UNSET
    files: tuple[str, ...] | UnsetType = UNSET


def order_document(order: purchased.Order) -> Order:
    """The order alone."""
    alone = order.line_by_line
    return Order(
        title=order.title,
        currency=order.currency,
        goal=order.goal,
        ordered_on=_day(order.on),
        wanted_by=_day(order.by),
        boards=tuple(Boards(b.title, b.revision, b.boards) for b in order.boards),
        total=str(order.total),
        goods=str(order.goods),
        shipping=str(order.shipping),
        order_fees=str(order.order_fees),
        tax=str(order.tax),
        line_by_line=LineByLine(None if alone.total is None else str(alone.total), alone.suppliers, alone.reason),
        proof=Proof(
            order.proof.optimal, str(order.proof.bound), str(order.proof.gap), order.proof.reason, order.left_out
        ),
        rates=tuple(Rate(r.currency, order.currency, plain(r.rate), _day(r.as_of)) for r in order.rates),
        suppliers=tuple(map(_supplier, order.suppliers)),
        unbought=tuple(map(_unbought, order.unbought)),
        not_fitted=tuple(NotFitted(n.board, tuple(n.refs), n.part.key) for n in order.not_fitted),
        stock=tuple(Stock(s.key, plain(s.before), plain(s.bought), plain(s.used), plain(s.left)) for s in order.stock),
        reasons=tuple(order.reasons),
        shortfalls=document.shortfalls(order.problems),
        warnings=document.warnings(order.problems),
    )


def changes_document(changes: Iterable[OrderChange]) -> tuple[Change, ...]:
    """What was changed in an order."""
    return tuple(Change(c.supplier, c.line, c.key or None, c.what, c.before, c.after) for c in changes)


def _supplier(order: purchased.SupplierOrder) -> Supplier:
    return Supplier(
        supplier=order.supplier,
        currency=order.currency,
        goods=str(order.goods),
        shipping=str(order.shipping),
        order_fee=str(order.order_fee),
        tax=str(order.tax),
        total=str(order.total),
        in_order_currency=str(order.in_order_currency),
        lead_days=order.lead_days,
        explanation=order.explanation,
        lines=tuple(_line(line, order.currency) for line in order.lines),
    )


def _line(line: purchased.OrderLine, currency: str) -> Line:
    return Line(
        part=line.part.key,
        order_code=line.order_code,
        maker=line.maker,
        number=line.number,
        description=line.description,
        quantity=plain(line.quantity),
        unit=line.unit,
        needed=plain(line.needed),
        spares=plain(line.spares),
        from_stock=plain(line.from_stock),
        minimum=plain(line.minimum),
        multiple=plain(line.multiple),
        unit_price=price_text(line.unit_price, currency),
        line_total=str(line.line_total),
        lead_days=line.lead_days,
        as_of=_day(line.as_of),
        source=line.source,
        invented=line.invented,
        instead_of=tuple(one.wanted.key for one in line.instead_of),
        where_used=_uses(line.where_used),
        explanation=line.explanation,
        passed_over=line.passed_over,
        note=line.note,
        ordered_on=_day(line.progress.ordered_on),
        order_number=line.progress.order_number,
        received=None if line.progress.received is None else plain(line.progress.received),
        remark=line.progress.remark,
    )


def _unbought(line: purchased.UnboughtLine) -> Unbought:
    return Unbought(
        part=line.part.key,
        needed=plain(line.needed),
        spares=plain(line.spares),
        from_stock=plain(line.from_stock),
        unit=line.unit,
        reason=line.reason,
        where_used=_uses(line.where_used),
    )


def _uses(uses: Sequence[purchased.WhereUsed]) -> tuple[Use, ...]:
    return tuple(Use(u.board, tuple(u.refs), plain(u.per_board), plain(u.quantity)) for u in uses)


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None

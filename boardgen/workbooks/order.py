"""order.xlsx: an order to each supplier, with what a buyer asks of it, live formulas and their values."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from msgspec import Struct

from boardgen.catalogue import Catalogue
from boardgen.catalogue.to_verify import ToVerify, UncertainFigure, to_verify, uncertain_figures
from boardgen.circuit.windings import WindingRow
from boardgen.model.part import Part
from boardgen.purchasing.board_content import BoardContent
from boardgen.purchasing.demand import BoardNeeds
from boardgen.purchasing.money import plain, price_text
from boardgen.purchasing.order import Order, SupplierOrder, UnboughtLine, WhereUsed
from boardgen.purchasing.quotes import OrderChange, issue, reference
from boardgen.workbooks.cells import Number
from boardgen.workbooks.order_comparison import alternates_sheet, suppliers_sheet
from boardgen.workbooks.order_summary import board_counts, summary_sheet
from boardgen.workbooks.order_supplier import supplier_sheets, supplier_titles
from boardgen.workbooks.order_tracking import TITLE as TRACKING
from boardgen.workbooks.order_tracking import tracking_sheet
from boardgen.workbooks.order_where_used import short_parts, where_used_sheet
from boardgen.workbooks.shared_sheets import (
    FigureRow,
    WoundBoard,
    assumptions_sheet,
    windings_sheet,
)
from boardgen.workbooks.sheet import Block, Book, Column, Gap, Group, Heading, Line, Sheet, table
from boardgen.workbooks.write import workbook_file

NAME = "order.xlsx"
_BEFORE = ("Summary",)
_AFTER = (TRACKING, "Where used", "Suppliers", "Alternates", "Windings", "Assumptions", "Changes")
"""The titles of the sheets that stand before and after those of the suppliers."""


class ChangeLog(Struct, frozen=True):
    """What was entered in the workbook named `file`, or what is different from it."""

    file: str
    changes: tuple[OrderChange, ...]


class OrderContent(Struct, frozen=True):
    """Everything the workbook of an order shows.

    `windings` are those of each kind of board, as many as `order.boards`; `from_stock` are parts of which nothing has
    to be bought.
    """

    order: Order
    windings: tuple[tuple[WindingRow, ...], ...] = ()
    from_stock: tuple[UnboughtLine, ...] = ()
    assumptions: tuple[UncertainFigure, ...] = ()
    verify: tuple[ToVerify, ...] = ()
    entered: ChangeLog | None = None
    since: ChangeLog | None = None
    paper: str = "A4"


def order_workbook(
    order: Order,
    contents: Sequence[BoardContent],
    boards: Sequence[BoardNeeds],
    catalogue: Catalogue,
    entered: ChangeLog | None = None,
    since: ChangeLog | None = None,
) -> bytes:
    """The workbook as a file; `contents` are those of the order's boards, in their order.

    `boards` are what was asked for, lists of needs that are no board after the boards. `entered` is what was entered
    by hand in it before, `since` what is different from an earlier one.
    """
    bought = [line.part for line in order.lines]
    checks = [check for content in contents for check in to_verify(content.parts, catalogue)]
    content = OrderContent(
        order=order,
        windings=tuple(content.windings for content in contents),
        from_stock=_from_stock(order, boards),
        assumptions=uncertain_figures([*bought, *(part for content in contents for part in content.parts)]),
        verify=tuple({str(check): check for check in checks}.values()),
        entered=entered,
        since=since,
        paper=contents[0].paper,
    )
    return write_order(content)


def _from_stock(order: Order, boards: Sequence[BoardNeeds]) -> tuple[UnboughtLine, ...]:
    """The parts of which there is enough in hand, with the boards that they are for."""
    listed = {x.part.key for x in order.lines} | {x.part.key for x in order.unbought}
    stands_for: dict[str, list[str]] = {}
    for one in order.exchanges:
        stands_for.setdefault(one.part.key, []).append(one.wanted.key)
    return tuple(
        UnboughtLine(s.part, s.unit, s.used, Decimal(), s.used, _uses(s.part, boards, stands_for.get(s.key, [])), "")
        for s in order.stock
        if s.part and s.used and not s.bought and s.key not in listed
    )


def _uses(part: Part, boards: Sequence[BoardNeeds], stands_for: Sequence[str]) -> tuple[WhereUsed, ...]:
    """Where the part is used, and where it is in the place of others."""
    return tuple(
        WhereUsed(found.board.title, need.refs, need.per_board, need.per_board * (found.board.boards or 1), need.note)
        for found in boards
        for need in found.needs
        if need.part.key in (part.key, *stands_for)
    )


def titles_of(order: Order) -> tuple[str, ...]:
    """The titles of all sheets, in their order."""
    return (*_BEFORE, *supplier_titles(order), *_AFTER)


def write_order(content: OrderContent) -> bytes:
    """The workbook as a file, the same bytes for the same content."""
    order = content.order
    wound = [
        WoundBoard(board.title, board.boards, count, rows)
        for board, count, rows in zip(order.boards, board_counts(order), content.windings, strict=False)
    ]
    sheets = (
        summary_sheet(order, short_parts(order)),
        *supplier_sheets(order),
        tracking_sheet(order),
        where_used_sheet(order, content.from_stock),
        suppliers_sheet(order),
        alternates_sheet(order),
        windings_sheet(order.title, wound),
        assumptions_sheet(order.title, content.verify, content.assumptions, tuple(_costs_rest_on(order))),
        _changes_sheet(content),
    )
    mark = f"reference {reference(order)}, issue {issue(order)}"
    return workbook_file(Book(f"Order for {order.title}", mark, order.title, mark, content.paper, sheets))


def _changed(_: int, change: OrderChange) -> str:
    return change.part or ("terms of the supplier" if change.supplier else "the order")


_CHANGE_COLUMNS: tuple[Column[OrderChange], ...] = (
    Column("supplier", "Supplier", lambda _, change: change.supplier),
    Column("line", "Line", lambda _, change: "" if change.line is None else Number(Decimal(change.line)), "number"),
    Column("part", "Part", _changed, widest=36),
    Column("what", "What changed", lambda _, change: change.what, widest=24),
    Column("before", "Before", lambda _, change: change.before, "code", 24),
    Column("now", "Now", lambda _, change: change.after, "code", 24),
)


def _changes_sheet(content: OrderContent) -> Sheet:
    """What was entered by hand, and what is different from an earlier workbook: a row a change."""
    blocks: list[Block] = [
        Line(f"{content.order.title}: what was changed", "title"),
        Line(
            "Before is what the program chose at the prices of the price files, or what stood in the earlier workbook.",
            "soft",
        ),
        Gap(),
        Heading(),
        *(_log(f"Entered by hand, in {content.entered.file}", content.entered) if content.entered else ()),
        *(_log(f"Since {content.since.file}", content.since) if content.since else ()),
    ]
    if not content.entered and not content.since:
        blocks.append(Line("No earlier workbook was read."))
    return Sheet("Changes", "Changes", _CHANGE_COLUMNS, blocks)


def _log(heading: str, log: ChangeLog) -> list[Block]:
    return [Group(heading), *(table(_CHANGE_COLUMNS, log.changes, "") or (Line("Nothing was changed."),))]


def _costs_rest_on(order: Order) -> Iterator[FigureRow]:
    """Rates first, then supplier by supplier the terms and the prices, each with how far it can be trusted."""
    used = {supplier.currency for supplier in order.suppliers}
    for rate in order.rates:
        if rate.currency in used:
            what = f"One {rate.currency} in {order.currency}"
            yield FigureRow(what, plain(rate.rate), f"given, {rate.as_of}", rate.source)
    for supplier in order.suppliers:
        yield from _supplier_costs(supplier)


def _supplier_costs(supplier: SupplierOrder) -> Iterator[FigureRow]:
    terms, money = supplier.terms, supplier.currency
    said = [f"shipping {price_text(terms.shipping, money)} {money}"]
    if terms.free_from is not None:
        said.append(f"free from {price_text(terms.free_from, money)}")
    if terms.order_fee:
        said.append(f"fee {price_text(terms.order_fee, money)}")
    said.append(f"tax {plain(terms.tax_percent)} %")
    standing = _standing(terms.invented, str(terms.as_of or "")) if terms.known else "not known"
    value = ", ".join(said) if terms.known else "taken as nothing"
    yield FigureRow(f"{supplier.supplier}: terms", value, standing, terms.source)
    for line in supplier.lines:
        price = f"{price_text(line.unit_price, money)} {money} at {plain(line.quantity)}"
        what = f"{supplier.supplier}: price of {line.part.name}"
        yield FigureRow(what, price, _standing(line.invented, line.as_of.isoformat()), line.source)


def _standing(invented: bool, day: str) -> str:
    return "invented" if invented else f"asked {day}".strip()

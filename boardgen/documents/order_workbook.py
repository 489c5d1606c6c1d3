"""The workbook that a buyer is handed: order.xlsx."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from boardgen.design import Design
from boardgen.documents.order_files import to_verify
from boardgen.documents.windings import winding_rows
from boardgen.model.part import Part
from boardgen.purchasing.demand import BoardNeeds
from boardgen.purchasing.order import Order, UnboughtLine, WhereUsed
from boardgen.workbooks.assumptions import assumption_rows
from boardgen.workbooks.order import ChangeLog, OrderContent, write_order

NAME = "order.xlsx"


def order_workbook(
    order: Order,
    designs: Sequence[Design],
    boards: Sequence[BoardNeeds],
    entered: ChangeLog | None = None,
    since: ChangeLog | None = None,
) -> bytes:
    """The workbook as a file; `designs` are those of the order's boards, in their order.

    `boards` are what was asked for, lists of needs that are no board after the boards. `entered` is what was entered
    by hand in it before, `since` what is different from an earlier one.
    """
    bought = [line.part for line in order.lines]
    sentences = [sentence for design in designs for sentence in to_verify(design)]
    content = OrderContent(
        order=order,
        windings=tuple(winding_rows(design.netlist, design.choices) for design in designs),
        from_stock=_from_stock(order, boards),
        assumptions=assumption_rows([*bought, *(part for design in designs for part in design.parts)]),
        verify=tuple(dict.fromkeys(sentences)),
        entered=entered,
        since=since,
        paper=designs[0].spec.documents.paper if designs else "A4",
    )
    return write_order(content)


def _from_stock(order: Order, boards: Sequence[BoardNeeds]) -> tuple[UnboughtLine, ...]:
    """The parts of which there is enough in hand, with the boards that they are for."""
    listed = {x.part.key for x in order.lines} | {x.part.key for x in order.unbought}
    return tuple(
        UnboughtLine(s.part, s.unit, s.used, Decimal(), s.used, _uses(s.part, boards), "")
        for s in order.stock
        if s.part and s.used and not s.bought and s.key not in listed
    )


def _uses(part: Part, boards: Sequence[BoardNeeds]) -> tuple[WhereUsed, ...]:
    return tuple(
        WhereUsed(found.board.title, need.refs, need.per_board, need.per_board * (found.board.boards or 1), need.note)
        for found in boards
        for need in found.needs
        if need.part.key == part.key
    )

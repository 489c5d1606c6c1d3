"""The workbook that a buyer is handed: order.xlsx."""

from __future__ import annotations

from collections.abc import Sequence

from boardgen.design import Design
from boardgen.documents.order_files import to_verify
from boardgen.documents.windings import winding_rows
from boardgen.files.assumptions import assumption_rows
from boardgen.files.order_book import write_order_book
from boardgen.files.order_content import ChangeLog, OrderContent
from boardgen.purchasing.order import Order

NAME = "order.xlsx"


def order_workbook(
    order: Order, designs: Sequence[Design], entered: ChangeLog | None = None, since: ChangeLog | None = None
) -> bytes:
    """The workbook as a file; `designs` are those of the order's boards, in their order.

    `entered` is what was entered by hand in it before, `since` what is different from an earlier one.
    """
    bought = [line.part for line in order.lines]
    sentences = [sentence for design in designs for sentence in to_verify(design)]
    content = OrderContent(
        order=order,
        windings=tuple(winding_rows(design.netlist, design.choices) for design in designs),
        assumptions=assumption_rows([*bought, *(part for design in designs for part in design.parts)]),
        verify=tuple(dict.fromkeys(sentences)),
        entered=entered,
        since=since,
    )
    return write_order_book(content)

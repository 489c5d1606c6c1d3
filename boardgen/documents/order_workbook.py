"""The workbook that a buyer is handed: order.xlsx."""

from __future__ import annotations

from collections.abc import Sequence

from boardgen.design import Design
from boardgen.documents.order_files import to_verify
from boardgen.documents.windings import winding_rows
from boardgen.files.assumptions import assumption_rows
from boardgen.files.order_book import write_order_book
from boardgen.files.order_content import OrderContent
from boardgen.purchasing.order import Order
from boardgen.purchasing.quotes import Change

NAME = "order.xlsx"


def order_workbook(
    order: Order, designs: Sequence[Design], changes: Sequence[Change] = (), previous: str = ""
) -> bytes:
    """The workbook as a file; `designs` are those of the order's boards, in their order.

    `changes` are what was entered by hand in the workbook named `previous`.
    """
    bought = [line.part for line in order.lines]
    sentences = [sentence for design in designs for sentence in to_verify(design)]
    content = OrderContent(
        order=order,
        windings=tuple(winding_rows(design.netlist, design.choices) for design in designs),
        assumptions=assumption_rows([*bought, *(part for design in designs for part in design.parts)]),
        verify=tuple(dict.fromkeys(sentences)),
        changes=tuple(changes),
        previous=previous,
    )
    return write_order_book(content)

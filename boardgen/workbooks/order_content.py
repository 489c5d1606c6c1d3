"""What the workbook of an order is given: the order, what is wound for its boards, its doubts and what was changed."""

from __future__ import annotations

from msgspec import Struct

from boardgen.purchasing.order import Order, UnboughtLine
from boardgen.purchasing.quotes import Change
from boardgen.workbooks.rows import AssumptionRow, WindingRow


class ChangeLog(Struct, frozen=True):
    """What was entered in the workbook named `file`, or what is different from it."""

    file: str
    changes: tuple[Change, ...]


class OrderContent(Struct, frozen=True):
    """Everything the workbook of an order shows.

    `windings` are those of each kind of board, as many as `order.boards`; `from_stock` are parts of which nothing has
    to be bought.
    """

    order: Order
    windings: tuple[tuple[WindingRow, ...], ...] = ()
    from_stock: tuple[UnboughtLine, ...] = ()
    assumptions: tuple[AssumptionRow, ...] = ()
    verify: tuple[str, ...] = ()
    entered: ChangeLog | None = None
    since: ChangeLog | None = None
    paper: str = "A4"

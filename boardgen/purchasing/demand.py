"""What has to be bought for several kinds of boards together, after what is in stock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.purchasing.money import round_up
from boardgen.purchasing.needs import STEP, Need, Spares
from boardgen.purchasing.order import NotFitted, OrderedBoard, WhereUsed
from boardgen.purchasing.stock import StockItem


class BoardNeeds(Struct, frozen=True):
    """What one kind of board takes, or any other list of needs: of the latter, one is bought with `boards` 0."""

    board: OrderedBoard
    needs: tuple[Need, ...]
    spares: Spares
    not_fitted: tuple[NotFitted, ...] = ()


class Demand(Struct, frozen=True):
    """One part for all boards. `exact` is what the boards take, `needed` the same rounded up to what can be counted;
    `in_stock` is the stock, and `from_stock` what of it goes into this.
    """

    part: Part
    unit: str
    exact: Decimal
    needed: Decimal
    spares: Decimal
    in_stock: Decimal
    from_stock: Decimal
    where_used: tuple[WhereUsed, ...]
    note: str

    @property
    def required(self) -> Decimal:
        """What is left to be bought."""
        return self.needed + self.spares - self.from_stock

    @property
    def left_in_stock(self) -> Decimal:
        """What of the stock this does not take."""
        return self.in_stock - self.from_stock


def demands(boards: Sequence[BoardNeeds], stock: Mapping[str, StockItem]) -> tuple[Demand, ...]:
    """One demand a part, in the order in which the boards name them.

    Parameters
    ----------
    boards
        What each kind of board takes, and how many of it are built.
    stock
        What is in stock, by catalogue key; a demand takes of it what it can.

    Raises
    ------
    ValueError
        Where a part is needed in two units, or fewer than no boards are asked for.

    """
    found: dict[str, list[tuple[BoardNeeds, Need]]] = {}
    for board in boards:
        if board.board.boards < 0:
            raise ValueError("fewer than no boards")
        for need in board.needs:
            found.setdefault(need.part.key, []).append((board, need))
    return tuple(_demand(rows, stock) for rows in found.values())


def _demand(rows: Sequence[tuple[BoardNeeds, Need]], stock: Mapping[str, StockItem]) -> Demand:
    part, unit = rows[0][1].part, rows[0][1].unit
    if any(need.unit != unit for _, need in rows):
        raise ValueError("a part is needed in two units", part.key)
    spare = any(need.spare for _, need in rows)
    exact = sum((need.per_board * _times(board) for board, need in rows), Decimal(0))
    more = sum((need.per_board * _times(board) * board.spares.of(part) for board, need in rows), Decimal(0))
    needed = round_up(exact, STEP[unit])
    total = round_up(exact + more, STEP[unit]) if spare else needed
    in_stock = stock[part.key].quantity if part.key in stock else Decimal(0)
    notes = dict.fromkeys(need.note for _, need in rows if need.note)
    return Demand(
        part,
        unit,
        exact,
        needed,
        total - needed,
        in_stock,
        min(in_stock, total),
        _where_used(rows),
        "; ".join(notes),
    )


def _times(board: BoardNeeds) -> int:
    return board.board.boards or 1


def _where_used(rows: Sequence[tuple[BoardNeeds, Need]]) -> tuple[WhereUsed, ...]:
    """One entry a board, the needs of a board for the same part joined."""
    found: dict[str, WhereUsed] = {}
    for board, need in rows:
        title = board.board.title
        quantity = need.per_board * _times(board)
        before = found.get(title)
        if before is None:
            found[title] = WhereUsed(title, need.refs, need.per_board, quantity, need.note)
        else:
            notes = dict.fromkeys(note for note in (before.note, need.note) if note)
            found[title] = WhereUsed(
                title,
                before.refs + need.refs,
                before.per_board + need.per_board,
                before.quantity + quantity,
                "; ".join(notes),
            )
    return tuple(found.values())

"""The sheet Tracking comes back: what was noted of lines, and lines that are moved to another supplier."""

from collections.abc import Callable, Mapping
from decimal import Decimal

import pytest

from boardgen.model.problem import InputError
from boardgen.purchasing.demand import BoardNeeds
from boardgen.purchasing.make_order import make_order
from boardgen.purchasing.moved_lines import moved
from boardgen.purchasing.order import Order, Progress
from boardgen.purchasing.quoted_order import as_quoted
from boardgen.purchasing.quotes import changes, moves, reference
from boardgen.purchasing.sourcing import OrderRequest, Sourcing
from boardgen.workbooks.order import OrderContent, write_order
from boardgen.workbooks.order_tracking import AT
from boardgen.workbooks.read_order import Returned, read_order
from tests.purchasing.made_offers import RELAY, RESISTOR, offer
from tests.purchasing.made_requests import asked, board, days, need
from tests.workbooks.order_edits import opened, put, saved

ROW = 5
"""The first line of the sheet."""


def request() -> OrderRequest:
    """Ten relays and resistors; both suppliers sell both, and each is cheaper for one."""
    boards: tuple[BoardNeeds, ...] = (board(need(RELAY, "5"), need(RESISTOR, "5")),)
    return asked(
        *boards,
        offers=(
            offer((1, "3"), part=RELAY.key, supplier="Northmere", order_code="N-1"),
            offer((1, "3.50"), part=RELAY.key, supplier="Southgate", order_code="S-1", multiple=Decimal(4)),
            offer((1, "0.30"), part=RESISTOR.key, supplier="Northmere", order_code="N-2"),
            offer((1, "0.20"), part=RESISTOR.key, supplier="Southgate", order_code="S-2"),
        ),
        on=days("2026-11-20"),
    )


def returned(data: bytes, order: Order) -> Returned:
    return read_order(data, "back.xlsx", order, move)


def move(order: Order, to: Mapping[int, str]) -> Order:
    return moved(order, to, Sourcing(request()).whole_market, ())


def edited(order: Order, **cells: object) -> bytes:
    """The workbook with cells of the first line on the sheet changed, by the names of their columns."""
    book = opened(write_order(OrderContent(order)))
    for name, value in cells.items():
        put("Tracking", f"{AT[name]}{ROW}", value)(book)
    return saved(book)


def test_what_was_noted_comes_back_and_costs_nothing() -> None:
    order = make_order(request())
    noted = {"ordered_on": "2026-11-21", "order_number": "PO 17", "received": 4, "remark": "two reels"}
    back = returned(edited(order, **noted), order)
    after = as_quoted(back.order, back.quotes, "entered")
    progress = Progress(days("2026-11-21"), "PO 17", Decimal(4), "two reels")
    assert [line.progress for line in after.lines] == [progress, Progress()]
    assert (after.total, after.proof, after.problems) == (order.total, order.proof, order.problems)
    assert [(c.what, c.after) for c in changes(back.order, back.quotes)] == [
        ("ordered on", "2026-11-21"), ("order number", "PO 17"), ("received, piece", "4"), ("remark", "two reels"),
    ]  # fmt: skip
    again = returned(write_order(OrderContent(after)), order)
    assert as_quoted(again.order, again.quotes, "entered") == after
    shown = opened(write_order(OrderContent(after)))["Tracking"]
    assert shown[f"{AT['open']}{ROW}"].value == f"=MAX(0,ROUND(C{ROW}-{AT['received']}{ROW},6))"


def test_a_line_is_moved_and_stays_moved() -> None:
    order = make_order(request())
    assert [(s.supplier, line.part.key) for s, _, line in order.as_chosen] == [
        ("Northmere", RELAY.key),
        ("Southgate", RESISTOR.key),
    ]
    back = returned(edited(order, buy_at="southgate"), order)
    assert (back.order, back.moves) == (order, {1: "Southgate"})
    after = move(back.order, back.moves)
    (supplier,) = after.suppliers
    relay = next(line for line in supplier.lines if line.part.key == RELAY.key)
    # sold in fours: 12 for the 10 that are wanted
    assert (relay.order_code, relay.quantity, relay.line_total) == ("S-1", 12, Decimal("42.00"))
    assert after.total == supplier.total == Decimal("44.00")
    assert relay.explanation == "moved here by hand"
    assert [(c.what, c.before, c.after) for c in moves(order, after)] == [("supplier", "Northmere", "Southgate")]
    assert reference(after) == reference(order)
    again = returned(write_order(OrderContent(after)), order)
    assert (again.order, again.moves) == (after, {})
    there_and_back = returned(edited(after, buy_at="Northmere"), order)
    home = move(there_and_back.order, there_and_back.moves)
    assert [(s.supplier, line.order_code, line.explanation) for s, _, line in home.as_chosen] == [
        ("Northmere", "N-1", ""),
        ("Southgate", "S-2", ""),
    ]
    assert home.total == order.total


@pytest.mark.parametrize(
    ("column", "value", "said"),
    [
        ("buy_at", "Westbury", "'Westbury' does not sell"),
        ("ordered_on", "21.11.2026", "a day, year-month-day"),
        ("ordered_on", "2026-11-31", "a day, year-month-day"),
        ("received", "all", "text"),
        ("received", 2.5, "whole"),
        ("remark", "x" * 241, "up to 240"),
        ("name", "another", "as written"),
        ("supplier", "Westbury", "as written"),
        ("position", 7, "is no line of this order"),
    ],
)
def test_what_cannot_be_used_is_refused_by_its_cell(column: str, value: object, said: str) -> None:
    order = make_order(request())
    with pytest.raises(InputError) as raised:
        returned(edited(order, **{column: value}), order)
    place = f"Tracking!{AT[column]}{ROW}"
    assert any(said in fault.sentence for fault in raised.value.problems if fault.place.key == place)


@pytest.mark.peer
@pytest.mark.parametrize("ending", ["xlsx", "ods"])
def test_a_spreadsheet_keeps_what_was_entered(office: Callable[..., bytes], ending: str) -> None:
    order = make_order(request())
    data = edited(order, buy_at="Southgate", ordered_on="2026-11-21", received=4, remark="two reels")
    assert returned(office(data, ending), order) == returned(data, order)

"""LibreOffice works the workbook out anew, without the values we put in, and comes to the totals of bill.csv."""

import csv
import io
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import openpyxl
import pytest
from msgspec.structs import replace
from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.documents.order.tables import bill_csv
from boardgen.purchasing.bill import bill
from boardgen.purchasing.needs import Spares
from boardgen.workbooks.bill import write_bill
from tests.workbooks.made_bill import NEEDS, OFFERS, made_content

pytestmark = pytest.mark.peer
CENT = Decimal("0.01")


Office = Callable[[bytes], bytes]


def recalculated(office: Office, book: Workbook) -> Workbook:
    """The workbook as LibreOffice saves it. openpyxl writes formulas without values, so all of them are computed."""
    plain = io.BytesIO()
    book.save(plain)
    stripped = openpyxl.load_workbook(plain, data_only=True)
    assert beside(stripped["Order"], "Order total").value is None
    return openpyxl.load_workbook(io.BytesIO(office(plain.getvalue())), data_only=True)


def beside(sheet: Worksheet, label: str) -> openpyxl.cell.Cell:
    (cell,) = [cell for row in sheet.iter_rows() for cell in row if cell.value == label]
    return cell.offset(column=1)


def amount(sheet: Worksheet, label: str) -> Decimal:
    value = Decimal(repr(beside(sheet, label).value))
    assert abs(value - value.quantize(CENT)) < Decimal("1e-9")
    return value.quantize(CENT)


def csv_rows() -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(bill_csv(made_content().bill).decode())))


def opened() -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(write_bill(made_content())))


def first_row(order: Worksheet) -> int:
    return next(cell.row for cell in order["A"] if cell.value == "Line") + 1


def test_recalculates_to_the_totals_of_the_table(office: Office) -> None:
    *lines, total, per_board, one_board = csv_rows()
    book = recalculated(office, opened())
    order, board = book["Order"], book["Board"]
    assert str(amount(order, "Order total")) == total["line cost"]
    assert str(amount(order, "Order per board")) == per_board["line cost"]
    assert str(amount(order, "Parts in one board")) == one_board["line cost"]
    assert str(amount(board, "Parts in one board")) == one_board["line cost"]
    assert beside(order, "Lines without a price, left out").value == 1
    for at, line in enumerate(lines, first_row(order)):
        cost = order[f"J{at}"].value
        assert line["line cost"] == ("" if cost in (None, "") else f"{cost:.2f}")
    for at, line in enumerate(lines, 5):
        needed, ordered, over = (Decimal(repr(board[f"{column}{at}"].value)) for column in "GHI")
        assert (needed, ordered) == (Decimal(line["needed"]), Decimal(line["ordered"]))
        assert abs(over - (ordered - needed)) < Decimal("1e-9")


def test_recalculates_what_is_in_hand(office: Office) -> None:
    content = made_content()
    # 5 of the 14 relays, all of the resistors, and 2 m of the wire
    there = {"relay": Decimal(5), "resistor": None, "wire": Decimal(2)}
    made = bill(NEEDS, OFFERS, 3, Spares(Decimal("0.1")), "CAD", in_hand=there)
    book = recalculated(office, openpyxl.load_workbook(io.BytesIO(write_bill(replace(content, bill=made)))))
    assert amount(book["Order"], "Order total") == made.order_total
    assert amount(book["Board"], "Parts in one board") == made.board_value < content.bill.board_value
    assert beside(book["Order"], "Lines without a price, left out").value == 1
    for at, line in enumerate(made.lines, 5):
        needed, in_hand, ordered, over = (Decimal(repr(book["Board"][f"{column}{at}"].value)) for column in "GHIJ")
        assert (needed, in_hand, ordered) == (line.needed, line.in_hand, line.ordered)
        assert abs(over - (in_hand + ordered - needed)) < Decimal("1e-9")


def test_follows_an_edit_of_a_quantity_a_price_and_the_boards(office: Office) -> None:
    *lines, _, _, _ = csv_rows()
    edited = opened()
    at = first_row(edited["Order"])
    edited["Order"][f"E{at}"] = 17
    edited["Order"][f"I{at + 1}"] = 0.335  # the part nobody sold
    beside(edited["Order"], "Boards").value = 6
    book = recalculated(office, edited)
    relay = 17 * Decimal(lines[0]["unit price"])
    danger = (3 * Decimal("0.335")).quantize(CENT, ROUND_HALF_UP)
    total = relay + danger + Decimal(lines[2]["line cost"]) + Decimal(lines[3]["line cost"])
    order, board = book["Order"], book["Board"]
    assert amount(order, "Order total") == total
    assert amount(order, "Order per board") == (total / 6).quantize(CENT, ROUND_HALF_UP)
    assert amount(order, "Parts in one board") == Decimal("16.43") + Decimal("0.34")
    assert beside(order, "Lines without a price, left out").value == 0
    assert [board[f"G{row}"].value for row in (5, 6, 7)] == [24, 6, 18]
    assert board["G8"].value == pytest.approx(20.9)  # 6 x 3.47 = 20.82 m
    assert board["I5"].value == 17 - 24


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::SyntaxWarning")
def test_a_second_calculator_comes_to_the_totals_of_the_table(tmp_path: Path) -> None:
    import formulas

    *_, total, per_board, one_board = csv_rows()
    book = opened()
    book.save(tmp_path / "bill.xlsx")
    solution = formulas.ExcelModel().loads(str(tmp_path / "bill.xlsx")).finish().calculate()
    values = {key.upper(): value for key, value in solution.items() if isinstance(key, str)}
    labels = {"Order total": total, "Order per board": per_board, "Parts in one board": one_board}
    for label, row in labels.items():
        cell = values[f"'[BILL.XLSX]ORDER'!{beside(book['Order'], label).coordinate}"]
        assert f"{float(cell.value[0, 0]):.2f}" == row["line cost"], label

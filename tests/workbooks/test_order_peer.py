"""LibreOffice and the library `formulas` work the workbook of an order out anew, to the program's own totals.

Neither is given the values that the program wrote. ROUND takes halves away from zero, as the formula standard says that
both follow (OASIS OpenDocument 1.2, part 2, function ROUND; recalled).
"""

import io
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import openpyxl
import pytest
from openpyxl import Workbook

from boardgen.purchasing.order import Order
from boardgen.purchasing.quoted_order import as_quoted
from boardgen.workbooks.cells import half_up
from tests.workbooks.made_order import made_order
from tests.workbooks.order_edits import FIRST, beside, edit_many, edited, figures, heading_row, opened, read, saved

pytestmark = pytest.mark.peer
NEAR = Decimal("1e-9")


Office = Callable[[bytes], bytes]


def values(data: bytes) -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(data), data_only=True)


def expected(data: bytes) -> Order:
    """The order with what stands in the workbook now, as the program works it out."""
    return as_quoted(made_order(), read(data), "order.xlsx")


def fewer(book: Workbook) -> None:
    book[FIRST][f"F{heading_row(book[FIRST]) + 1}"] = 9


@pytest.mark.parametrize("edit", [edit_many, fewer])
def test_a_workbook_saved_as_ods_is_read_alike(office: Callable[..., bytes], edit: Callable[[Workbook], None]) -> None:
    data = edited(edit)
    assert read(office(data, "ods")) == read(data)


BOOKS = pytest.mark.parametrize(
    "data", [saved(opened()), edited(edit_many), edited(fewer)], ids=["as written", "edited", "fewer, at another break"]
)


@BOOKS
def test_office_comes_to_the_totals_of_the_program(office: Office, data: bytes) -> None:
    made = office(data)
    book, order = values(made), expected(data)
    for (sheet, label), amount in figures(order).items():
        assert abs(Decimal(repr(beside(book[sheet], label).value)) - amount) < NEAR, (sheet, label)
    assert read(made) == read(data)
    formulas = openpyxl.load_workbook(io.BytesIO(data))
    for sheet in formulas:
        for cell in (cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f"):
            found = book[sheet.title][cell.coordinate]
            assert found.value is not None, (sheet.title, cell.coordinate)
            assert found.data_type != "e", (sheet.title, cell.coordinate, found.value)


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::SyntaxWarning")
@BOOKS
def test_a_second_calculator_comes_to_the_same(tmp_path: Path, data: bytes) -> None:
    import formulas

    (tmp_path / "order.xlsx").write_bytes(data)
    solution = formulas.ExcelModel().loads(str(tmp_path / "order.xlsx")).finish().calculate()
    values = {key.upper(): value for key, value in solution.items() if isinstance(key, str)}
    book = openpyxl.load_workbook(tmp_path / "order.xlsx")
    for (sheet, label), amount in figures(expected(data)).items():
        cell = values[f"'[ORDER.XLSX]{sheet.upper()}'!{beside(book[sheet], label).coordinate}"]
        assert abs(Decimal(repr(float(cell.value[0, 0]))) - amount) < NEAR, (sheet, label)


def test_rounding_is_half_up_in_every_currency(office: Office) -> None:
    """Amounts that end in exactly half of the smallest unit, which binary fractions often fall short of."""
    book = Workbook()
    sheet = book.worksheets[0]
    exact = []
    for number in range(1, 301):
        currency, places = (("CAD", 2), ("JPY", 0), ("KWD", 3))[number % 3]
        half = (Decimal(number * 7919) + Decimal("0.5")).scaleb(-places)
        quantity = Decimal((1, 5, 8, 25, 125)[number % 5])
        price = half / quantity
        assert quantity * price == half
        sheet[f"A{number}"], sheet[f"B{number}"] = quantity, price
        sheet[f"C{number}"] = f"={half_up(f'A{number}*B{number}', currency)}"
        exact.append(half.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP))
    found = values(office(saved(book))).worksheets[0]
    assert [f"{found[f'C{n}'].value:.3f}" for n in range(1, 301)] == [f"{amount:.3f}" for amount in exact]

"""LibreOffice and the library `formulas` work the workbook of an order out anew, to the program's own totals.

Neither is given the values that the program wrote. ROUND takes halves away from zero, as the formula standard says that
both follow (OASIS OpenDocument 1.2, part 2, function ROUND; recalled).
"""

import os
import shutil
import subprocess
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import openpyxl
import pytest
from made_order import made_order
from openpyxl import Workbook
from order_edits import beside, edit_many, edited, figures, opened, read, saved

from boardgen.files.workbook_cells import half_up
from boardgen.purchasing.order import Order
from boardgen.purchasing.requote import requoted

pytestmark = pytest.mark.peer
NEAR = Decimal("1e-9")


@pytest.fixture(scope="module")
def soffice() -> str:
    found = shutil.which("soffice")
    if found:
        return found
    reason = "NOT CHECKED: the order was not recalculated, because LibreOffice (soffice) is not installed"
    if os.environ.get("CI"):
        pytest.fail(reason)
    pytest.skip(reason)


def by_office(soffice: str, data: bytes, folder: Path) -> Workbook:
    """The workbook as LibreOffice saves it."""
    (folder / "order.xlsx").write_bytes(data)
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = [soffice, profile, "--headless", "--convert-to", "xlsx", "--outdir", "done", "order.xlsx"]
    subprocess.run(command, cwd=folder, check=True, capture_output=True, timeout=180)
    return openpyxl.load_workbook(folder / "done" / "order.xlsx", data_only=True)


def expected(data: bytes) -> Order:
    """The order with what stands in the workbook now, as the program works it out."""
    return requoted(made_order(), read(data), "order.xlsx")


@pytest.mark.parametrize("data", [saved(opened()), edited(edit_many)], ids=["as written", "edited"])
def test_office_comes_to_the_totals_of_the_program(soffice: str, tmp_path: Path, data: bytes) -> None:
    book, order = by_office(soffice, data, tmp_path), expected(data)
    for (sheet, label), amount in figures(order).items():
        assert abs(Decimal(repr(beside(book[sheet], label).value)) - amount) < NEAR, (sheet, label)
    assert read((tmp_path / "done" / "order.xlsx").read_bytes()) == read(data)
    formulas = openpyxl.load_workbook(tmp_path / "order.xlsx")
    for sheet in formulas:
        for cell in (cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f"):
            found = book[sheet.title][cell.coordinate]
            assert found.value is not None, (sheet.title, cell.coordinate)
            assert found.data_type != "e", (sheet.title, cell.coordinate, found.value)


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::SyntaxWarning")
@pytest.mark.parametrize("data", [saved(opened()), edited(edit_many)], ids=["as written", "edited"])
def test_a_second_calculator_comes_to_the_same(tmp_path: Path, data: bytes) -> None:
    import formulas

    (tmp_path / "order.xlsx").write_bytes(data)
    solution = formulas.ExcelModel().loads(str(tmp_path / "order.xlsx")).finish().calculate()
    values = {key.upper(): value for key, value in solution.items() if isinstance(key, str)}
    book = openpyxl.load_workbook(tmp_path / "order.xlsx")
    for (sheet, label), amount in figures(expected(data)).items():
        cell = values[f"'[ORDER.XLSX]{sheet.upper()}'!{beside(book[sheet], label).coordinate}"]
        assert abs(Decimal(repr(float(cell.value[0, 0]))) - amount) < NEAR, (sheet, label)


def test_rounding_is_half_up_in_every_currency(soffice: str, tmp_path: Path) -> None:
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
    found = by_office(soffice, saved(book), tmp_path).worksheets[0]
    assert [f"{found[f'C{n}'].value:.3f}" for n in range(1, 301)] == [f"{amount:.3f}" for amount in exact]

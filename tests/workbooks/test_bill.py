"""bill.xlsx read back twice: as formulas, and as a viewer sees it that does not calculate."""

import io
import re
import zipfile
from decimal import Decimal

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.formats.fixed_zip import unzipped
from boardgen.workbooks.bill import BillContent, write_bill
from tests.workbooks.made_bill import DANGER, NEEDS, made_bill, made_content, part

ENTRY_FILL = "FFF1EFE8"


def formulas(content: BillContent) -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(write_bill(content)))


def values(content: BillContent) -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(write_bill(content)), data_only=True)


def beside(sheet: Worksheet, label: str) -> object:
    """What stands to the right of a label."""
    (cell,) = [cell for row in sheet.iter_rows() for cell in row if cell.value == label]
    return cell.offset(column=1).value


def money(value: object) -> Decimal:
    return Decimal(str(value)).quantize(Decimal("0.01"))


def table(sheet: Worksheet, heading: str) -> list[dict[str, object]]:
    """The rows under the heading that begins with this word, up to the first blank row."""
    rows = list(sheet.iter_rows(values_only=True))
    at = next(number for number, row in enumerate(rows) if row[0] == heading)
    names = [str(name).replace("\n", " ") for name in rows[at]]
    body = []
    for row in rows[at + 1 :]:
        if not any(cell is not None for cell in row):
            break
        body.append(dict(zip(names, row, strict=True)))
    return body


@pytest.mark.parametrize("boards", [1, 3, 7])
def test_a_viewer_that_does_not_calculate_sees_the_bill(boards: int) -> None:
    content = made_content(boards=boards)
    bill, book = content.bill, values(content)
    order, board = book["Order"], book["Board"]
    assert money(beside(order, "Order total")) == bill.order_total
    assert money(beside(order, "Order per board")) == bill.total_per_board
    assert money(beside(order, "Parts in one board")) == bill.board_value
    assert money(beside(board, "Parts in one board")) == bill.board_value
    assert beside(order, "Lines without a price, left out") == len(bill.unpriced) == 1
    for line, ordered, fitted in zip(bill.lines, table(order, "Line"), table(board, "Designators"), strict=False):
        assert ordered["Maker's number"] == line.part.number
        assert Decimal(str(ordered["Quantity enter"])) == line.ordered
        assert (None if line.line_cost is None else float(line.line_cost)) == ordered["Line total CAD"]
        assert (fitted["Designators"] or "") == " ".join(line.refs)
        assert Decimal(str(fitted["Needed"])) == line.needed
        assert Decimal(str(fitted["Ordered"])) == line.ordered
        assert Decimal(str(fitted["Left over"])) == line.ordered - line.needed


def test_every_figure_that_follows_is_a_formula_of_plain_functions() -> None:
    found = [c.value for s in formulas(made_content()) for row in s.iter_rows() for c in row if c.data_type == "f"]
    lines = len(NEEDS)
    assert len(found) == lines * (1 + 4) + 4 + 1 + 3
    used = set(re.findall(r"[A-Z]+(?=\()", " ".join(found)))
    assert used == {"IF", "ISNUMBER", "ROUND", "ROUNDUP", "SUM", "COUNT"}


def test_too_few_are_called_short() -> None:
    board = formulas(made_content())["Board"]
    assert [board[f"I{row}"].number_format for row in (5, 8)] == [
        '#,##0_0_.;"short by "#,##0_0_.',
        '#,##0.0_0_.;"short by "#,##0.0_0_.',
    ]


def test_no_formula_is_without_its_value() -> None:
    seen = values(made_content())
    blank = [
        (sheet.title, cell.row)
        for sheet in formulas(made_content())
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f" and seen[sheet.title][cell.coordinate].value is None
    ]
    (order, at), (board, on_board) = blank
    assert (order, board) == ("Order", "Board")
    assert {seen["Order"].cell(at, 3).value, seen["Board"].cell(on_board, 3).value} == {
        DANGER.number,
        DANGER.description,
    }


def test_two_writings_are_the_same_bytes_without_a_date() -> None:
    made = write_bill(made_content())
    assert made == write_bill(made_content())
    with zipfile.ZipFile(io.BytesIO(made)) as packed:
        assert {entry.date_time[0] for entry in packed.infolist()} == {1980}
        assert packed.namelist()[0] == "[Content_Types].xml"
    properties = unzipped(made)["docProps/core.xml"].decode()
    assert set(re.findall(r"\d{4}-\d\d-\d\d", properties)) == {"1980-01-01"}


def test_no_text_of_the_user_becomes_a_formula() -> None:
    title = '=HYPERLINK("y")'
    book = formulas(made_content(title=title, revision="=1+1"))
    texts = {c.value: c for s in book for row in s.iter_rows() for c in row if c.data_type == "s"}
    for text in (title, '=HYPERLINK("x")', "-1+2", "@x", "+R", "-Supplier", "=cmd", "=start", "=common practice"):
        assert texts[text].quotePrefix, text
    ours = [c.value for s in book for row in s.iter_rows() for c in row if c.data_type == "f"]
    assert not any("HYPERLINK" in formula or "cmd" in formula for formula in ours)


@settings(max_examples=25, deadline=None)
@given(
    st.text(min_size=1), st.text(alphabet=st.sampled_from("=+-@&<>\"'#N/A0123\n\t\x00\x0b\ud800\uffff_x"), min_size=1)
)
def test_any_text_is_written_and_stays_text(title: str, note: str) -> None:
    needs = (replace(NEEDS[0], part=part("relay", note, title), refs=(title,), note=note),)
    content = replace(made_content(title, note), bill=made_bill(2, needs))
    book = formulas(content)
    assert len([c for s in book for row in s.iter_rows() for c in row if c.data_type == "f"]) == 5 + 5 + 3
    assert {c.data_type for s in book for row in s.iter_rows() for c in row} <= {"s", "n", "f"}
    assert write_bill(content) == write_bill(content)


def test_entries_are_marked_and_nothing_else() -> None:
    order = formulas(made_content())["Order"]
    marked = {c.coordinate for row in order.iter_rows() for c in row if c.fill.fgColor.rgb == ENTRY_FILL}
    first = next(c.row for c in order["A"] if c.value == "Line") + 1
    lines = range(first, first + len(NEEDS))
    assert marked == {f"{column}{row}" for row in lines for column in "EGHIK"}
    free = {c.coordinate for row in order.iter_rows() for c in row if not c.protection.locked}
    assert free == marked
    assert {str(cell) for rule in order.data_validations.dataValidation for cell in rule.sqref} == marked
    assert all(sheet.protection.sheet and not sheet.protection.password for sheet in order.parent)


def test_no_number_is_accepted_that_no_entry_can_be() -> None:
    rules = {rule.promptTitle: rule for rule in formulas(made_content())["Order"].data_validations.dataValidation}
    lead = rules["Lead time"]
    assert (lead.type, lead.operator, lead.formula1) == ("whole", "greaterThanOrEqual", "0")
    assert (rules["Unit price"].type, rules["Unit price"].formula1) == ("decimal", "0")
    assert all(rule.showErrorMessage and rule.error and rule.prompt for rule in rules.values())


def test_set_up_for_paper_and_for_scrolling() -> None:
    book = formulas(made_content(title="Salt & pepper", revision="B"))
    assert book.sheetnames == ["Order", "Board", "Windings", "Assumptions"]
    assert book.properties.title == "Salt & pepper"
    for sheet in book:
        heading = int(str(sheet.freeze_panes)[1:]) - 1
        assert sheet.cell(heading, 1).font.bold
        assert sheet.print_title_rows == f"${heading}:${heading}"
        assert (sheet.page_setup.orientation, str(sheet.page_setup.paperSize)) == ("landscape", "9")
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        # a width of one page is what the format takes where none is written
        assert sheet.page_setup.fitToWidth in (None, 1)
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.oddHeader.left.text == "Salt && pepper"
        assert sheet.oddHeader.right.text == "revision B"
        assert sheet.oddFooter.right.text == "page &P of &N"
        assert not sheet.tables


def test_columns_are_as_wide_as_what_stands_in_them() -> None:
    short = formulas(made_content())["Order"].column_dimensions["C"].width
    needs = (replace(NEEDS[0], part=part("relay", "X-12-LONG-NUMBER", "12 V")),)
    longer = formulas(replace(made_content(), bill=made_bill(2, needs)))["Order"].column_dimensions["C"].width
    longest = replace(NEEDS[0], part=part("relay", "X" * 80, "12 V"))
    sheet = formulas(replace(made_content(), bill=made_bill(2, (longest,))))["Order"]
    assert 10 < short < longer < sheet.column_dimensions["C"].width < 30
    first = next(c.row for c in sheet["A"] if c.value == "Line") + 1
    assert sheet.row_dimensions[first].height > 3 * 12
    assert sheet.cell(first, 3).alignment.wrap_text


def test_the_other_sheets_show_their_rows() -> None:
    book = values(made_content())
    winding, wire = table(book["Windings"], "Designators")
    assert (wire["To wind, all boards"], wire["Wire m, all boards"]) == ("Wire in all windings", 1.8)
    assert winding == {
        "Designators": "T1",
        "Core": "core",
        "Wire": "AWG 28",
        "Port turns": 4,
        "Board turns": 5,
        "Port wire mm": 270,
        "Board wire mm": 330,
        "To wind, all boards": 3,
        "Wire m, all boards": 1.8,
        "Start marks": "=start",
        "Port winding least uH": 52.3,
        "Strips": "north, +east",
    }
    doubts = [row[1:] for row in book["Assumptions"].iter_rows(values_only=True) if row[0] == "[ ]"]
    assert doubts == [
        ("Maker X-12: -check the drawing.", None, None, None),
        ("Maker X-12: contact capacitance", "1 pF", "assumed", "=common practice"),
    ]
    empty = [row[:6] for row in book["Board"].iter_rows(values_only=True) if row[5] == "not fitted"]
    assert empty == [("D1 D2", "green", "a part", "Maker LED", 2, "not fitted")]


def test_a_workbook_of_an_empty_bill() -> None:
    content = BillContent("Salt", "A", made_bill(1, ()))
    book = values(content)
    assert beside(book["Order"], "Order total") == 0
    assert beside(book["Board"], "Parts in one board") == 0
    written = formulas(content)["Order"]
    total = next(c for row in written.iter_rows() for c in row if c.value == "Order total").offset(column=1)
    assert total.coordinate not in str(total.value)
    said = {cell for sheet in book for row in sheet.iter_rows(values_only=True) for cell in row}
    assert {"Nothing is wound for this board.", "Nothing is listed.", "There is none."} <= said


def test_a_part_nobody_sells_shows_a_blank_to_fill() -> None:
    order = table(values(made_content())["Order"], "Line")
    (row,) = [row for row in order if row["Maker's number"] == DANGER.number]
    assert (row["Unit price CAD, enter"], row["Line total CAD"], row["Note"]) == (None, None, "no price")

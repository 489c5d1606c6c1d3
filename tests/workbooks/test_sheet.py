"""A sheet as data: where its cells stand, and what the writer makes of formulas that name them."""

import io

import openpyxl
import pytest

from boardgen.workbooks.cells import LONGEST, Content, Formula, Number, cell_text
from boardgen.workbooks.sheet import (
    Block,
    Book,
    Column,
    Gap,
    Group,
    Heading,
    Line,
    Paragraph,
    Setting,
    Sheet,
    Total,
    addresses,
    letter,
    or_gap,
    table,
)
from boardgen.workbooks.write import workbook_file

COLUMNS: tuple[Column[int], ...] = (
    Column("label", "Label", lambda n, _item: f"line {n}"),
    Column("count", "Count", lambda _, item: Number(item), "number"),
    Column("twice", "Twice", lambda _, item: Formula("=2*{count}*{factor}", str(2 * item)), "number"),
)


def sheet(items: list[int], key: str = "First", title: str = "First one") -> Sheet:
    total = Formula("=SUM({column[twice]})", None)
    blocks: list[Block] = [
        Line("A title", "title"),
        Setting("factor", "Factor", Number(1)),
        Gap(),
        Heading(),
        *or_gap(table(COLUMNS, items)),
        Total("sum", "Sum", "twice", total, first=True),
        Group("More"),
        *table(COLUMNS, [7], ""),
        Paragraph("a long text"),
    ]
    return Sheet(key, title, COLUMNS, blocks, {"All_twice": "{column[twice]}"})


def written(*sheets: Sheet, head: str = "head", mark: str = "mark") -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(workbook_file(Book("t", "s", head, mark, "A4", sheets))))


def test_cells_are_found_by_the_names_of_columns_rows_settings_and_totals() -> None:
    found = addresses(sheet([3, 4]))
    assert (found["factor"], found["sum"]) == ("$B$2", "C7")
    assert found["column"] == {"label": "A5:A6", "count": "B5:B6", "twice": "C5:C6"}
    assert found["line2"] == {"label": "A6", "count": "B6", "twice": "C6"}
    assert addresses(sheet([3]), "'First one'!")["sum"] == "'First one'!C6"


def test_a_name_is_given_once() -> None:
    rows = table(COLUMNS, [1])
    with pytest.raises(ValueError, match="two places"):
        addresses(Sheet("One", "One", COLUMNS, [Heading(), *rows, *rows]))


@pytest.mark.parametrize(("number", "letters"), [(1, "A"), (26, "Z"), (27, "AA"), (52, "AZ"), (703, "AAA")])
def test_letters_are_those_of_a_spreadsheet(number: int, letters: str) -> None:
    assert letter(number) == letters


def test_formulas_follow_their_names_within_a_row_below_it_and_from_another_sheet() -> None:
    plain: tuple[Column[str], ...] = (Column("what", "What", lambda _, item: item), COLUMNS[1])
    across: list[Block] = [
        Heading(),
        Total("same", "Same", "count", Formula("={First[sum]}+{First[line1][count]}", None)),
    ]
    book = written(sheet([3, 4]), Sheet("Other", "Other", plain, across))
    first = book["First one"]
    assert [first[f"C{row}"].value for row in (5, 6, 7)] == ["=2*B5*$B$2", "=2*B6*$B$2", "=SUM(C5:C6)"]
    assert book["Other"]["B2"].value == "='First one'!C7+'First one'!B5"
    assert first.defined_names["All_twice"].attr_text == "'First one'!$C$5:$C$6"


def test_a_total_of_no_rows_stands_below_a_blank_one() -> None:
    first = written(sheet([]))["First one"]
    assert [cell.value for cell in first[5]] == [None, None, None]
    assert first["C6"].value == "=SUM(C5:C5)"


def test_a_formula_that_names_no_cell_is_a_fault_of_ours() -> None:
    columns: tuple[Column[int], ...] = (Column("count", "Count", lambda _, _item: Formula("={nowhere}", None)),)
    with pytest.raises(KeyError, match="nowhere"):
        written(Sheet("One", "One", columns, [Heading(), *table(columns, [1])]))


def test_a_header_of_two_long_texts_is_written_whole_as_far_as_it_goes() -> None:
    found = written(sheet([1]), head="&" * 90, mark="R" * 90)["First one"].oddHeader
    assert found.left.text == "&" * 120
    assert found.right.text == "R" * 80


def test_a_text_too_long_for_a_cell_is_cut_and_line_ends_are_line_feeds() -> None:
    long: Content = "x" * (LONGEST + 5)
    columns: tuple[Column[Content], ...] = (Column("text", "Text", lambda _, item: item),)
    found = written(Sheet("One", "One", columns, [Heading(), *table(columns, [long, "a\r\nb\rc"])]))["One"]
    assert found["A2"].value == cell_text(str(long)) == "x" * LONGEST
    assert found["A3"].value == "a\nb\nc"

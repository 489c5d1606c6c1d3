"""order.xlsx read back: as formulas, and as a viewer sees it that does not calculate."""

import io
import re
from decimal import Decimal

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.formats.fixed_zip import unzipped
from boardgen.purchasing.quoted_order import as_quoted
from boardgen.purchasing.quotes import changes, issue, quote_of, reference
from boardgen.workbooks.order import ChangeLog, OrderContent, write_order
from boardgen.workbooks.order_supplier import sheet_titles
from boardgen.workbooks.read_order import read_order
from tests.workbooks.made_order import made_content, made_order, made_suppliers
from tests.workbooks.order_edits import DOLLARS, FIRST, YEN, beside, figures, heading_row, opened, stay, written

SHEETS = [
    "Summary",
    FIRST,
    YEN,
    DOLLARS,
    "Tracking",
    "Where used",
    "Suppliers",
    "Alternates",
    "Windings",
    "Assumptions",
    "Changes",
]
ENTRY_FILL = "FFF1EFE8"


def seen(content: OrderContent | None = None) -> Workbook:
    """The values that a viewer shows which does not calculate."""
    data = write_order(content) if content else written()
    return openpyxl.load_workbook(io.BytesIO(data), data_only=True)


def rows(sheet: Worksheet) -> list[dict[str, object]]:
    """The rows of the table up to the first blank one, by the first line of their headings."""
    found = list(sheet.iter_rows(values_only=True))
    top = next(n for n, row in enumerate(found) if sum(cell is not None for cell in row) > 4)
    names = [str(name).split("\n")[0] for name in found[top]]
    body = []
    for row in found[top + 1 :]:
        if not any(cell is not None for cell in row):
            break
        body.append(dict(zip(names, row, strict=True)))
    return body


def test_the_sheets_stand_in_the_order_of_use() -> None:
    assert opened().sheetnames == SHEETS


def test_a_viewer_that_does_not_calculate_sees_the_totals() -> None:
    book = seen()
    for (sheet, label), amount in figures(made_order()).items():
        assert Decimal(str(beside(book[sheet], label).value)) == amount, (sheet, label)
    assert beside(book["Summary"], "Parts of which too few are bought").value == 0
    summary = rows(book["Summary"])
    assert [row["Sheet"] for row in summary[:3]] == [FIRST, YEN, DOLLARS]
    assert [row["Longest"] for row in summary[:3]] == ["not known", 5, 5]


def test_an_order_can_be_sent_from_its_sheet() -> None:
    first, second, goods = rows(seen()[FIRST])[:3]
    assert first == {
        "Line": 1,
        "Order code": "005-relay",
        "Maker": "Maker",
        "Maker's number": "X-12",
        "Description": "signal relay, sealed",
        "Quantity": 16,
        "Unit": "piece",
        "Sold in": 1,
        "Unit price": 3.61,
        "Line total": 57.76,
        "Lead days": 5,
        "Note": "-note; ten cost less than eight",
        "Our part": "relay",
        "Price breaks": "1: 4.15; 10: 3.61; 100: 2.80",
        "Next": 100,
        "The line": 222.24,
    }
    assert (second["Quantity"], second["Sold in"], second["Lead days"]) == (15, 5, None)
    assert goods["Unit price"] == "Goods"


def test_where_used_adds_up_all_sheets_and_boards() -> None:
    sheet = seen()["Where used"]
    relay, relay_again, film, resistor, wire, wire_again = rows(sheet)
    assert (relay["Designators"], relay["On all"], relay["Spares"], relay["From"]) == ("K1 K2 K3 K4", 12, 2, 2)
    assert (relay["Bought"], relay["Over"]) == (16, 16 + 2 - 12 - 4)
    assert (relay_again["Board"], relay_again["Note"]) == ('=Fen & "reed" <two-way>', "=cmd")
    assert (film["Over"], film["Note"]) == (3, "instead of Maker C-1 100n")
    assert (resistor["Bought"], wire["Bought"], wire_again["On all"]) == (10, 27.5, 10.4)
    said = {cell for row in sheet.iter_rows(values_only=True) for cell in row}
    assert {"All of it from stock", "D3", "Needed, but nobody sells it", "no supplier has it"} <= said
    assert {"D1 D2", "not fitted"} <= said


def test_suppliers_are_compared_part_by_part() -> None:
    taken, dearer, refused, film = rows(seen()["Suppliers"])
    assert (taken["Taken or not"], taken["The same"]) == ("taken; Supplier A asks less", 57.76)
    assert (dearer["Taken or not"], dearer["The same"]) == ("6.34 CAD more", 64.1)
    assert (refused["Taken or not"], refused["Currency"]) == ("15 days, too late", "JPY")
    assert film["Part"] == "Maker C-2 100n"


def test_alternates_say_where_they_differ() -> None:
    book = seen()["Alternates"]
    assert rows(book)[0]["Wanted"] == "Maker C-1 100n"
    said = [(row["What differs"], row["Wanted has"], row["Alternate has"]) for row in rows(book)]
    assert ("rated voltage", "63 V", "100 V") in said
    assert ("pitch", "5 mm", "not stated") in said


def test_doubts_name_the_standing_of_every_price_and_term() -> None:
    found = [row for row in seen()["Assumptions"].iter_rows(values_only=True) if row[0] == "[ ]"]
    standing = {row[1]: row[3] for row in found}
    assert standing["@Supplier: terms"] == "not known"
    assert standing["O'Brien & Sons [parts]: a/b*c? with a long name: terms"] == "invented"
    assert standing["O'Brien & Sons [parts] a/b*c? with another name: price of Maker +R"] == "invented"
    assert standing["@Supplier: price of Maker X-12"] == "asked 2026-11-01"
    assert standing["One USD in CAD"] == "given, 2026-11-01"
    assert standing["Maker X-12: contact capacitance"] == "assumed"


def test_wire_is_counted_for_all_boards() -> None:
    sheet = seen()["Windings"]
    assert beside(sheet, "Wire in all windings").value == pytest.approx(3 * 2 * 0.6)
    assert '=Fen & "reed" <two-way>: 1 board' in [cell.value for cell in sheet["A"]]


def test_what_was_entered_is_listed() -> None:
    order = made_order()
    first, *others = (quote_of(supplier) for supplier in order.suppliers)
    line = replace(first.lines[0], quantity=Decimal(20), lead_days=None)
    terms = replace(first.terms, shipping=Decimal("7.5"))
    quotes = [replace(first, lines=(line, *first.lines[1:]), terms=terms), *others]
    after = as_quoted(order, quotes, "entered in back.xlsx")
    log = ChangeLog("back.xlsx", changes(order, quotes))
    sheet = seen(made_content(after, entered=log, since=ChangeLog("old.xlsx", ())))["Changes"]
    assert [row[1:] for row in sheet.iter_rows(min_row=6, values_only=True)][:4] == [
        (None, None, None, None, None),
        (1, "Maker X-12", "quantity, piece", "16", "20"),
        (1, "Maker X-12", "lead days", "5", "not known"),
        (None, "terms of the supplier", "shipping", "0", "7.5"),
    ]
    said = [cell.value for cell in sheet["A"]]
    assert said[-2:] == ["Since old.xlsx", "Nothing was changed."]


def test_entries_and_nothing_else_are_open_marked_and_checked() -> None:
    book = opened()
    for sheet in book:
        assert sheet.protection.sheet, sheet.title
        assert not sheet.protection.password
        open_cells = {c.coordinate for row in sheet.iter_rows() for c in row if not c.protection.locked}
        marked = {c.coordinate for row in sheet.iter_rows() for c in row if c.fill.fgColor.rgb == ENTRY_FILL}
        boxed = {c.coordinate for row in sheet.iter_rows() for c in row if c.border.left and c.border.left.style}
        rules = sheet.data_validations.dataValidation
        # what may be sorted is open too, and refuses whatever is typed
        sortable = {str(cell) for rule in rules if rule.formula1 == "FALSE" for cell in rule.sqref}
        checked = {str(cell) for rule in rules if rule.formula1 != "FALSE" for cell in rule.sqref}
        assert marked == boxed == checked == open_cells - sortable
        assert bool(open_cells) == (sheet.title.startswith("Buy ") or sheet.title in ("Assumptions", "Tracking"))
        assert bool(sortable) == (sheet.title == "Tracking")
        assert not sheet.protection.sort
        # the filter of the table works in a locked sheet
        assert not sheet.auto_filter.ref or not sheet.protection.autoFilter
    assert all(sheet.auto_filter.ref for sheet in book if sheet.title.startswith("Buy "))
    row = heading_row(book[FIRST]) + 1
    assert {f"{column}{row}" for column in "BFIK"} <= {
        str(cell) for rule in book[FIRST].data_validations.dataValidation for cell in rule.sqref
    }
    headings = [str(cell.value) for cell in book[FIRST][row - 1]]
    assert [heading.split("\n")[0] for heading in headings if "enter" in heading] == [
        "Order code",
        "Quantity",
        "Unit price",
        "Lead days",
    ]


def test_no_text_of_others_becomes_a_formula() -> None:
    book = opened()
    ours = [c.value for sheet in book for row in sheet.iter_rows() for c in row if c.data_type == "f"]
    used = set(re.findall(r"[A-Z]+(?=\()", " ".join(ours)))
    assert used == {"ROUND", "SUM", "IF", "OR", "ISNUMBER", "COUNT", "ROWS", "MAX", "COUNTIF", "SUMIF", "LOOKUP"}
    assert not any("HYPERLINK" in formula or "cmd" in formula for formula in ours)
    texts = {c.value: c for sheet in book for row in sheet.iter_rows() for c in row if c.data_type == "s"}
    for text in ("-note; ten cost less than eight", "=cmd", "=relay", "@Supplier", "=start", "=list", "=bank"):
        assert texts[text].quotePrefix, text


def test_every_formula_has_its_value_and_two_writings_are_the_same() -> None:
    for name, data in unzipped(written()).items():
        if name.startswith("xl/worksheets/sheet"):
            cells = re.findall(r"<c [^>]*><f>.*?</c>", data.decode())
            assert all(re.search(r"</f><v>[-0-9.]+</v>|t=\"str\"><f>.*</f><v>[^<]+</v>", cell) for cell in cells)
    assert written() == write_order(made_content())


def test_set_up_for_paper_for_scrolling_and_for_readers() -> None:
    book = opened()
    assert book.properties.title == "Order for Saltmarsh four-way"
    assert book.custom_doc_props["Language"].value == "en"
    for sheet in book:
        top = int(str(sheet.freeze_panes)[1:]) - 1
        assert sheet.print_title_rows == f"${top}:${top}"
        # a width of one page is what the format takes where none is written
        assert sheet.page_setup.fitToWidth in (None, 1)
        assert (sheet.page_setup.orientation, sheet.page_setup.fitToHeight) == ("landscape", 0)
        assert str(sheet.page_setup.paperSize) == "9"
        assert sheet.oddHeader.left.text == "Saltmarsh four-way"
        assert sheet.oddHeader.right.text == f"reference {reference(made_order())}, issue {issue(made_order())}"
        assert sheet.oddFooter.right.text == "page &P of &N"
        for rule in sheet.data_validations.dataValidation:
            assert rule.formula1 == "FALSE" or (rule.promptTitle and rule.prompt)
    assert {name: found.attr_text for name, found in book[FIRST].defined_names.items()} == {
        "Order_code": f"'{FIRST}'!$B$7:$B$8",
        "Quantity": f"'{FIRST}'!$F$7:$F$8",
        "Unit_price": f"'{FIRST}'!$I$7:$I$8",
        "Lead_days": f"'{FIRST}'!$K$7:$K$8",
        "Total_to_pay": f"'{FIRST}'!$J$13",
    }
    assert "Whole_order" in book["Summary"].defined_names
    links = [c.hyperlink.location for c in book["Summary"]["K"] if c.hyperlink]
    assert links == [f"'{name}'!A1" for name in SHEETS[1:4]]


@settings(max_examples=50, deadline=None)
@given(st.lists(st.text(min_size=1), min_size=1, max_size=6))
def test_sheet_names_are_such_as_every_spreadsheet_takes(texts: list[str]) -> None:
    names = sheet_titles(texts, "Buy ")
    assert len({name.casefold() for name in names}) == len(texts)
    for name in names:
        assert name.startswith("Buy ")
        assert 4 < len(name.encode("utf-16-le")) // 2 <= 31
        assert not set(name) & set("[]:*?/\\'\n\t\x00")
        assert name == name.strip()


@settings(max_examples=15, deadline=None)
@given(st.text(alphabet=st.sampled_from("=+-@&<>\"'#N/A0123\n\r\t\x00\x0b\ud800￿_x "), min_size=1, max_size=40))
def test_any_text_is_written_and_read_back(text: str) -> None:
    suppliers = made_suppliers()
    part = replace(suppliers[0].lines[0].part, number=text, description=text, maker=text)
    line = replace(suppliers[0].lines[0], part=part, note=text, order_code="x")
    changed = replace(suppliers[0], lines=(line, *suppliers[0].lines[1:]), supplier=text, explanation=text)
    order = made_order(suppliers=(changed, *suppliers[1:]))
    data = write_order(OrderContent(order))
    book = openpyxl.load_workbook(io.BytesIO(data))
    assert {c.data_type for s in book for row in s.iter_rows() for c in row} <= {"s", "n", "f"}
    assert read_order(data, "back.xlsx", order, stay).quotes == tuple(
        quote_of(supplier) for supplier in order.suppliers
    )


def test_the_paper_is_that_of_the_boards() -> None:
    assert {str(sheet.page_setup.paperSize) for sheet in seen(made_content(paper="Letter"))} == {"1"}


def test_an_order_of_nothing_is_written_too() -> None:
    order = replace(made_order(), suppliers=(), total=Decimal("0.00"), unbought=(), not_fitted=())
    book = seen(OrderContent(order))
    assert beside(book["Summary"], "Whole order").value == 0
    assert book.sheetnames == [name for name in SHEETS if not name.startswith("Buy ")]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"left_out": ("Eastholm",)}, "at the prices in the price files; not looked at: Eastholm, without a rate."),
        ({"suppliers": ()}, "Nothing is bought, so nothing is proven."),
    ],
)
def test_the_proof_says_what_it_looked_at(changes: dict[str, object], said: str) -> None:
    sheet = seen(made_content(replace(made_order(), **changes)))["Summary"]
    assert any(str(cell.value).endswith(said) for cell in sheet["A"])

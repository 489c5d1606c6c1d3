"""How a sheet is printed and locked: as wide as the page on A4 and Letter alike, entries open and all else closed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from openpyxl.worksheet.cell_range import MultiCellRange
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.header_footer import HeaderFooterItem
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.formats.harmless import printable
from boardgen.workbooks.cells import Entry

LONGEST_TEXT_ENTRY = 60
_LONGEST_IN_HEADER = 80


def set_up_print(sheet: Worksheet, title: str, mark: str) -> None:
    """Landscape, as wide as the page; title and mark at the head, sheet and page number at the foot.

    The margins suit A4 and Letter alike.
    """
    sheet.sheet_view.showGridLines = False
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.page_margins.left = sheet.page_margins.right = 0.5
    sheet.page_margins.top = sheet.page_margins.bottom = 0.75
    header, footer = cast(HeaderFooterItem, sheet.oddHeader), cast(HeaderFooterItem, sheet.oddFooter)
    header.left.text, header.right.text = in_header(title), in_header(mark)
    footer.left.text, footer.right.text = "&A", "page &P of &N"


def lock(sheet: Worksheet) -> None:
    """Locks all cells but the entries, without a password; widths and heights stay free."""
    sheet.protection.sheet = True
    sheet.protection.formatColumns = sheet.protection.formatRows = False


def validate(sheet: Worksheet, entries: Mapping[Entry, Sequence[str]]) -> None:
    """Refuses what an entry cannot be, and says beside the selected cell what it is."""
    for entry, addresses in entries.items():
        rule = _rule(entry)
        rule.promptTitle, rule.prompt = entry.name[:32], entry.hint[:255]
        rule.showInputMessage = rule.showErrorMessage = True
        rule.errorTitle = "Not possible here"
        rule.sqref = MultiCellRange(" ".join(addresses))
        sheet.add_data_validation(rule)


def in_header(text: str) -> str:
    """The text for a page header, where & begins a code."""
    return printable(text)[:_LONGEST_IN_HEADER].replace("&", "&&")


def _rule(entry: Entry) -> DataValidation:
    if entry.least is None:
        rule = DataValidation("textLength", operator="lessThanOrEqual", formula1=str(LONGEST_TEXT_ENTRY))
        rule.error = f"Up to {LONGEST_TEXT_ENTRY} letters and digits."
        return rule
    rule = DataValidation("whole" if entry.whole else "decimal", operator="greaterThanOrEqual")
    rule.formula1 = f"{entry.least:f}"
    rule.error = f"A {'whole ' if entry.whole else ''}number, {entry.least:f} or more, without unit or formula."
    rule.allow_blank = True
    return rule

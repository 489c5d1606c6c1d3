"""The sheet of approved alternates: what may come in a part's place, and where the two differ."""

from __future__ import annotations

from collections.abc import Iterator

from openpyxl.worksheet.worksheet import Worksheet

from boardgen.purchasing.alternates import differences
from boardgen.purchasing.money import plain, price_text
from boardgen.purchasing.order import Alternate, Difference, Order, OrderLine
from boardgen.workbooks import style
from boardgen.workbooks.sheet import Sheet

NAME = "Alternates"
_COLUMNS = (
    style.Column("Wanted", widest=28),
    style.Column("Approved alternate", widest=28),
    style.Column("Bought", widest=10),
    style.Column("What differs", widest=26),
    style.Column("Wanted has", widest=28),
    style.Column("Alternate has", widest=28),
    style.Column("Best offer of the alternate", widest=40),
    style.Column("Approved by", widest=28),
)
_NOT_STATED = "not stated"
_ALIKE = Difference("nothing that is stated", "", "")


def alternates_sheet(worksheet: Worksheet, order: Order, mark: str) -> Sheet:
    """Writes the sheet: a group an alternate, a row a difference."""
    sheet = Sheet(worksheet, _COLUMNS)
    sheet.line(f"{order.title}: approved alternates", style.TITLE)
    sheet.line(
        "Buy an alternate only where it stands here; not stated means that no sheet of the maker says it.", style.SOFT
    )
    sheet.next_row += 1
    sheet.heading()
    found = [pair for line in order.lines for pair in _of_line(line)]
    for alternate, bought in found:
        for number, difference in enumerate(alternate.differs or (_ALIKE,)):
            wanted, part, taken, offer, source = _head(alternate, bought) if number == 0 else ("", "", "", "", "")
            sheet.row(
                (wanted, part, taken, difference.name, *_both(difference), offer, source),
                first_of_group=number == 0,
            )
    if not found:
        sheet.line("No alternate is approved: buy each part as it is named.")
    sheet.finish(order.title, mark)
    return sheet


def _of_line(line: OrderLine) -> Iterator[tuple[Alternate, bool]]:
    """What the line's part stands in for, then the other alternates; the flag says whether the alternate is bought."""
    for wanted in line.instead_of:
        yield Alternate(wanted, line.part, differences(wanted, line.part), line.quotes), True
    for alternate in line.alternates:
        yield alternate, False


def _both(difference: Difference) -> tuple[str, str]:
    """The two sides; both blank where nothing differs."""
    if difference == _ALIKE:
        return "", ""
    return difference.wanted or _NOT_STATED, difference.alternate or _NOT_STATED


def _head(alternate: Alternate, bought: bool) -> tuple[str, str, str, str, str]:
    names = alternate.wanted.name, alternate.part.name
    return *names, "yes" if bought else "no", _offer(alternate), alternate.source


def _offer(alternate: Alternate) -> str:
    possible = sorted(
        (quote for quote in alternate.quotes if not quote.refused),
        key=lambda q: (not q.taken, q.in_order_currency, q.supplier, q.order_code),
    )
    if not possible:
        return "nobody offers it" if not alternate.quotes else alternate.quotes[0].refused
    best = possible[0]
    each = price_text(best.unit_price, best.currency)
    return f"{best.supplier}, {best.order_code}: {plain(best.quantity)} at {each} = {best.line_total} {best.currency}"

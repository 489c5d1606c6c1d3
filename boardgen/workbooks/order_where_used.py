"""The sheet that says what each part is for: boards and designators, and whether enough is bought."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from msgspec import Struct
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.model.part import Part
from boardgen.purchasing.order import Order, OrderLine, UnboughtLine, WhereUsed
from boardgen.workbooks import style
from boardgen.workbooks.amounts import quantity_places
from boardgen.workbooks.cells import Formula, Number
from boardgen.workbooks.order_supplier import BuySheet
from boardgen.workbooks.sheet import Sheet
from boardgen.workbooks.sheet_names import quoted

NAME = "Where used"
_COLUMNS = (
    style.Column("Part", widest=28),
    style.Column("Description", widest=34),
    style.Column("Board", widest=22),
    style.Column("Designators", "code", 30),
    style.Column("On each\nboard", "number"),
    style.Column("On all\nboards", "number"),
    style.Column("Spares", "number"),
    style.Column("From\nstock", "number"),
    style.Column("Bought", "number"),
    style.Column("Over", "number", 14),
    style.Column("Unit"),
    style.Column("Note", widest=30),
)


class _Used(Struct, frozen=True):
    """A part with all that is bought of it; `cells` are those with the quantities."""

    part: Part
    unit: str
    where: tuple[WhereUsed, ...]
    spares: Decimal
    from_stock: Decimal
    bought: Decimal
    cells: tuple[str, ...]
    note: str

    @property
    def over(self) -> Decimal:
        """What remains when all boards are built."""
        return self.bought + self.from_stock - sum((use.quantity for use in self.where), Decimal())


class UsedSheet(Struct, frozen=True):
    """The sheet, and of how many parts too few are bought: as a formula and now."""

    sheet: Sheet
    short: Formula


def where_used_sheet(
    worksheet: Worksheet, order: Order, buys: Sequence[BuySheet], from_stock: Sequence[UnboughtLine], mark: str
) -> UsedSheet:
    """Writes the sheet: what is bought, what is in hand, what nobody sells, what is not fitted."""
    sheet = Sheet(worksheet, _COLUMNS)
    sheet.line(f"{order.title}: what each part is for", style.TITLE)
    sheet.line(
        "Bought follows the sheets named Buy. Over is what remains when all boards are built, spares included.",
        style.SOFT,
    )
    sheet.next_row += 1
    sheet.heading()
    first, bought = sheet.next_row, _bought(order, buys)
    for used in bought:
        _part(sheet, used)
    last = max(first, sheet.next_row - 1)
    few = Decimal(sum(used.over < 0 for used in bought))
    short = Formula(f'=COUNTIF({quoted(worksheet.title)}J{first}:J{last},"<0")', few)
    if from_stock:
        sheet.group("All of it from stock")
    for line in from_stock:
        _part(sheet, _unbought(line))
    if order.unbought:
        sheet.group("Needed, but nobody sells it")
    for line in order.unbought:
        _part(sheet, _unbought(line))
    if order.not_fitted:
        sheet.group("Not fitted: these places stay empty")
    for place in order.not_fitted:
        count, refs = Number(Decimal(len(place.refs))), " ".join(place.refs)
        blank = ("", "", "", "", "", "", "not fitted")
        sheet.row((place.part.name, place.part.description, place.board, refs, count, *blank))
    sheet.finish(order.title, mark)
    return UsedSheet(sheet, short)


def _bought(order: Order, buys: Sequence[BuySheet]) -> list[_Used]:
    """The parts in the order of the lines, those on several lines joined."""
    found: dict[str, list[tuple[OrderLine, str]]] = {}
    for supplier, buy in zip(order.suppliers, buys, strict=True):
        for line, cell in zip(supplier.lines, buy.quantities, strict=True):
            found.setdefault(line.part.key, []).append((line, cell))
    return [_joined([line for line, _ in some], tuple(cell for _, cell in some)) for some in found.values()]


def _joined(lines: Sequence[OrderLine], cells: tuple[str, ...]) -> _Used:
    first = next((line for line in lines if line.needed), lines[0])
    return _Used(
        first.part,
        first.unit,
        first.where_used,
        sum((line.spares for line in lines), Decimal()),
        sum((line.from_stock for line in lines), Decimal()),
        sum((line.quantity for line in lines), Decimal()),
        cells,
        f"instead of {', '.join(part.name for part in first.instead_of)}" if first.instead_of else "",
    )


def _unbought(line: UnboughtLine) -> _Used:
    return _Used(line.part, line.unit, line.where_used, line.spares, line.from_stock, Decimal(), (), line.reason)


def _part(sheet: Sheet, used: _Used) -> None:
    """A row for each kind of board; what is bought stands on the first."""
    places, top = quantity_places(used.unit), sheet.next_row
    where = used.where or (WhereUsed("", (), Decimal(), Decimal()),)
    bottom = top + len(where) - 1
    form = style.digits(places)
    figures = (
        Number(used.spares, places),
        Number(used.from_stock, places),
        Formula(f"={'+'.join(used.cells)}", used.bought, places) if used.cells else Number(Decimal(), places),
        Formula(f"=ROUND(I{top}+H{top}-SUM(F{top}:F{bottom}),6)", used.over, places, f'{form};"short by "{form}'),
    )
    for number, use in enumerate(where):
        first = number == 0
        each = max(places, 2) if used.unit == "m" else places
        sheet.row(
            (
                used.part.name if first else "",
                used.part.description if first else "",
                use.board,
                " ".join(use.refs),
                Number(use.per_board, each),
                Number(use.quantity, each),
                *(figures if first else ("", "", "", "")),
                used.unit,
                "; ".join(text for text in (used.note if first else "", use.note) if text),
            ),
            first_of_group=first,
        )

"""The sheet of an order that says what each part is for: boards and designators, and whether enough is bought."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.purchasing.order import NotFitted, Order, OrderLine, UnboughtLine, WhereUsed
from boardgen.workbooks.cells import Content, Formula, Number, number_format
from boardgen.workbooks.entries import quantity_places
from boardgen.workbooks.order_supplier import key
from boardgen.workbooks.sheet import Block, Column, Gap, Group, Heading, Line, Row, Sheet, row_of


class _Used(Struct, frozen=True):
    """A part with all that is bought of it; `cells` are the formulas of its quantities on the sheets of suppliers."""

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


class _Use(Struct, frozen=True):
    """A part on one kind of board. What is bought stands on the first of its rows; `last` is the name of the last."""

    used: _Used
    on: WhereUsed
    first: bool
    last: str


def _once(cell: Column[_Use]) -> Column[_Use]:
    """The column, blank on all rows of a part but the first."""
    return replace(cell, cell=lambda n, use: cell.cell(n, use) if use.first else "")


def _per_board(_: int, use: _Use) -> Number:
    return Number(use.on.per_board, _use_places(use))


def _on_all(_: int, use: _Use) -> Number:
    return Number(use.on.quantity, _use_places(use))


def _use_places(use: _Use) -> int:
    places = quantity_places(use.used.unit)
    return max(places, 2) if use.used.unit == "m" else places


def _bought(_: int, use: _Use) -> Content:
    used, places = use.used, quantity_places(use.used.unit)
    return Formula(f"={'+'.join(used.cells)}", used.bought, places) if used.cells else Number(Decimal(), places)


def _over(_: int, use: _Use) -> Formula:
    places = quantity_places(use.used.unit)
    form = number_format(places)
    formula = f"=ROUND({{bought}}+{{from_stock}}-SUM({{on_all}}:{{{use.last}[on_all]}}),6)"
    return Formula(formula, use.used.over, places, f'{form};"short by "{form}')


def _note(_: int, use: _Use) -> str:
    return "; ".join(text for text in (use.used.note if use.first else "", use.on.note) if text)


_COLUMNS: tuple[Column[_Use], ...] = (
    _once(Column("part", "Part", lambda _, use: use.used.part.name, widest=28)),
    _once(Column("description", "Description", lambda _, use: use.used.part.description, widest=34)),
    Column("board", "Board", lambda _, use: use.on.board, widest=22),
    Column("refs", "Designators", lambda _, use: " ".join(use.on.refs), "code"),
    Column("per_board", "On each\nboard", _per_board, "number"),
    Column("on_all", "On all\nboards", _on_all, "number"),
    _once(Column("spares", "Spares", lambda _, use: Number(use.used.spares, quantity_places(use.used.unit)), "number")),
    _once(
        Column(
            "from_stock",
            "From\nstock",
            lambda _, use: Number(use.used.from_stock, quantity_places(use.used.unit)),
            "number",
        )
    ),
    _once(Column("bought", "Bought", _bought, "number")),
    _once(Column("over", "Over", _over, "number", 14)),
    Column("unit", "Unit", lambda _, use: use.used.unit),
    Column("note", "Note", _note),
)


def where_used_sheet(order: Order, from_stock: Sequence[UnboughtLine]) -> Sheet:
    """What is bought, what is in hand, what nobody sells, what is not fitted."""
    blocks: list[Block] = [
        Line(f"{order.title}: what each part is for", "title"),
        Line(
            "Bought follows the sheets named Buy. Over is what remains when all boards are built, spares included.",
            "soft",
        ),
        Gap(),
        Heading(),
        *_rows(_all_bought(order), "bought"),
        *_group("All of it from stock", _rows(map(_unbought, from_stock), "stock")),
        *_group("Needed, but nobody sells it", _rows(map(_unbought, order.unbought), "unbought")),
        *_group("Not fitted: these places stay empty", [Row(_not_fitted(place)) for place in order.not_fitted]),
    ]
    return Sheet("Used", "Where used", _COLUMNS, blocks)


def short_parts(order: Order) -> Formula:
    """Of how many parts too few are bought: as a formula and now."""
    few = sum(used.over < 0 for used in _all_bought(order))
    return Formula('=COUNTIF({Used[column][over]},"<0")', Decimal(few))


def _group(heading: str, rows: Sequence[Row]) -> list[Block]:
    return [Group(heading), *rows] if rows else []


def _rows(parts: Iterable[_Used], kind: str) -> list[Row]:
    """A row for each kind of board that a part is on."""
    rows = []
    for part, used in enumerate(parts, 1):
        where = used.where or (WhereUsed("", (), Decimal(), Decimal()),)
        names = [f"{kind}{part}_{number}" for number in range(1, len(where) + 1)]
        for name, on in zip(names, where, strict=True):
            first = name == names[0]
            rows.append(row_of(_COLUMNS, _Use(used, on, first, names[-1]), name=name, first=first))
    return rows


def _not_fitted(place: NotFitted) -> tuple[Content, ...]:
    count, blank = Number(Decimal(len(place.refs))), ("",) * 6
    return place.part.name, place.part.description, place.board, " ".join(place.refs), count, *blank, "not fitted"


def _all_bought(order: Order) -> list[_Used]:
    """The parts in the order of the lines, those on several lines joined."""
    found: dict[str, list[tuple[OrderLine, str]]] = {}
    for number, supplier in enumerate(order.suppliers, 1):
        for n, line in enumerate(supplier.lines, 1):
            lines, quantities = (f"{{{key(number)}[column][{name}]}}" for name in ("line", "quantity"))
            # by the number of the line, since rows may be sorted
            found.setdefault(line.part.key, []).append((line, f"SUMIF({lines},{n},{quantities})"))
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
        f"instead of {', '.join(one.wanted.name for one in first.instead_of)}" if first.instead_of else "",
    )


def _unbought(line: UnboughtLine) -> _Used:
    return _Used(line.part, line.unit, line.where_used, line.spares, line.from_stock, Decimal(), (), line.reason)

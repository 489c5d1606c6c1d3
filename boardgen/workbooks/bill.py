"""bill.xlsx: the order, the board, the windings and the assumptions, with live formulas and their values."""

from __future__ import annotations

from decimal import Decimal

from msgspec import Struct

from boardgen.catalogue.to_verify import ToVerify, UncertainFigure, to_verify, uncertain_figures
from boardgen.circuit.windings import WindingRow, winding_rows
from boardgen.design import Design
from boardgen.model.part import Part
from boardgen.purchasing.bill import Bill, BillLine, board_value
from boardgen.purchasing.money import decimal_places, plain
from boardgen.purchasing.needs import unfitted
from boardgen.purchasing.notes import bill_note
from boardgen.workbooks.cells import Content, Formula, Number, TextEntry, half_up, number_format
from boardgen.workbooks.entries import (
    ORDER_CODE,
    SUPPLIER,
    lead_entry_cell,
    most_places,
    price_entry_cell,
    quantity_entry,
    quantity_places,
)
from boardgen.workbooks.shared_sheets import WoundBoard, assumptions_sheet, windings_sheet
from boardgen.workbooks.sheet import (
    Block,
    Book,
    Column,
    Gap,
    Group,
    Heading,
    Line,
    Row,
    Setting,
    Sheet,
    Total,
    or_gap,
    table,
)
from boardgen.workbooks.write import workbook_file


def bill_workbook(design: Design) -> bytes:
    """bill.xlsx of a design, the same bytes for the same design."""
    return write_bill(
        BillContent(
            title=design.spec.title,
            revision=design.spec.revision,
            bill=design.bill,
            unfitted=tuple(UnfittedRow(refs, part) for refs, part in unfitted(design.netlist)),
            windings=winding_rows(design.netlist, design.choices, design.catalogue.permeability),
            assumptions=uncertain_figures(design.parts),
            verify=to_verify(design.parts, design.catalogue),
            paper=design.spec.documents.paper,
        )
    )


class UnfittedRow(Struct, frozen=True):
    """Places on the board that stay empty, and the part that would go there."""

    refs: tuple[str, ...]
    part: Part


class BillContent(Struct, frozen=True):
    """Everything the workbook shows; `paper` is A4 or Letter."""

    title: str
    revision: str
    bill: Bill
    unfitted: tuple[UnfittedRow, ...] = ()
    windings: tuple[WindingRow, ...] = ()
    assumptions: tuple[UncertainFigure, ...] = ()
    verify: tuple[ToVerify, ...] = ()
    paper: str = "A4"


def write_bill(content: BillContent) -> bytes:
    """The workbook as a file, the same bytes for the same content."""
    title = content.title
    wound = WoundBoard(title, content.bill.boards, "{Order[boards]}", content.windings)
    sheets = (
        order_sheet(content),
        board_sheet(content),
        windings_sheet(title, (wound,)),
        assumptions_sheet(title, content.verify, content.assumptions),
    )
    return workbook_file(Book(title, "Bill of one board", title, f"revision {content.revision}", content.paper, sheets))


def order_sheet(content: BillContent) -> Sheet:
    """For the buyer: what to order, where, and what it comes to."""
    bill = content.bill
    columns = _order_columns(bill)
    places = decimal_places(bill.currency)
    in_all = "=SUM({column[line_total]})"
    per_board = f"={half_up('{order_total}/{boards}', bill.currency)}"
    unpriced = "=COUNT({column[line]})-COUNT({column[unit_price]})"
    blocks: list[Block] = [
        Line(content.title, "title"),
        Line(_subtitle(content), "soft"),
        *(Line(caution, "soft") for caution in _cautions(bill)),
        Setting("boards", "Boards", Number(Decimal(bill.boards))),
        Gap(),
        Heading(),
        *or_gap(table(columns, bill.lines)),
        _total("order_total", "Order total", Formula(in_all, bill.order_total, places), first=True),
        _total("per_board", "Order per board", Formula(per_board, bill.total_per_board, places)),
        _total("parts", "Parts in one board", Formula("={Board[parts]}", bill.board_value, places)),
        _total("unpriced", "Lines without a price, left out", Formula(unpriced, Decimal(len(bill.unpriced)))),
    ]
    return Sheet("Order", "Order", columns, blocks)


def _order_columns(bill: Bill) -> tuple[Column[BillLine], ...]:
    currency, places = bill.currency, decimal_places(bill.currency)
    price_places = most_places(line.unit_price for line in bill.lines)
    line_total = f'=IF(ISNUMBER({{unit_price}}),{half_up("{quantity}*{unit_price}", currency)},"")'
    return (
        Column("line", "Line", lambda n, _line: Number(Decimal(n)), "number"),
        Column("maker", "Maker", lambda _, line: line.part.maker, widest=14),
        Column("number", "Maker's number", lambda _, line: line.part.number, "code", 20),
        Column("description", "Description", lambda _, line: line.part.description, widest=28),
        Column(
            "quantity",
            "Quantity\nenter",
            lambda _, line: Number(line.ordered, quantity_places(line.unit), quantity_entry(line.unit)),
            "number",
        ),
        Column("unit", "Unit", lambda _, line: line.unit),
        Column("supplier", "Supplier\nenter", lambda _, line: TextEntry(line.supplier, SUPPLIER), widest=18),
        Column("order_code", "Order code\nenter", lambda _, line: TextEntry(line.order_code, ORDER_CODE), "code", 20),
        Column(
            "unit_price",
            f"Unit price\n{currency}, enter",
            lambda _, line: price_entry_cell(line.unit_price, currency, price_places),
            "number",
        ),
        Column(
            "line_total",
            f"Line total\n{currency}",
            lambda _, line: Formula(line_total, line.line_cost, places),
            "number",
        ),
        Column("lead_days", "Lead days\nenter", lambda _, line: lead_entry_cell(line.lead_days), "number"),
        Column("note", "Note", lambda _, line: bill_note(line), widest=40),
    )


def _subtitle(content: BillContent) -> str:
    bill = content.bill
    boards = "1 board" if bill.boards == 1 else f"{bill.boards} boards"
    days = sorted({line.as_of.isoformat() for line in bill.lines if line.as_of})
    asked = f", asked {' to '.join(dict.fromkeys((days[0], days[-1])))}" if days else ""
    own = ", other kinds of parts as specified" if bill.spares.by_kind else ""
    spares = f"{plain(bill.spares.fraction * 100)} % spares{own}"
    return f"Revision {content.revision}: order for {boards} with {spares}; prices in {bill.currency}{asked}"


def _cautions(bill: Bill) -> list[str]:
    cautions = [
        "Boxed cells are for entry, and totals follow them; all others are locked, without a password. A unit price "
        "does not follow its quantity, so look at the price breaks."
    ]
    if any(line.invented for line in bill.lines):
        cautions.append("Prices marked invented are for demonstration: nothing can be ordered at them.")
    return cautions


def _total(name: str, label: str, content: Formula, *, first: bool = False) -> Total:
    return Total(name, label, "line_total", content, first)


def board_sheet(content: BillContent) -> Sheet:
    """For the bench: which part goes where, and whether enough was ordered.

    Fitted parts first, in the order of the bill, then the places that stay empty.
    """
    bill = content.bill
    columns = _board_columns(bill)
    value = Formula("=SUM({column[value_in_board]})", bill.board_value, decimal_places(bill.currency))
    blocks: list[Block] = [
        Line(f"{content.title}: parts of one board", "title"),
        Line("Needed is for all boards of the order, without spares; it follows the sheet Order.", "soft"),
        Gap(),
        Heading(),
        *or_gap(table(columns, bill.lines)),
        Total("parts", "Parts in one board", "value_in_board", value, first=True),
        *((Group("Not fitted"),) if content.unfitted else ()),
        *(Row(_unfitted(row, len(columns))) for row in content.unfitted),
    ]
    return Sheet("Board", "Board", columns, blocks)


def _board_columns(bill: Bill) -> tuple[Column[BillLine], ...]:
    currency, any_in_hand = bill.currency, any(line.in_hand for line in bill.lines)

    def in_one_board(n: int, line: BillLine) -> Formula:
        price = f"{{Order[line{n}][unit_price]}}"
        value = None if line.unit_price is None else board_value(line, bill.boards, currency)
        bought = "MAX({per_board}-{in_hand}/{Order[boards]},0)" if any_in_hand else "{per_board}"
        amount = half_up(f"{bought}*{price}", currency)
        return Formula(f'=IF(ISNUMBER({price}),{amount},"")', value, decimal_places(currency))

    def per_board(_: int, line: BillLine) -> Number:
        places = quantity_places(line.unit)
        return Number(line.per_board, max(places, 2) if line.unit == "m" else places)

    def needed(_: int, line: BillLine) -> Formula:
        # The inner rounding keeps a binary fraction such as 3 x 0.1 from being rounded up by a whole step.
        places = quantity_places(line.unit)
        return Formula(f"=ROUNDUP(ROUND({{per_board}}*{{Order[boards]}},6),{places})", line.needed, places)

    def ordered(n: int, line: BillLine) -> Formula:
        return Formula(f"={{Order[line{n}][quantity]}}", line.ordered, quantity_places(line.unit))

    def in_hand(_: int, line: BillLine) -> Number:
        return Number(line.in_hand, quantity_places(line.unit))

    def left_over(_: int, line: BillLine) -> Formula:
        places = quantity_places(line.unit)
        over = number_format(places)
        there = "{in_hand}+" if any_in_hand else ""
        left = line.in_hand + line.ordered - line.needed
        return Formula(f"={there}{{ordered}}-{{needed}}", left, places, f'{over};"short by "{over}')

    return (
        Column("refs", "Designators", lambda _, line: " ".join(line.refs), "code", 30),
        Column("value", "Value", lambda _, line: line.part.value, "code", 18),
        Column("description", "Description", lambda _, line: line.part.description, widest=36),
        Column("part", "Part", lambda _, line: line.part.name, widest=28),
        Column("per_board", "Per board", per_board, "number"),
        Column("fitted", "Fitted", lambda _, _line: "fitted", widest=10),
        Column("needed", "Needed", needed, "number"),
        *([Column("in_hand", "In hand", in_hand, "number")] if any_in_hand else []),
        Column("ordered", "Ordered", ordered, "number"),
        Column("left_over", "Left over", left_over, "number", 12),
        Column("value_in_board", f"In one\nboard {currency}", in_one_board, "number"),
    )


def _unfitted(row: UnfittedRow, columns: int) -> tuple[Content, ...]:
    count = Number(Decimal(len(row.refs)))
    told = (" ".join(row.refs), row.part.value, row.part.description, row.part.name, count, "not fitted")
    return *told, *[""] * (columns - len(told))

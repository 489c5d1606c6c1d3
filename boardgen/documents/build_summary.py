"""What a build says when it is done, in lines."""

from __future__ import annotations

from boardgen.board.layout import size_in_words
from boardgen.catalogue.to_verify import to_verify
from boardgen.design import Design
from boardgen.documents import values
from boardgen.documents.counted import counted
from boardgen.documents.response import copper_in_short, judged_lines
from boardgen.purchasing.bill import Bill


def _size(design: Design) -> list[tuple[str, str]]:
    """Size of the board and what sets it, where it could be laid out."""
    made = design.layout
    if made is None:
        return [("size", "not laid out")]
    board = made.board
    words = f"{board.width_nm / 1e6:.2f} x {board.height_nm / 1e6:.2f} mm, {board.area_m2 * 1e4:.0f} cm2"
    return [("size", words), ("set by", size_in_words(board)), ("bare board", board_cost(design.bill))]


def board_cost(bill: Bill) -> str:
    """What the bare board costs and what makes the price."""
    line = next((line for line in bill.lines if line.part.kind == "bare board"), None)
    if line is None or line.purchase is None:
        return "no price"
    purchase = line.purchase
    number = "one" if purchase.quantity == 1 else f"each of {purchase.quantity:f}"
    why = purchase.offer.source if purchase.offer.by_area else f"size class up to {line.part.value} mm"
    return f"{purchase.unit_price} {bill.currency} for {number}, {purchase.offer.supplier}: {why}"


def lines(design: Design) -> list[tuple[str, str]]:
    """Heading and text of each line of the summary."""
    bill, netlist = design.bill, design.netlist
    ways = sum(s.fitted for s in design.request.antennas)
    antennas = counted(ways, "antenna")
    checks = to_verify(design.parts, design.catalogue)
    ruinous = sum(check.ruins_the_board for check in checks)
    board = f"{antennas} to one output, {sum(c.fitted for c in netlist.components)} parts, {len(netlist.nets)} nets"
    if bill.boards == 1:
        cost = f"{len(bill.lines)} lines, {bill.order_total} {bill.currency} for one board"
    else:
        cost = (
            f"{len(bill.lines)} lines, {bill.order_total} {bill.currency} for {bill.boards} boards, "
            f"{bill.total_per_board} each"
        )
    return [
        ("board", board),
        *_size(design),
        *highlights(design),
        ("bill", cost),
        ("copper", copper_in_short(design.prediction)),
        *judged_lines(design.prediction),
        (
            "verify",
            f"{len(checks)} things before you order, {ruinous} of which can ruin the board: "
            "sheet Assumptions of bill.xlsx",
        ),
    ]


def highlights(design: Design) -> list[tuple[str, str]]:
    """The values a practitioner asks for first."""
    found = []
    for row in values.rows(design.choices, design.request.strips):
        if row.role == "turns":
            found.append(("winding", f"{row.chosen} turns on {row.part} ({row.subject.split(': ', 1)[-1]})"))
        elif row.role in ("choke", "blocking capacitor"):
            found.append((row.role.split()[0], f"{row.chosen} {row.part} ({row.subject})"))
        elif row.role == "relay voltage":
            found.append(("relay", f"{row.part}: {row.achieved} left at the coil, {row.needed.lstrip('≥ ')} needed"))
        elif row.role == "longest cable":
            found.append(("cable", f"{row.needed.lstrip('≥ ')} asked for, up to {row.achieved} would work"))
    return found

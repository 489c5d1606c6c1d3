"""The sheets that the workbooks of a bill and of an order share: windings to wind, and figures that are not certain."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from msgspec import Struct

from boardgen.catalogue.to_verify import ToVerify, UncertainFigure
from boardgen.circuit.windings import WindingRow
from boardgen.workbooks.cells import Formula, Number
from boardgen.workbooks.entries import TICK
from boardgen.workbooks.sheet import Block, Column, Gap, Group, Heading, Line, Paragraph, Sheet, Total, row_of, table


class WoundBoard(Struct, frozen=True):
    """What is wound for one kind of board; `count` names the cell with the number of boards, as a formula does."""

    title: str
    boards: int
    count: str
    rows: tuple[WindingRow, ...]


class _Wound(Struct, frozen=True):
    """One kind of winding for all boards of one kind; lengths of wire in millimetres."""

    winding: WindingRow
    board: WoundBoard

    @property
    def lengths(self) -> tuple[Decimal, Decimal]:
        winding = self.winding
        return Decimal(f"{winding.primary_length_m * 1e3:.0f}"), Decimal(f"{winding.secondary_length_m * 1e3:.0f}")

    @property
    def pieces(self) -> int:
        return len(self.winding.refs) * self.board.boards

    @property
    def metres(self) -> Decimal:
        return self.pieces * sum(self.lengths, Decimal()) / 1000


_WINDING_COLUMNS: tuple[Column[_Wound], ...] = (
    Column("refs", "Designators", lambda _, w: " ".join(w.winding.refs), "code", 24),
    Column("core", "Core", lambda _, w: w.winding.core, widest=28),
    Column("wire", "Wire", lambda _, w: w.winding.wire, widest=28),
    Column("port_turns", "Port\nturns", lambda _, w: Number(w.winding.primary_turns), "number"),
    Column("board_turns", "Board\nturns", lambda _, w: Number(w.winding.secondary_turns), "number"),
    Column("port_mm", "Port\nwire mm", lambda _, w: Number(w.lengths[0]), "number"),
    Column("board_mm", "Board\nwire mm", lambda _, w: Number(w.lengths[1]), "number"),
    Column(
        "pieces",
        "To wind,\nall boards",
        lambda _, w: Formula(f"={len(w.winding.refs)}*{w.board.count}", Decimal(w.pieces)),
        "number",
    ),
    Column(
        "metres",
        "Wire m,\nall boards",
        lambda _, w: Formula("={pieces}*({port_mm}+{board_mm})/1000", w.metres, 2),
        "number",
    ),
    Column("starts", "Start marks", lambda _, w: w.winding.start_marks, widest=40),
    Column(
        "inductance_uh",
        "Port winding\nleast uH",
        lambda _, w: Number(round(w.winding.inductance_h * 1e6, 6), 1),
        "number",
    ),
    Column("strips", "Strips", lambda _, w: ", ".join(w.winding.strips), widest=28),
)


def windings_sheet(title: str, boards: Sequence[WoundBoard]) -> Sheet:
    """For the winder: core, wire, turns and what to measure; boards under their titles where there are several."""
    blocks: list[Block] = [
        Line(f"{title}: windings", "title"),
        Line(
            "A turn is one pass through both holes. Wire is for one winding with its leads. Measure the port winding "
            "at 10 kHz before building in: book.html has what else to measure.",
            "soft",
        ),
        Gap(),
        Heading(),
    ]
    metres: dict[str, Decimal] = {}
    for board in boards:
        if len(boards) > 1:
            blocks.append(Group(f"{board.title}: {'1 board' if board.boards == 1 else f'{board.boards} boards'}"))
        for wound in (_Wound(row, board) for row in board.rows):
            name = f"line{len(metres) + 1}"
            metres[name] = wound.metres
            blocks.append(row_of(_WINDING_COLUMNS, wound, name=name))
        if not board.rows:
            blocks.append(Line("Nothing is wound for this board."))
    if metres:
        formula = "=" + "+".join(f"{{{name}[metres]}}" for name in metres)
        total = Formula(formula, sum(metres.values(), Decimal()), 2)
        blocks.append(Total("wire", "Wire in all windings", "metres", total, first=True, unit="m, without spares"))
    return Sheet("Windings", "Windings", _WINDING_COLUMNS, blocks)


class FigureRow(Struct, frozen=True):
    """A figure that a cost rests on: a price, a supplier's terms or a rate, and how far it can be trusted."""

    what: str
    value: str
    standing: str
    source: str


_FIGURE_COLUMNS: tuple[Column[FigureRow], ...] = (
    Column("checked", "Checked", lambda _, _figure: TICK, "code"),
    Column("what", "What", lambda _, figure: figure.what, widest=60),
    Column("value", "Value", lambda _, figure: figure.value, "code", 34),
    Column("standing", "Standing", lambda _, figure: figure.standing, widest=14),
    Column("source", "Source", lambda _, figure: figure.source, widest=50),
)


def assumptions_sheet(
    title: str, verify: Sequence[ToVerify], assumptions: Sequence[UncertainFigure], costs: Sequence[FigureRow] = ()
) -> Sheet:
    """What to verify before ordering, then `costs`, the figures that an order's costs rest on, then the others."""
    figures = [FigureRow(f"{row.part}: {row.figure}", row.value, row.standing, row.source) for row in assumptions]
    blocks: list[Block] = [
        Line(f"{title}: verify before you order", "title"),
        Line("Recalled, assumed and computed figures were not seen in a maker's sheet nor measured.", "soft"),
        Gap(),
        Heading(),
        *_checks("What can ruin the board", [check for check in verify if check.ruins_the_board]),
        *_checks("Verify before you order", [check for check in verify if not check.ruins_the_board]),
        *(() if verify else (Line("Nothing is listed."),)),
        *([Group("What the costs rest on")] if costs else []),
        *table(_FIGURE_COLUMNS, costs, ""),
        Group("Figures neither read nor measured"),
        *table(_FIGURE_COLUMNS, figures, ""),
        *(() if figures else (Line("There is none."),)),
    ]
    return Sheet("Assumptions", "Assumptions", _FIGURE_COLUMNS, blocks)


def _checks(heading: str, verify: Sequence[ToVerify]) -> list[Block]:
    return [Group(heading), *(Paragraph(str(check), TICK) for check in verify)] if verify else []

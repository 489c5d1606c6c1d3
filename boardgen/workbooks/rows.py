"""What the workbook is given beside the bill: plain rows for its sheets."""

from __future__ import annotations

from msgspec import Struct

from boardgen.model.figure import Standing
from boardgen.model.part import Part
from boardgen.purchasing.bill import Bill


class UnfittedRow(Struct, frozen=True):
    """Places on the board that stay empty, and the part that would go there."""

    refs: tuple[str, ...]
    part: Part


class WindingRow(Struct, frozen=True):
    """How one kind of transformer or choke is wound.

    Lengths are of the wire of one winding with its leads. `start_marks` says which ends are starts and where they go;
    `inductance_h` is that of the primary, to measure before it is built in.
    """

    refs: tuple[str, ...]
    core: str
    wire: str
    primary_turns: int
    secondary_turns: int
    primary_length_m: float
    secondary_length_m: float
    start_marks: str
    inductance_h: float
    strips: tuple[str, ...]


class WoundBoard(Struct, frozen=True):
    """What is wound for one kind of board; `cell` is where the workbook has the number of boards."""

    title: str
    boards: int
    cell: str
    rows: tuple[WindingRow, ...]


class AssumptionRow(Struct, frozen=True):
    """A figure that was neither read nor measured, with the value as text."""

    part: str
    figure: str
    value: str
    standing: Standing
    source: str


class FigureRow(Struct, frozen=True):
    """A figure that a cost rests on: a price, a supplier's terms or a rate, and how far it can be trusted."""

    what: str
    value: str
    standing: str
    source: str


class WorkbookContent(Struct, frozen=True):
    """Everything the workbook shows. `verify` are sentences: what to check before ordering; `paper` is A4 or Letter."""

    title: str
    revision: str
    bill: Bill
    unfitted: tuple[UnfittedRow, ...] = ()
    windings: tuple[WindingRow, ...] = ()
    assumptions: tuple[AssumptionRow, ...] = ()
    verify: tuple[str, ...] = ()
    paper: str = "A4"

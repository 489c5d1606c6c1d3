"""Writes and reads where every part stands, as comma-separated text: middle of its body, side and rotation."""

from __future__ import annotations

import csv
from io import StringIO

from msgspec import Struct

from boardgen.formats.csv_text import csv_bytes, harmless
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist

HEADING = ("Designator", "Comment", "Footprint", "Mid X (mm)", "Mid Y (mm)", "Rotation", "Layer", "Fitted")
"""As assembly houses call them: common practice, no source."""


def positions_csv(board: Board, netlist: Netlist) -> bytes:
    """One line a part, in the order of the netlist: millimetres from the lower left corner, degrees anticlockwise."""
    values = netlist.component
    rows = []
    for part in board.parts:
        left, bottom, right, top = part.body
        middle = [f"{value / 2e6:.3f}" for value in (left + right, bottom + top)]
        fitted = "yes" if part.fitted else "no"
        value = harmless(values[part.ref].value)
        rows.append([part.ref, value, part.footprint, *middle, part.rotation * 90, "top", fitted])
    return csv_bytes(HEADING, rows)


class Position(Struct, frozen=True):
    """A line of the file: the part, and the middle of its body in nanometres."""

    ref: str
    value: str
    footprint: str
    middle: tuple[int, int]
    degrees: int
    side: str
    fitted: str


def read_positions(text: str) -> tuple[Position, ...]:
    """The lines of the file. Raises ValueError where they are not as this program writes them."""
    heading, *rows = csv.reader(StringIO(text))
    if tuple(heading) != HEADING:
        msg = f"the columns are {', '.join(heading)}"
        raise ValueError(msg)
    found = []
    for number, row in enumerate(rows, 2):
        try:
            ref, value, footprint, x, y, degrees, side, fitted = row
            middle = round(float(x) * 1e6), round(float(y) * 1e6)
            found.append(Position(ref, value, footprint, middle, int(degrees), side, fitted))
        except ValueError as error:
            msg = f"line {number} is no position of a part"
            raise ValueError(msg) from error
    return tuple(found)

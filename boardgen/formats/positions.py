"""Writes where every part stands, as comma-separated text: middle of its body, side and rotation."""

from __future__ import annotations

from boardgen.formats.csv_text import csv_bytes, harmless
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist

HEADING = ("reference", "value", "footprint", "x mm", "y mm", "rotation deg", "side", "fitted")


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

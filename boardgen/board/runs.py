"""Inductance of the copper between each antenna's port and the output's."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.handbook.coplanar import pair_inductance_h_per_m
from boardgen.model.copper import Board, Track
from boardgen.model.figure import Figure
from boardgen.model.netlist import Netlist, Port

LOW, HIGH = 0.5, 1.2
"""Of the estimate: 0V copper near the pair halves it at most, and its way may be a fifth longer than the direct one."""
SOURCE = "two coplanar strips as wide and as far apart as the bus rails, on the direct way from port to output"


def runs(board: Board, netlist: Netlist) -> Mapping[str, Figure]:
    """By antenna, the inductance of the loop of centre and braid from its port to the output's, in henries."""
    centre, braid = _rails(board, "bus centre"), _rails(board, "bus braid")
    ports = {p.strip: p for p in netlist.ports if netlist.component[p.ref].fitted}
    if not centre or not braid or "output" not in ports:
        return {}
    apart = min(abs(one.start[1] - two.start[1]) for one in centre for two in braid)
    width_nm = centre[0].width_nm
    per_m = pair_inductance_h_per_m(width_nm * 1e-9, max(apart - width_nm, 1) * 1e-9)
    header = min((t.start[0] for t in board.tracks if t.net == "bus centre" and t.start[0] == t.end[0]), default=0)
    found = {}
    for strip, port in ports.items():
        if strip != "output":
            henries = per_m * _way_nm(board, centre, port, ports["output"], header) * 1e-9
            found[strip] = Figure(henries, "H", "computed", SOURCE, LOW * henries, HIGH * henries)
    return found


def _rails(board: Board, net: str) -> list[Track]:
    """The level copper of a bus conductor that is as wide as its widest."""
    level = [t for t in board.tracks if t.net == net and t.start[1] == t.end[1]]
    widest = max((t.width_nm for t in level), default=0)
    return [t for t in level if t.width_nm == widest]


def _way_nm(board: Board, rails: list[Track], port: Port, output: Port, header_nm: int) -> int:
    """Down to the bus, along it, and up to the output; by way of the header where they are in two rows."""
    (x1, y1), (x2, y2) = (
        next(pad.at for pad in board.pads if pad.ref == p.ref and pad.net == p.centre) for p in (port, output)
    )
    first, second = (max((t.start[1] for t in rails if t.start[1] < y), default=y) for y in (y1, y2))
    upright = (y1 - first) + (y2 - second)
    if first == second:
        return upright + abs(x1 - x2)
    return upright + (x1 - header_nm) + abs(first - second) + (x2 - header_nm)

"""Lengths of wire that follow from where things stand on the board."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from math import ceil, dist, hypot

from boardgen.model.copper import Board, PlacedPad, PlacedPart
from boardgen.model.netlist import Netlist
from boardgen.model.wire_cut import WireCut

THROUGH_NM = 1_600_000 + 1_400_000
"""Through the board, and what stands out below to be soldered."""
STEP_NM = 1_000_000
"""Cut to the whole millimetre above."""
TAIL = "3 mm at each end through the board"
"""THROUGH_NM in words."""


def wire_cuts(board: Board, netlist: Netlist) -> tuple[WireCut, ...]:
    """Wire links, what each winding's ends must leave after winding, and how far a pigtail lies over the board.

    Lengths are in metres, up to the next whole millimetre; parts that are not fitted have none.
    """
    pads: dict[str, list[PlacedPad]] = {}
    for pad in board.pads:
        pads.setdefault(pad.ref, []).append(pad)
    standing = {s.ref: s for s in board.parts}

    def lengths(kind: str, length_nm: Callable[[str], float]) -> dict[str, float]:
        fitted = [c.ref for c in netlist.of_kind(kind) if c.fitted and c.ref in pads]
        return {ref: length_nm(ref) for ref in fitted}

    link = lengths("link", lambda ref: _link_nm(pads[ref]))
    lead = lengths("core", lambda ref: _lead_nm(standing[ref], pads[ref]))
    way = lengths("connector", lambda ref: _edge_nm(board, pads[ref]))
    return (
        *_grouped(link, "wire link", f"between its pads, and {TAIL}"),
        *_grouped(lead, "least lead of a winding", "longest way from the core to a pad, and 3 mm"),
        *_grouped(way, "way of a pigtail over the board", "from its furthest pad to the nearest edge, and 3 mm"),
    )


def _grouped(lengths_nm: Mapping[str, float], what: str, basis: str) -> Iterator[WireCut]:
    """One cut for all parts with the same length, rounded up."""
    found: dict[float, list[str]] = {}
    for ref, length_nm in lengths_nm.items():
        # a nanometre of rounding is no reason for another millimetre
        whole = round(ceil(round(length_nm / STEP_NM, 6)) * STEP_NM * 1e-9, 6)
        found.setdefault(whole, []).append(ref)
    yield from (WireCut(tuple(refs), what, metres, basis) for metres, refs in found.items())


def _link_nm(pads: list[PlacedPad]) -> float:
    return dist(pads[0].at, pads[1].at) + 2 * THROUGH_NM


def _lead_nm(core: PlacedPart, pads: list[PlacedPad]) -> float:
    """A winding leaves a core at its body; its end lies flat to the pad."""
    left, low, right, high = core.body

    def out_nm(pad: PlacedPad) -> float:
        x, y = pad.at
        return hypot(max(left - x, 0, x - right), max(low - y, 0, y - high))

    return max(map(out_nm, pads)) + THROUGH_NM


def _edge_nm(board: Board, pads: list[PlacedPad]) -> float:
    def to_edge_nm(pad: PlacedPad) -> int:
        x, y = pad.at
        return min(x, y, board.width_nm - x, board.height_nm - y)

    return max(map(to_edge_nm, pads)) + THROUGH_NM

"""Checks of what a surge asks of the copper: the distance that it keeps, and the width of its ways from end to end."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from boardgen.board.connectivity import BOTTOM, SLACK_NM, TOP, CopperGeometry, Pin, components, fault, meeting
from boardgen.board.strips import ends_a_wire
from boardgen.kinds import kind_of
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.problem import Problem

COPPER_NM, WALL_NM = 35_000, 20_000
"""Thickness of the copper, and of the wall of a plated hole: IPC-6012 class 2, average (recalled)."""


def creepage(board: Board, copper: CopperGeometry, component: NDArray[np.int64], least_nm: int) -> list[Problem]:
    """Copper that may rise with a surge, against all other copper: the earth, and what is drawn for a surge.

    The thin tracks behind a tube are on the same net and keep the clearance of any other.
    """
    if not least_nm:
        return []
    nets = np.array([board.pads[pad].net if pad >= 0 else "" for pad in copper.pad.tolist()])
    surge = np.array(
        [what == "track" and board.tracks[k].surge for what, k in zip(copper.what, copper.index, strict=True)]
    )
    # 0V is the quiet side: its own surge copper counts against earth alone
    hot = (np.isin(component, component[nets == "earth"]) | surge) & ~np.isin(component, component[nets == "0V"])
    one, two, gap = copper.near(least_nm, np.nonzero(hot)[0])
    bad = (component[one] != component[two]) & (gap < least_nm - SLACK_NM)
    return [
        fault(
            "B202 creepage",
            copper.place(int(a), int(b)),
            f"copper that a surge reaches is {max(g, 0) * 1e-6:.2f} mm from other copper",
            f"{least_nm * 1e-6:.2f} mm are needed",
        )
        for a, b, g in zip(one[bad], two[bad], gap[bad], strict=True)
    ]


def surge_ways(board: Board, netlist: Netlist, wide_nm: int) -> list[Problem]:
    """Ways of a surge on which copper is missing that is as wide as it asks: from ports to tubes, to the stake, on.

    Where a part joins earth to 0V the surge goes on through the cable, from that part to all screws and studs on 0V;
    pins of jacks bear none. Tracks of that width count, wherever their middles meet, and pads in which they end; what
    the pour adds does not. Sides are joined at the lead of a part that is soldered in, and by vias whose walls make up
    for the width.
    """
    if not wide_nm:
        return []
    tracks = [track for track in board.tracks if track.width_nm >= wide_nm]
    cores = shapely.linestrings(np.array([(*t.start, *t.end) for t in tracks], float).reshape(-1, 2, 2))
    more = np.array([(t.width_nm - wide_nm) / 2 for t in tracks])
    pads = shapely.points(np.array([pad.at for pad in board.pads], float).reshape(-1, 2))
    room = np.array([max(0.0, min(pad.width_nm, pad.height_nm) - wide_nm) / 2 for pad in board.pads])
    pieces, reach = np.concatenate([cores, pads]), np.concatenate([more, room])
    sides = np.array(
        [TOP if t.side == "top" else BOTTOM for t in tracks]
        + [TOP | BOTTOM if pad.hole_nm else TOP for pad in board.pads]
    )
    one, two = meeting(shapely.bounds(pieces) + (reach[:, None] + 1) * np.array([-1, -1, 1, 1]))
    meet = shapely.distance(pieces[one], pieces[two]) <= reach[one] + reach[two] + 1
    level = meet & ((sides[one] & sides[two]) > 0)
    holes = _holes_in(board, pieces, wide_nm)
    through = [
        (a, b)
        for a, b in zip(one[meet & ~level].tolist(), two[meet & ~level].tolist(), strict=True)
        if math.pi * sum(board.vias[k].hole_nm for k in holes[a] & holes[b]) * WALL_NM >= wide_nm * COPPER_NM
    ]
    pairs = np.array([*zip(one[level], two[level], strict=True), *through], np.int64).reshape(-1, 2).T
    component = components(len(pieces), pairs[0], pairs[1])
    of_pin = {(pad.ref, pad.number): int(component[len(tracks) + k]) for k, pad in enumerate(board.pads)}
    found = []
    for ends in _surge_ends(netlist):
        first, *others = [pin for pin in ends if pin in of_pin]
        for other in others:
            if of_pin[other] != of_pin[first]:
                at = next(pad.at for pad in board.pads if (pad.ref, pad.number) == other)
                text = f"no copper as wide as a surge asks leads from {first[0]}-{first[1]} to {other[0]}-{other[1]}"
                found.append(fault("B207 surge way", at, text, f"{wide_nm * 1e-6:.2f} mm are needed all the way"))
    return found


def _holes_in(board: Board, pieces: NDArray[np.object_], wide_nm: int) -> list[set[int]]:
    """For each piece, so wide, the numbers of the vias that lie in it."""
    found: list[set[int]] = [set() for _ in pieces]
    holes = shapely.points(np.array([via.at for via in board.vias], float).reshape(-1, 2))
    for hole, piece in shapely.STRtree(pieces).query(holes, predicate="dwithin", distance=wide_nm / 2).T.tolist():
        found[piece].add(hole)
    return found


def _surge_ends(netlist: Netlist) -> Iterator[list[Pin]]:
    """Pins that a surge must find joined: each port with its tubes, all of the earth, and where it goes on, of 0V."""
    parts = netlist.component
    pins = {net.name: [(node.ref, node.pad) for node in net.nodes] for net in netlist.nets}
    earthed = {ref for ref, _ in pins.get("earth", ())}
    on_zero = pins.get("0V", [])
    for port in netlist.ports:
        for net in (port.centre, port.braid):
            ends = [pin for pin in pins[net] if pin[0] == port.ref or pin[0] in earthed]
            yield [pin for pin in ends if kind_of(parts[pin[0]].part).bears_surge]
    yield [pin for pin in pins.get("earth", ()) if kind_of(parts[pin[0]].part).bears_surge]
    joins = [pin for pin in on_zero if pin[0] in earthed]
    if joins:
        yield [*joins, *(pin for pin in on_zero if ends_a_wire(parts[pin[0]]))]

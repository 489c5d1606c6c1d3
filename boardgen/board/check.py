"""Everything that is checked of a layout before a board house sees it, from its geometry alone.

Copper and holes are checked here, what a surge asks in `check_surge`, parts, mask and silkscreen in `check_assembly`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from boardgen.board.check_assembly import courtyards, mask_webs, silkscreen
from boardgen.board.check_surge import creepage, surge_ways
from boardgen.board.connectivity import (
    SLACK_NM,
    TOUCH_NM,
    CopperGeometry,
    Near,
    compare,
    components,
    copper_geometry,
    fault,
    meeting,
    nets_of_pins,
)
from boardgen.board.rules import Rules
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Board, PointNm, Track
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint
from boardgen.model.problem import Problem

LEAST_CORNER_DEG = 89.0
"""Tracks that meet at less trap etchant; a degree less than a right angle for ends rounded to nanometres."""
Hole = tuple[int, int, int, float | None]
"""Place and diameter, and the ring about it where it is plated; nanometres."""


def check(board: Board, netlist: Netlist, footprints: Mapping[str, Footprint], rules: Rules) -> tuple[Problem, ...]:
    """Every fault of a board, with id, place and sentence; empty for a good one."""
    copper = copper_geometry(board)
    near = copper.near(rules.clearance_nm)
    touching = near[2] <= TOUCH_NM
    component = components(len(copper.cores), near[0][touching], near[1][touching])
    return (
        *compare(copper, board.pads, component, nets_of_pins(netlist)),
        *clearance(copper, near, component, rules.clearance_nm),
        *creepage(board, copper, component, rules.surge_clearance_nm),
        *widths(board, rules),
        *surge_ways(board, netlist, rules.surge_nm),
        *size(board, rules.house),
        *edges(board, copper, rules.house.copper_to_edge_nm),
        *corners(board),
        *drills(board, rules.house),
        *courtyards(board, footprints),
        *mask_webs(board, rules.house),
        *silkscreen(board, rules.house),
    )


def clearance(copper: CopperGeometry, near: Near, component: NDArray[np.int64], least_nm: int) -> list[Problem]:
    """Pieces of different nets, by what is joined, that come too close."""
    one, two, gap = near
    bad = (component[one] != component[two]) & (gap < least_nm - SLACK_NM)
    return [
        fault(
            "B201 clearance",
            copper.place(int(a), int(b)),
            f"{copper.what[a]} and {copper.what[b]} are {max(g, 0) * 1e-6:.3f} mm apart",
            f"{least_nm * 1e-6:.2f} mm are needed",
        )
        for a, b, g in zip(one[bad], two[bad], gap[bad], strict=True)
    ]


def widths(board: Board, rules: Rules) -> list[Problem]:
    """Tracks too thin for the board house, or for the surge they carry."""
    found = []
    for track in board.tracks:
        least = rules.surge_nm if track.surge else rules.house.track_nm
        if track.width_nm < least:
            text = f"a track is {track.width_nm * 1e-6:.2f} mm wide"
            found.append(fault("B203 track width", track.start, text, f"{least * 1e-6:.2f} mm are needed"))
    return found


def size(board: Board, house: BoardHouse) -> list[Problem]:
    """A board longer than the house makes."""
    longest = max(board.width_nm, board.height_nm)
    if longest <= house.longest_nm:
        return []
    text = f"the board is {board.width_nm * 1e-6:.1f} x {board.height_nm * 1e-6:.1f} mm"
    return [fault("B305 board size", (0, 0), text, f"{house.longest_nm * 1e-6:g} mm are made at most")]


def edges(board: Board, copper: CopperGeometry, least_nm: int) -> list[Problem]:
    """Copper too near the edge of the board or a screw."""
    box = copper.boxes
    room = np.min([box[:, 0], box[:, 1], board.width_nm - box[:, 2], board.height_nm - box[:, 3]], axis=0)
    found = [
        fault("B204 copper to edge", copper.place(int(k)), f"a {copper.what[k]} is {room[k] * 1e-6:.2f} mm from the "
              "edge", f"{least_nm * 1e-6:.2f} mm are needed")
        for k in np.nonzero(room < least_nm - SLACK_NM)[0]
    ]  # fmt: skip
    for hole in board.mounting_holes:
        (x, y), keep = hole.at, hole.keepout_nm / 2
        low = (box[:, 0] < x + keep) & (box[:, 2] > x - keep) & (box[:, 1] < y + keep) & (box[:, 3] > y - keep)
        for k in np.nonzero(low)[0]:
            gap = float(shapely.distance(copper.cores[k], shapely.Point(x, y))) - float(copper.radius_nm[k]) - keep
            if gap < -SLACK_NM:
                text = f"a {copper.what[k]} reaches {-gap * 1e-6:.2f} mm under the head of a screw"
                found.append(fault("B205 copper to screw", (x, y), text))
    return found


def corners(board: Board) -> list[Problem]:
    """Two tracks of one side and width that meet at less than a right angle, away from pads and vias."""
    calm = {pad.at for pad in board.pads} | {via.at for via in board.vias}
    pads = [(pad.at, max(pad.width_nm, pad.height_nm) / 2) for pad in board.pads]
    found = []
    for point, apart in _meetings(board.tracks):
        if point not in calm and not any(math.dist(point, centre) < reach for centre, reach in pads):
            found.append(fault("B206 acute corner", point, f"two tracks meet at {apart:.0f} degrees"))
    return found


def _meetings(tracks: Sequence[Track]) -> Iterator[tuple[PointNm, float]]:
    """Where ends of two tracks of one side meet at an acute angle, and the angle in degrees."""
    ends = np.array([(*t.start, *t.end, t.side == "top") for t in tracks], np.int64).reshape(-1, 5)
    here, there = np.concatenate([ends[:, :2], ends[:, 2:4]]), np.concatenate([ends[:, 2:4], ends[:, :2]])
    side = np.tile(ends[:, 4], 2)
    order = np.lexsort((here[:, 1], here[:, 0], side))
    place = np.column_stack([side, here])[order]
    way = np.degrees(np.arctan2(*(there - here)[order].T[::-1]))
    # ends of one place lie together: each is held against the next, the one after, and so on
    for step in range(1, len(order)):
        same = (place[step:] == place[:-step]).all(axis=1)
        if not same.any():
            return
        apart = np.abs((way[:-step] - way[step:] + 180) % 360 - 180)
        for number in np.flatnonzero(same & (apart > 1) & (apart < LEAST_CORNER_DEG)).tolist():
            _, x, y = place[number].tolist()
            yield (x, y), float(apart[number])


def drills(board: Board, house: BoardHouse) -> list[Problem]:
    """Rings too narrow, holes too small or large, too near each other or the edge."""
    holes: list[Hole] = []
    holes += [_hole(pad.at, pad.hole_nm, min(pad.width_nm, pad.height_nm)) for pad in board.pads if pad.hole_nm]
    holes += [_hole(via.at, via.hole_nm, via.pad_nm) for via in board.vias]
    holes += [_hole(hole.at, hole.hole_nm, None) for hole in board.mounting_holes]
    found = []
    for x, y, size, ring in holes:
        if ring is not None and ring < house.ring_nm:
            text, wanted = f"the ring is {ring * 1e-6:.2f} mm", f"{house.ring_nm * 1e-6:.2f} mm are needed"
            found.append(fault("B301 ring", (x, y), text, wanted))
        if not house.hole_least_nm <= size <= house.hole_most_nm:
            allowed = f"{house.hole_least_nm / 1e6} to {house.hole_most_nm / 1e6} mm are made"
            found.append(fault("B302 hole size", (x, y), f"a hole of {size * 1e-6:.2f} mm", allowed))
        room = min(x, y, board.width_nm - x, board.height_nm - y) - size / 2
        if room < house.hole_to_edge_nm:
            text, wanted = f"a hole is {room * 1e-6:.2f} mm from the edge", f"{house.hole_to_edge_nm * 1e-6:.2f} mm"
            found.append(fault("B304 hole to edge", (x, y), text, f"{wanted} are needed"))
    return found + _hole_to_hole(holes, house.hole_to_hole_nm)


def _hole(at: PointNm, size_nm: int, pad_nm: int | None) -> Hole:
    return *at, size_nm, None if pad_nm is None else (pad_nm - size_nm) / 2


def _hole_to_hole(holes: list[Hole], least_nm: int) -> list[Problem]:
    table = np.array([hole[:3] for hole in holes], float).reshape(-1, 3)
    at, reach = table[:, :2], (table[:, 2:] + least_nm) / 2
    one, two = meeting(np.hstack([at - reach, at + reach]))
    gap = np.hypot(*(at[one] - at[two]).T) - (table[one, 2] + table[two, 2]) / 2
    return [
        fault("B303 hole to hole", (float(table[a, 0]), float(table[a, 1])), f"two holes are {g * 1e-6:.2f} mm apart",
              f"{least_nm * 1e-6:.2f} mm are needed")
        for a, b, g in zip(one, two, gap, strict=True)
        if g < least_nm - 1
    ]  # fmt: skip

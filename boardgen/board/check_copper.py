"""Clearance, creepage, width, edge and corners of copper, from geometry alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from boardgen.board.fault import fault
from boardgen.board.rules import Rules
from boardgen.board.solids import Near, Solids
from boardgen.model.copper import Board, PointNm, Track
from boardgen.model.problem import Problem

SLACK_MM = 2e-4
"""Rounding of pour outlines; a gap short by less is no fault."""
LEAST_CORNER_DEG = 89.0


def clearance(solids: Solids, near: Near, group: NDArray[np.int64], least_mm: float) -> list[Problem]:
    """Pieces of different nets, by what is joined, that come too close."""
    one, two, gap = near
    bad = (group[one] != group[two]) & (gap < least_mm - SLACK_MM)
    return [
        fault(
            "B201 clearance",
            solids.place(int(a), int(b)),
            f"{solids.what[a]} and {solids.what[b]} are {max(g, 0):.3f} mm apart",
            f"{least_mm:.2f} mm are needed",
        )
        for a, b, g in zip(one[bad], two[bad], gap[bad], strict=True)
    ]


def creepage(board: Board, solids: Solids, group: NDArray[np.int64], least_mm: float) -> list[Problem]:
    """Copper that may rise with a surge, against all other copper: the earth, and what is drawn for a surge."""
    if not least_mm:
        return []
    nets = np.array([board.pads[pin].net if pin >= 0 else "" for pin in solids.pin.tolist()])
    surge = np.array(
        [what == "track" and board.tracks[k].surge for what, k in zip(solids.what, solids.index, strict=True)]
    )
    # 0V is the quiet side: its own surge copper counts against earth alone
    hot = (np.isin(group, group[nets == "earth"]) | surge) & ~np.isin(group, group[nets == "0V"])
    one, two, gap = solids.near(least_mm, np.nonzero(hot)[0])
    bad = (group[one] != group[two]) & (gap < least_mm - SLACK_MM)
    return [
        fault(
            "B202 creepage",
            solids.place(int(a), int(b)),
            f"copper that a surge reaches is {max(g, 0):.2f} mm from other copper",
            f"{least_mm:.2f} mm are needed",
        )
        for a, b, g in zip(one[bad], two[bad], gap[bad], strict=True)
    ]


def widths(board: Board, rules: Rules) -> list[Problem]:
    """Tracks too thin for the board house, or for the surge they carry."""
    found = []
    for track in board.tracks:
        least = rules.surge if track.surge else rules.house.track
        if track.width_nm * 1e-6 < least - 1e-6:
            text = f"a track is {track.width_nm * 1e-6:.2f} mm wide"
            found.append(fault("B203 track width", _mm(track.start), text, f"{least:.2f} mm are needed"))
    return found


def edges(board: Board, solids: Solids, least_mm: float) -> list[Problem]:
    """Copper too near the edge of the board or a screw."""
    wide, high = board.width_nm * 1e-6, board.height_nm * 1e-6
    box = solids.boxes
    room = np.min([box[:, 0], box[:, 1], wide - box[:, 2], high - box[:, 3]], axis=0)
    found = [
        fault("B204 copper to edge", solids.place(int(k)), f"a {solids.what[k]} is {room[k]:.2f} mm from the edge",
              f"{least_mm:.2f} mm are needed")
        for k in np.nonzero(room < least_mm - SLACK_MM)[0]
    ]  # fmt: skip
    for hole in board.mounting_holes:
        x, y = _mm(hole.at)
        keep = hole.keepout_nm * 5e-7
        low = (box[:, 0] < x + keep) & (box[:, 2] > x - keep) & (box[:, 1] < y + keep) & (box[:, 3] > y - keep)
        import shapely

        for k in np.nonzero(low)[0]:
            gap = float(shapely.distance(solids.cores[k], shapely.Point(x, y))) - float(solids.radius[k]) - keep
            if gap < -SLACK_MM:
                text = f"a {solids.what[k]} reaches {-gap:.2f} mm under the head of a screw"
                found.append(fault("B205 copper to screw", (x, y), text))
    return found


def corners(board: Board) -> list[Problem]:
    """Two tracks of one side and width that meet at less than a right angle, away from lands and vias."""
    calm = {pad.at for pad in board.pads} | {via.at for via in board.vias}
    pads = [(pad.at, max(pad.width_nm, pad.height_nm) / 2) for pad in board.pads]
    found = []
    for point, apart in _meetings(board.tracks):
        if point not in calm and not any(math.dist(point, c) < r for c, r in pads):
            found.append(fault("B206 acute corner", _mm(point), f"two tracks meet at {apart:.0f} degrees"))
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


def _mm(point: PointNm) -> tuple[float, float]:
    return point[0] * 1e-6, point[1] * 1e-6

"""Draws the parts on the silkscreen: outlines, the corner of pin 1, bars at cathodes, dots where windings start.

A line keeps off lands, open holes and the edge of the board: an outline is broken there, and a mark goes to the first
place about its pad where it lies whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from boardgen.board.rotated_footprint import Box, grown
from boardgen.board.silkscreen_space import EDGE_NM, SilkscreenSpace, pad_box
from boardgen.kinds import KIND
from boardgen.model.copper import Board, PlacedPad, PlacedPart, PointNm, Stroke
from boardgen.model.netlist import Netlist

MARK_INSET_NM, MARK_NM = 400_000, 1_600_000
"""The corner at pin 1: how far inside the body, and how long its sides."""
BAR_NM, SHORT_BAR_NM = 1_500_000, 900_000
"""Length of a bar at a cathode, and where that finds no place."""
BOLD = 2
"""Bars are so many times as wide as an outline."""
DOT_NM, DOT_LONG_NM = 500_000, 50_000
"""A dot is a line that is hardly longer than nothing."""
FARTHER_NM = (0, 300_000, 600_000, 900_000, 1_200_000)
"""How much farther from its pad than need be a mark is tried."""
ASIDE = (0, 1, -1, 2, -2)
"""How far beside a pad's middle a mark is tried, in quarters of its width."""
LEAST_SHARE = 0.2
"""So much of an outline's length must be left, or it is drawn about the pads."""
Side = tuple[PointNm, PointNm]


def drawings(board: Board, netlist: Netlist, space: SilkscreenSpace, width_nm: int) -> list[Stroke]:
    """The lines of all parts, each with its part's designator. Marks know of the lines before them."""
    pads: dict[str, dict[str, PlacedPad]] = {}
    for pad in board.pads:
        pads.setdefault(pad.ref, {})[pad.number] = pad
    found = [line for part in board.parts for line in _outline(part, pads[part.ref], space, width_nm)]
    space.take_lines(found)
    for part in board.parts:
        roles = netlist.component[part.ref].part.pins
        marks = [*_cathode(part, pads[part.ref], roles, space, width_nm), *_dots(part, pads[part.ref], roles, space)]
        space.take_lines(marks)
        found += marks
    return found


def _outline(
    part: PlacedPart, pads: Mapping[str, PlacedPad], space: SilkscreenSpace, width_nm: int
) -> Iterator[Stroke]:
    """What pads, holes and the edge leave of the body's sides, and of the corner at pin 1.

    Where that is next to nothing, as of a part on end or a stud, the sides go about the pads inside as well.
    """
    left, low, right, top = part.body
    lines = list(_sides(part.body, space, width_nm, part.ref))
    if sum(map(_length, lines)) < LEAST_SHARE * 2 * (right - left + top - low):
        inside = [box for pad in pads.values() if _meet(box := pad_box(pad), part.body)]
        about = [part.body, *(grown(box, space.keep_nm + width_nm // 2 + 1) for box in inside)]
        whole = (min(b[0] for b in about), min(b[1] for b in about), max(b[2] for b in about), max(b[3] for b in about))
        lines = list(_sides(whole, space, width_nm, part.ref))
    yield from lines
    first = pads.get("1")
    if KIND[part.kind].appearance.marked == "pin 1" and first:
        for side in _corner(part.body, first):
            yield from _broken(*side, space, width_nm, part.ref)


def _sides(box: Box, space: SilkscreenSpace, width_nm: int, ref: str) -> Iterator[Stroke]:
    left, low, right, top = box
    corners = (left, low), (right, low), (right, top), (left, top)
    for one, other in pairwise((*corners, corners[0])):
        start, end = sorted((one, other))
        yield from _broken(start, end, space, width_nm, ref)


def _corner(body: Box, pad: PlacedPad) -> list[Side]:
    """A second line inside the corner nearest to pin 1, along the side that the pin is at."""
    left, low, right, top = body
    x = left + MARK_INSET_NM if pad.at[0] < (left + right) // 2 else right - MARK_INSET_NM
    y = low + MARK_INSET_NM if pad.at[1] < (low + top) // 2 else top - MARK_INSET_NM
    x2, y2 = (
        (x + MARK_NM if x < (left + right) // 2 else x - MARK_NM),
        (y + MARK_NM if y < (low + top) // 2 else y - MARK_NM),
    )
    return [(min((x, y), (x2, y)), max((x, y), (x2, y))), (min((x, y), (x, y2)), max((x, y), (x, y2)))]


def _broken(start: PointNm, end: PointNm, space: SilkscreenSpace, width_nm: int, ref: str) -> Iterator[Stroke]:
    """What is left of a level or plumb line after the edge, every pad and every hole have taken their shares."""
    axis = 0 if start[1] == end[1] else 1
    across, half = start[1 - axis], width_nm // 2
    edge = grown(space.board, -EDGE_NM - half)
    if not edge[1 - axis] <= across <= edge[3 - axis]:
        return
    pieces = [(max(start[axis], edge[axis]), min(end[axis], edge[axis + 2]))]
    reach = grown((*start, *end), half)
    for box in (*space.pads.meeting(reach), *space.holes.meeting(reach)):
        low, high = box[axis] - half, box[axis + 2] + half
        pieces = [p for a, b in pieces for p in ((a, min(b, low)), (max(a, high), b))]
    for a, b in pieces:
        if b - a > 2 * width_nm:
            yield Stroke(((a, across), (b, across)) if axis == 0 else ((across, a), (across, b)), width_nm, ref)


def _cathode(
    part: PlacedPart, pads: Mapping[str, PlacedPad], roles: Mapping[str, str], space: SilkscreenSpace, width_nm: int
) -> list[Stroke]:
    """A band across a body that lies between its pads; else a bar at the cathode, away from the anode."""
    if KIND[part.kind].appearance.marked != "cathode":
        return []
    cathode, anode = pads[roles["cathode"]], pads[roles["anode"]]
    away = tuple((a > b) - (a < b) for a, b in zip(cathode.at, anode.at, strict=True))
    left, low, right, top = part.body
    bold, own = BOLD * width_nm, pad_box(cathode)
    under = [_meet(pad_box(pad), part.body) for pad in (cathode, anode)]
    if not any(under):
        if away[0]:
            x = right - (right - left) // 5 if away[0] > 0 else left + (right - left) // 5
            band = (x, low), (x, top)
        else:
            y = top - (top - low) // 5 if away[1] > 0 else low + (top - low) // 5
            band = (left, y), (right, y)
        if pieces := list(_broken(*band, space, bold, part.ref)):
            return pieces
    box = (min(own[0], left), min(own[1], low), max(own[2], right), max(own[3], top)) if under[0] else own
    for length in (BAR_NM, SHORT_BAR_NM):
        for farther in FARTHER_NM:
            for dx, dy in (away, (away[1], away[0]), (-away[1], -away[0])):
                if bar := _bar(box, cathode.at, (dx, dy), farther, length, bold, space):
                    return [Stroke(bar, bold, part.ref)]
    return []


def _bar(
    box: Box, at: PointNm, away: PointNm, farther_nm: int, length_nm: int, width_nm: int, space: SilkscreenSpace
) -> Side | None:
    """A bar on one side of a box, across the way there; None where it would touch anything."""
    reach = space.keep_nm + width_nm // 2 + 1 + farther_nm
    for aside in ASIDE:
        shift = aside * length_nm // 4
        if away[0]:
            x = box[2] + reach if away[0] > 0 else box[0] - reach
            ends = (x, at[1] + shift - length_nm // 2), (x, at[1] + shift + length_nm // 2)
        else:
            y = box[3] + reach if away[1] > 0 else box[1] - reach
            ends = (at[0] + shift - length_nm // 2, y), (at[0] + shift + length_nm // 2, y)
        if space.takes(grown((*ends[0], *ends[1]), width_nm // 2)):
            return ends
    return None


def _dots(
    part: PlacedPart, pads: Mapping[str, PlacedPad], roles: Mapping[str, str], space: SilkscreenSpace
) -> list[Stroke]:
    """A dot at the pad of each start of a winding."""
    found = []
    for role in KIND[part.kind].appearance.dots:
        pad = pads[roles[role]]
        for at in _about(pad_box(pad), space.keep_nm + DOT_NM // 2 + 1):
            if space.takes(grown((*at, *at), DOT_NM // 2 + DOT_LONG_NM)):
                found.append(Stroke((at, (at[0] + DOT_LONG_NM, at[1])), DOT_NM, part.ref))
                break
    return found


def _about(box: Box, reach: int) -> Iterator[PointNm]:
    """Points about a box: beside its sides and corners, near ones first."""
    left, low, right, top = box
    x, y = (left + right) // 2, (low + top) // 2
    for more in FARTHER_NM[:3]:
        away = reach + more
        yield from ((left - away, y), (right + away, y), (x, top + away), (x, low - away))
        corner = away * 7 // 10
        yield from ((a, b) for a in (left - corner, right + corner) for b in (low - corner, top + corner))


def _length(line: Stroke) -> int:
    (x1, y1), (x2, y2) = line.points
    return abs(x2 - x1) + abs(y2 - y1)


def _meet(one: Sequence[int], other: Sequence[int]) -> bool:
    return other[0] < one[2] and other[2] > one[0] and other[1] < one[3] and other[3] > one[1]

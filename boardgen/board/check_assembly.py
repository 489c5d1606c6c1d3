"""Checks of what is put on the copper: courtyards of parts, webs of the solder mask, the silkscreen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import chain

import numpy as np
import shapely
from numpy.typing import NDArray

from boardgen.board.connectivity import fault, meeting, pad_cores
from boardgen.board.rotated_footprint import Box, grown, rotated
from boardgen.board.stroke_font import size
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Board, Stroke
from boardgen.model.part import Footprint
from boardgen.model.problem import Problem

LEAST_OVERLAP_NM2 = 1e6
"""Courtyards that overlap by less only touch: a square micrometre."""
HEAD_SLACK_NM = 200_000
"""So much of a screw's keep-out may lie under a courtyard: between two parts there are two courtyards."""
LEGEND_TO_EDGE_NM = 200_000
"""What the saw or the router may take of the edge: recalled, common practice."""
WEB_REACH_NM = 200_000
"""Webs of the mask are looked for between pads whose openings are no farther apart than twice this."""


def courtyards(board: Board, footprints: Mapping[str, Footprint]) -> list[Problem]:
    """Parts that stand in each other's way, in a screw's way, or over the edge by more than half."""
    boxes: list[Box] = []
    owner: list[str] = []
    for part in board.parts:
        for left, bottom, right, top in rotated(footprints[part.footprint], part.rotation).courtyard:
            boxes.append((left + part.at[0], bottom + part.at[1], right + part.at[0], top + part.at[1]))
            owner.append(part.ref)
    areas = shapely.box(*np.array(boxes, float).reshape(-1, 4).T)
    one, two = shapely.STRtree(areas).query(areas, predicate="intersects")
    seen: set[tuple[str, str]] = set()
    found = []
    for a, b in zip(one, two, strict=True):
        pair = (owner[a], owner[b])
        if owner[a] >= owner[b] or pair in seen:
            continue
        overlap = shapely.intersection(areas[a], areas[b])
        if overlap.area >= LEAST_OVERLAP_NM2:
            seen.add(pair)
            centre = (overlap.centroid.x, overlap.centroid.y)
            found.append(fault("B401 courtyards", centre, f"{pair[0]} and {pair[1]} stand too close"))
    for hole in board.mounting_holes:
        head = shapely.Point(hole.at).buffer(hole.keepout_nm / 2 - HEAD_SLACK_NM)
        found += [
            fault("B402 screw", hole.at, f"{owner[k]} stands under the head of a screw")
            for k in np.nonzero(shapely.intersects(areas, head))[0]
        ]
    return found


def mask_webs(board: Board, house: BoardHouse) -> list[Problem]:
    """Bridges of mask between two openings too thin to hold."""
    shapes, reach = pad_cores(board.pads, house.mask_margin_nm)
    box = shapely.bounds(shapes) + reach[:, None] * np.array([-1, -1, 1, 1])
    one, two = meeting(box + WEB_REACH_NM * np.array([-1, -1, 1, 1]))
    web = shapely.distance(shapes[one], shapes[two]) - reach[one] - reach[two]
    wanted = f"{house.mask_web_nm * 1e-6:.2f} mm are needed"
    return [
        fault("B403 mask web", (float(box[a, 0]), float(box[a, 1])), f"the mask between two lands is {g * 1e-6:.2f} mm",
              wanted)
        for a, b, g in zip(one, two, web, strict=True)
        if g < house.mask_web_nm - 1
    ]  # fmt: skip


def silkscreen(board: Board, house: BoardHouse) -> list[Problem]:
    """Silkscreen on a pad or hole, at the edge, across a body's outline or another text, too thin or too low."""
    holes = [(pad.at, pad.width_nm, pad.height_nm) for pad in board.pads]
    holes += [(hole.at, hole.hole_nm, hole.hole_nm) for hole in board.mounting_holes]
    corners = [(x - w / 2, y - h / 2, x + w / 2, y + h / 2) for (x, y), w, h in holes]
    bare = shapely.STRtree(shapely.box(*np.array(corners, float).reshape(-1, 4).T))
    strokes = [stroke for text in board.silkscreen_texts for stroke in text.strokes] + list(board.silkscreen_lines)
    thin = [
        fault("B406 legend width", stroke.points[0], f"a legend line is {stroke.width_nm * 1e-6:.2f} mm")
        for stroke in strokes
        if stroke.width_nm < house.legend_width_nm
    ]
    lines = shapely.linestrings(np.array([s.points for s in board.silkscreen_lines], float).reshape(-1, 2, 2))
    half = np.array([stroke.width_nm / 2 for stroke in board.silkscreen_lines])
    on_pads = [
        fault("B404 legend on land", board.silkscreen_lines[k].points[0], "an outline touches a land or hole")
        for k in np.unique(bare.query(lines, predicate="dwithin", distance=half)[0])
    ]
    return [*_texts(board, house, bare), *thin, *on_pads, *_overlaps(board, lines), *_off_board(board, strokes)]


def _off_board(board: Board, strokes: Sequence[Stroke]) -> list[Problem]:
    """Lines that run over the open hole of a via, or where the edge of the board is cut."""
    boxes = _extents(strokes)
    holes = np.array([grown((*via.at, *via.at), via.hole_nm // 2 + 1) for via in board.vias], float).reshape(-1, 4)
    (left, low, right, top), (x1, y1, x2, y2) = boxes.T[:, :, None], holes.T
    found = []
    for k, number in np.argwhere((left < x2) & (right > x1) & (low < y2) & (top > y1)).tolist():
        stroke, via = strokes[k], board.vias[number]
        reach = (stroke.width_nm + via.hole_nm) / 2
        if shapely.dwithin(shapely.LineString(stroke.points), shapely.Point(via.at), reach):
            words = "a line of the legend runs over the open hole of a via"
            found.append(fault("B408 legend over hole", stroke.points[0], words))
    room = np.minimum(boxes[:, :2], (board.width_nm, board.height_nm) - boxes[:, 2:]).min(axis=1)
    wanted = f"{LEGEND_TO_EDGE_NM * 1e-6:.2f} mm are needed"
    return found + [
        fault("B409 legend at edge", strokes[k].points[0],
              f"a line of the legend is {room[k] * 1e-6:.2f} mm from the edge", wanted)
        for k in np.nonzero(room < LEGEND_TO_EDGE_NM)[0].tolist()
    ]  # fmt: skip


def _extents(strokes: Sequence[Stroke]) -> NDArray[np.float64]:
    """Left, low, right and top of what each line covers, one a row."""
    if not strokes:
        return np.empty((0, 4))
    counts = np.array([len(stroke.points) for stroke in strokes])
    points = np.fromiter(chain.from_iterable(chain.from_iterable(s.points for s in strokes)), float).reshape(-1, 2)
    first, half = np.cumsum(counts) - counts, np.array([[stroke.width_nm / 2] for stroke in strokes])
    return np.hstack([np.minimum.reduceat(points, first) - half, np.maximum.reduceat(points, first) + half])


def _texts(board: Board, house: BoardHouse, bare: shapely.STRtree) -> list[Problem]:
    """Texts on what the mask leaves bare, and texts too low to be read."""
    boxes = _text_boxes(board)
    cap, pen = house.legend_height_nm, house.legend_width_nm
    near = bare.query(shapely.box(*boxes.T), predicate="dwithin", distance=house.legend_to_pad_nm - 1)
    on_pads = set(near[0].tolist())
    found = []
    for number, (text, place) in enumerate(zip(board.silkscreen_texts, _middles(boxes), strict=True)):
        if number in on_pads:
            found.append(fault("B404 legend on land", place, f'"{text.words}" touches a land or hole'))
        # a text that reads upwards is as wide as its letters are high, and a letter alone is narrower than high
        wide, high = text.box[2] - text.box[0], text.box[3] - text.box[1]
        least = size(text.words, cap, pen)
        if not (wide >= least[0] and high >= least[1]) and not (high >= least[0] and wide >= least[1]):
            found.append(fault("B405 legend height", place, f'"{text.words}" is {min(wide, high) * 1e-6:.2f} mm high'))
    return found


def _overlaps(board: Board, lines: NDArray[np.object_]) -> list[Problem]:
    """Texts that touch each other, or an outline."""
    boxes = _text_boxes(board)
    texts = shapely.box(*boxes.T)
    tree, places = shapely.STRtree(texts), _middles(boxes)
    found = []
    for a, b in tree.query(texts, predicate="intersects").T:
        if a < b:
            words = f'"{board.silkscreen_texts[a].words}" touches "{board.silkscreen_texts[b].words}"'
            found.append(fault("B407 legend overlaps", places[a], words))
    for line, k in tree.query(lines, predicate="intersects").T:
        words = f'an outline crosses "{board.silkscreen_texts[k].words}"'
        found.append(fault("B407 legend overlaps", board.silkscreen_lines[line].points[0], words))
    return found


def _text_boxes(board: Board) -> NDArray[np.float64]:
    return np.array([text.box for text in board.silkscreen_texts], np.float64).reshape(-1, 4)


def _middles(boxes: NDArray[np.float64]) -> list[tuple[float, float]]:
    return [((left + right) / 2, (low + top) / 2) for left, low, right, top in boxes.tolist()]

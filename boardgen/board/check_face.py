"""What the eye sees: courtyards, mask webs, legend."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import shapely

from boardgen.board.fault import fault
from boardgen.board.lettering import size
from boardgen.board.shape import Box, shape
from boardgen.board.solids import land_cores
from boardgen.model.copper import Board, PointNm
from boardgen.model.house import House
from boardgen.model.part import Footprint
from boardgen.model.problem import Problem


def courtyards(board: Board, footprints: Mapping[str, Footprint]) -> list[Problem]:
    """Parts that stand in each other's way, in a screw's way, or over the edge by more than half."""
    boxes: list[Box] = []
    owner: list[str] = []
    for part in board.parts:
        for left, bottom, right, top in shape(footprints[part.footprint], part.rotation).courtyard:
            boxes.append((left + part.at[0], bottom + part.at[1], right + part.at[0], top + part.at[1]))
            owner.append(part.ref)
    areas = shapely.box(*np.array(boxes, float).reshape(-1, 4).T * 1e-6)
    one, two = shapely.STRtree(areas).query(areas, predicate="intersects")
    seen: set[tuple[str, str]] = set()
    found = []
    for a, b in zip(one, two, strict=True):
        pair = (owner[a], owner[b])
        if owner[a] >= owner[b] or pair in seen or shapely.intersection(areas[a], areas[b]).area < 1e-6:
            continue
        seen.add(pair)
        centre = shapely.intersection(areas[a], areas[b]).centroid
        found.append(fault("B401 courtyards", (centre.x, centre.y), f"{pair[0]} and {pair[1]} stand too close"))
    for hole in board.mounting_holes:
        head = shapely.Point(hole.at[0] * 1e-6, hole.at[1] * 1e-6).buffer(hole.keepout_nm * 5e-7 - 0.2)
        found += [
            fault("B402 screw", (head.centroid.x, head.centroid.y), f"{owner[k]} stands under the head of a screw")
            for k in np.nonzero(shapely.intersects(areas, head))[0]
        ]
    return found


def mask_webs(board: Board, house: House) -> list[Problem]:
    """Bridges of mask between two openings too thin to hold."""
    shapes, reach = land_cores(board.pads, house.mask_margin)
    box = shapely.bounds(shapes) + reach[:, None] * np.array([-1, -1, 1, 1])
    rims = shapely.box(box[:, 0] - 0.2, box[:, 1] - 0.2, box[:, 2] + 0.2, box[:, 3] + 0.2)
    one, two = shapely.STRtree(rims).query(rims)
    keep = one < two
    one, two = one[keep], two[keep]
    web = shapely.distance(shapes[one], shapes[two]) - reach[one] - reach[two]
    return [
        fault("B403 mask web", (float(box[a, 0]), float(box[a, 1])), f"the mask between two lands is {g:.2f} mm",
              f"{house.mask_web:.2f} mm are needed")
        for a, b, g in zip(one, two, web, strict=True)
        if g < house.mask_web - 1e-6
    ]  # fmt: skip


def legend(board: Board, house: House) -> list[Problem]:
    """Legend on a land or hole, across a body's outline or another text, too thin or too low."""
    holes = [(pad.at, pad.width_nm, pad.height_nm) for pad in board.pads]
    holes += [(hole.at, hole.hole_nm, hole.hole_nm) for hole in board.mounting_holes]
    bare = shapely.box(
        *np.array([(x - w / 2, y - h / 2, x + w / 2, y + h / 2) for (x, y), w, h in holes], float).reshape(-1, 4).T
        * 1e-6
    )
    tree = shapely.STRtree(bare)
    found = []
    boxes = np.array([text.box for text in board.silkscreen_texts], float).reshape(-1, 4) * 1e-6
    texts = shapely.box(*boxes.T)
    places = np.column_stack([(boxes[:, 0] + boxes[:, 2]) / 2, (boxes[:, 1] + boxes[:, 3]) / 2]).tolist()
    cap, pen = round(house.legend_height * 1e6), round(house.legend_width * 1e6)
    on_land = set(tree.query(texts, predicate="dwithin", distance=house.legend_to_pad - 1e-6)[0].tolist())
    for number, (text, (x, y)) in enumerate(zip(board.silkscreen_texts, places, strict=True)):
        if number in on_land:
            found.append(fault("B404 legend on land", (x, y), f'"{text.words}" touches a land or hole'))
        # a text that reads upwards is as wide as its letters are high, and a letter alone is narrower than high
        wide, high = text.box[2] - text.box[0], text.box[3] - text.box[1]
        least = size(text.words, cap, pen)
        if not (wide >= least[0] and high >= least[1]) and not (high >= least[0] and wide >= least[1]):
            found.append(fault("B405 legend height", (x, y), f'"{text.words}" is {min(wide, high) * 1e-6:.2f} mm high'))
    strokes = [s for text in board.silkscreen_texts for s in text.strokes] + list(board.silkscreen_lines)
    found += [
        fault("B406 legend width", _mm(s.points[0]), f"a legend line is {s.width_nm * 1e-6:.2f} mm")
        for s in strokes
        if s.width_nm * 1e-6 < house.legend_width - 1e-6
    ]
    lines = shapely.linestrings(np.array([s.points for s in board.silkscreen_lines], float).reshape(-1, 2, 2) * 1e-6)
    half = np.array([s.width_nm * 5e-7 for s in board.silkscreen_lines])
    found += [
        fault("B404 legend on land", _mm(board.silkscreen_lines[k].points[0]), "an outline touches a land or hole")
        for k in np.unique(tree.query(lines, predicate="dwithin", distance=half)[0])
    ]
    area_tree = shapely.STRtree(texts)
    for a, b in area_tree.query(texts, predicate="intersects").T:
        if a < b:
            words = f'"{board.silkscreen_texts[a].words}" touches "{board.silkscreen_texts[b].words}"'
            found.append(fault("B407 legend overlaps", tuple(places[a]), words))
    for line, k in area_tree.query(lines, predicate="intersects").T:
        place = _mm(board.silkscreen_lines[line].points[0])
        found.append(fault("B407 legend overlaps", place, f'an outline crosses "{board.silkscreen_texts[k].words}"'))
    return found


def _mm(point: PointNm) -> tuple[float, float]:
    return point[0] * 1e-6, point[1] * 1e-6

"""The legend of a built folder: stroke by stroke what the board editor's file says, on the board and off the lands.

Method: outlines are taken from the editor's footprints, its texts are written again with the program's own letters,
and each stroke is crossed off.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from boardgen.board.connectivity import fault
from boardgen.board.silkscreen import TITLE_CAP_NM
from boardgen.board.stroke_font import size, write
from boardgen.formats.read_gerber import Draw
from boardgen.formats.read_kicad_pcb import EditorText
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Board, PointNm, Stroke
from boardgen.model.problem import Problem
from boardgen.proof.built import LEGEND, Built, fault_in
from boardgen.proof.lands import drawn_board

Line = tuple[PointNm, PointNm, int]
"""Two ends, the lower first, and the width."""


def legend(built: Built) -> Iterator[Problem]:
    """Every fault of the legend."""
    layer = built.layers[LEGEND]
    if layer.flashes or layer.areas:
        yield fault_in(LEGEND, "P209 legend", "it holds more than lines")
    yield from _as_the_editor_has_it(built, layer.draws)
    yield from _clear(drawn_board(built), layer.draws, built.house)


def _as_the_editor_has_it(built: Built, draws: Sequence[Draw]) -> Iterator[Problem]:
    """Outlines and words that only one of the two has."""
    left = Counter(_line(draw.start, draw.end, draw.width_nm) for draw in draws)
    for part in built.editor.footprints:
        for stroke in part.lines:
            (line,) = _lines((stroke,))
            if not left[line]:
                yield fault(
                    "P209 legend", line[0], f"a line of {part.ref} is not in {LEGEND}", "the editor's file has it"
                )
            left[line] -= 1
    printed = [part.printed for part in built.editor.footprints if part.printed]
    for text in (*printed, *built.editor.texts):
        ways = [
            Counter(_lines(_written(text, cap, built.house))) for cap in (built.house.legend_height_nm, TITLE_CAP_NM)
        ]
        found = next((lines for lines in ways if lines and lines <= left), None)
        if found:
            left -= found
        else:
            wanted = "the editor's file has it"
            yield fault("P209 legend", text.at, f'"{text.words}" is not in {LEGEND}', wanted)
    for line in +left:
        yield fault("P209 legend", line[0], f"a line of {LEGEND} belongs to no part and no word of the editor's file")
        # what is shifted or too much has many strokes
        return


def _written(text: EditorText, cap_nm: int, house: BoardHouse) -> tuple[Stroke, ...]:
    """The strokes of a word in its place, with capitals of this height."""
    pen = house.legend_width_nm
    wide, high = size(text.words, cap_nm, pen)
    wide, high = (high, wide) if text.upright else (wide, high)
    return write(text.words, text.at[0] - wide // 2, text.at[1] - high // 2, cap_nm, pen, text.upright).strokes


def _lines(strokes: Sequence[Stroke]) -> Iterator[Line]:
    for stroke in strokes:
        for start, end in zip(stroke.points, stroke.points[1:], strict=False):
            yield _line(start, end, stroke.width_nm)


def _line(start: PointNm, end: PointNm, width_nm: int) -> Line:
    return min(start, end), max(start, end), width_nm


def _clear(board: Board, draws: Sequence[Draw], house: BoardHouse) -> Iterator[Problem]:
    """Lines that are too thin, leave the board, or come too near a land or over an open hole."""
    lines = shapely.linestrings(np.array([(draw.start, draw.end) for draw in draws], float).reshape(-1, 2, 2))
    half = np.array([draw.width_nm / 2 for draw in draws])
    low_x, low_y, high_x, high_y = shapely.bounds(lines).T
    out = (low_x < half) | (low_y < half) | (high_x > board.width_nm - half) | (high_y > board.height_nm - half)
    yield from _told(lines, out, "a line of the legend leaves the board")
    thin = 2 * half < house.legend_width_nm
    yield from _told(
        lines, thin, "a line of the legend is too thin", f"{house.legend_width_nm * 1e-6:.2f} mm are needed"
    )
    bare = shapely.STRtree(_bare(board))
    near = np.zeros(len(lines), bool)
    near[bare.query(lines, predicate="dwithin", distance=half + house.legend_to_pad_nm - 1)[0]] = True
    holes = shapely.STRtree([shapely.Point(via.at).buffer(via.hole_nm / 2) for via in board.vias])
    over = np.zeros(len(lines), bool)
    over[holes.query(lines, predicate="dwithin", distance=half)[0]] = True
    yield from _told(lines, over, "a line of the legend runs over the open hole of a via")
    wanted = f"{house.legend_to_pad_nm * 1e-6:.2f} mm are needed"
    yield from _told(lines, near, "a line of the legend is on a land or hole, or too near it", wanted)


def _bare(board: Board) -> list[object]:
    """Lands and unplated holes."""
    lands: list[object] = []
    for pad in board.pads:
        (x, y), wide, high = pad.at, pad.width_nm / 2, pad.height_nm / 2
        lands.append(
            shapely.Point(x, y).buffer(wide) if pad.is_round else shapely.box(x - wide, y - high, x + wide, y + high)
        )
    return [*lands, *(shapely.Point(hole.at).buffer(hole.hole_nm / 2) for hole in board.mounting_holes)]


def _told(lines: NDArray[np.object_], bad: NDArray[np.bool_], found: str, wanted: str = "") -> Iterator[Problem]:
    """One fault for all lines of a sort, at the first."""
    if bad.any():
        x, y = shapely.get_coordinates(lines[int(bad.argmax())])[0]
        more = f", and {int(bad.sum()) - 1} more" if bad.sum() > 1 else ""
        yield fault("P209 legend", (float(x), float(y)), found + more, wanted)

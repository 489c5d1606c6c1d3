"""What is taken on the top of a board, where a text still finds room, and the pen that writes it there.

Algorithm: boxes are found by squares of a grid, so that what is near is met without looking through all of them. Free
places are tried in the order of their worth. Where nothing near is free, every place of a coarse grid over the board is
judged at once by a summed-area table (Crow, 1984, recalled). Equal parts are lettered alike: the rank of place is taken
that most of them can have. Cost: linear in places and in the boxes about each.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from boardgen.board.rotated_footprint import Box, grown
from boardgen.board.stroke_font import size, write
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Board, PlacedPad, SilkscreenText, Stroke

AWAY_NM = 200_000
"""Between a text and another."""
WORD_NM = 300_000
"""So much more between two words in one line."""
BODY_AWAY_NM = 150_000
"""Between a text and the side of a body."""
LINE_AWAY_NM = 50_000
"""Between a text and the edge of a line."""
PAD_SLACK_NM = 20_000
"""So much more than the house asks for between a text and a pad."""
EDGE_NM = 300_000
"""Between a text and the edge of the board."""
FIRST_NM, STEP_NM = 1_000_000, 700_000
"""Places all over the board: the first from the edge, and from one line of them to the next; across twice as far."""
SQUARE_NM = 10_000_000
"""Boxes are found by squares of this side."""
ENOUGH = 160
"""So many places are tried for all of equal parts before one is good enough that most of them can have."""
Spot = tuple[int, int, bool]
"""Where the lower left corner of a text may lie, and whether it stands upright."""
Places = Callable[[int, int], Iterator[Spot]]
"""Where a text of some width and height may stand, the best place first."""


class Boxes:
    """Boxes that are found by where they lie."""

    def __init__(self, boxes: Iterable[Box]) -> None:
        self.all: list[Box] = []
        self.cells: dict[tuple[int, int], list[Box]] = {}
        for box in boxes:
            self.add(box)

    def add(self, box: Box) -> None:
        """One more."""
        self.all.append(box)
        for cell in _cells(box):
            self.cells.setdefault(cell, []).append(box)

    def meeting(self, box: Box) -> Iterator[Box]:
        """All that have some room in common with this one; one that lies in several squares comes several times."""
        left, low, right, top = box
        for cell in _cells(box):
            for other in self.cells.get(cell, ()):
                if other[0] < right and other[2] > left and other[1] < top and other[3] > low:
                    yield other

    def meets(self, box: Box) -> bool:
        """Whether any has room in common with this one."""
        left, low, right, top = box
        for cell in _cells(box):
            for other in self.cells.get(cell, ()):
                if other[0] < right and other[2] > left and other[1] < top and other[3] > low:
                    return True
        return False

    def array(self) -> NDArray[np.int64]:
        """One a line."""
        return np.array(self.all, np.int64).reshape(-1, 4)


def _cells(box: Box) -> list[tuple[int, int]]:
    left, low, right, top = box[0] // SQUARE_NM, box[1] // SQUARE_NM, box[2] // SQUARE_NM, box[3] // SQUARE_NM
    if left == right and low == top:
        return [(left, low)]
    return [(column, row) for column in range(left, right + 1) for row in range(low, top + 1)]


class SilkscreenSpace:
    """What is taken on the top: pads, screws, body outlines, texts."""

    def __init__(self, board: Board, house: BoardHouse) -> None:
        keep = house.legend_to_pad_nm + PAD_SLACK_NM
        self.pads = Boxes(grown(pad_box(pad), keep) for pad in board.pads)
        for hole in board.mounting_holes:
            self.pads.add(grown((*hole.at, *hole.at), hole.keepout_nm // 2))
        self.taken = Boxes(self.pads.all)
        self.bodies = Boxes(part.body for part in board.parts)
        self.edge = grown((0, 0, board.width_nm, board.height_nm), -EDGE_NM)

    def is_free(self, spot: Spot, wide: int, high: int, *, seen: bool = False) -> bool:
        """Whether a text of this size may stand there: clear of all else, inside a body or outside.

        With `seen`, outside only.
        """
        box = box_of(spot, wide, high)
        if not _within(box, self.edge) or self.taken.meets(box):
            return False
        about = grown(box, BODY_AWAY_NM)
        # inside without touching
        more = grown(about, 1)
        return all(not seen and _within(more, body) for body in self.bodies.meeting(about))

    def first_anywhere(self, wide: int, high: int) -> Spot | None:
        """The first free place outside of bodies all over the board, from the foot up, lying and upright."""
        for upright, (x_nm, y_nm) in ((False, (wide, high)), (True, (high, wide))):
            across = np.arange(FIRST_NM, self.edge[2] - x_nm + 1, 2 * STEP_NM)
            up = np.arange(FIRST_NM, self.edge[3] - y_nm + 1, STEP_NM)
            taken, bodies, away = self.taken.array(), self.bodies.array(), BODY_AWAY_NM
            met = _covered(across, up, taken, (x_nm, y_nm, 0, 0))
            met += _covered(across, up, bodies, (x_nm + away, y_nm + away, away, away))
            free = met == 0
            if free.any():
                row, column = divmod(int(free.argmax()), len(across))
                return int(across[column]), int(up[row]), upright
        return None

    def take_lines(self, lines: list[Stroke]) -> None:
        """Keeps texts off the lines of bodies, and off bands and corners inside them."""
        for line in lines:
            self.taken.add(grown((*min(line.points), *max(line.points)), line.width_nm // 2 + LINE_AWAY_NM))

    def take(self, text: Box) -> None:
        """Keeps later texts off one that covers a box."""
        self.taken.add(room(text))


def pad_box(pad: PlacedPad) -> Box:
    """What a pad covers."""
    x, y, wide, high = *pad.at, pad.width_nm // 2, pad.height_nm // 2
    return x - wide, y - high, x + wide, y + high


def box_of(spot: Spot, wide: int, high: int) -> Box:
    """What a text of this size covers in a place."""
    x, y, upright = spot
    return (x, y, x + high, y + wide) if upright else (x, y, x + wide, y + high)


def room(text: Box) -> Box:
    """What other texts keep off: more before and after a word than beside it, so that two are not read as one."""
    left, low, right, top = grown(text, AWAY_NM)
    if right - left < top - low:
        return left, low - WORD_NM, right, top + WORD_NM
    return left - WORD_NM, low, right + WORD_NM, top


def meet(one: Box, other: Box) -> bool:
    """Whether two boxes have some room in common."""
    return other[0] < one[2] and other[2] > one[0] and other[1] < one[3] and other[3] > one[1]


def _within(box: Box, other: Box) -> bool:
    return box[0] >= other[0] and box[1] >= other[1] and box[2] <= other[2] and box[3] <= other[3]


def _covered(
    across: NDArray[np.int64], up: NDArray[np.int64], boxes: NDArray[np.int64], more: Box
) -> NDArray[np.int64]:
    """How many boxes, wider by so much on each side, each place of a grid lies in, by row and column."""
    left, low, right, top = (boxes + np.array(more) * (-1, -1, 1, 1)).T
    left, right = np.searchsorted(across, left, "right"), np.searchsorted(across, right, "left")
    low, top = np.searchsorted(up, low, "right"), np.searchsorted(up, top, "left")
    right, top = np.maximum(left, right), np.maximum(low, top)
    count = np.zeros((len(up) + 1, len(across) + 1), np.int64)
    for rows, columns, change in ((low, left, 1), (top, left, -1), (low, right, -1), (top, right, 1)):
        np.add.at(count, (rows, columns), change)
    return np.asarray(count.cumsum(axis=0).cumsum(axis=1)[:-1, :-1])


class SilkscreenPen:
    """A pen on the top of a board: its width, and the height of a capital, in nanometres."""

    def __init__(self, space: SilkscreenSpace, pen_nm: int, cap_nm: int) -> None:
        self.space, self.width_nm, self.cap_nm = space, pen_nm, cap_nm
        self.texts: list[SilkscreenText] = []

    def put(
        self, words: str, places: Places | None, cap_nm: int = 0, *, ref: str = "", seen: bool = False
    ) -> SilkscreenText | None:
        """The words written in the first free place, of the whole board where none are given; None without any.

        `ref` is the part that they are about. With `seen` no body may stand on them.
        """
        cap_nm = cap_nm or self.cap_nm
        wide, high = size(words, cap_nm, self.width_nm)
        if places is None:
            spot = self.space.first_anywhere(wide, high)
        else:
            spot = next((s for s in places(wide, high) if self.space.is_free(s, wide, high, seen=seen)), None)
        return None if spot is None else self._write(words, spot, cap_nm, ref)

    def put_alike(
        self, words: Sequence[str], places: Sequence[Places], refs: Sequence[str]
    ) -> list[SilkscreenText | None]:
        """The texts of equal parts in sight, each in the place of the rank that the most of them can have.

        The rest find their own; None where there is none.
        """
        sizes = [size(each, self.cap_nm, self.width_nm) for each in words]
        best: dict[int, Spot] = {}
        ranked = zip(*(of(*extent) for of, extent in zip(places, sizes, strict=True)), strict=False)
        for rank, spots in enumerate(ranked):
            found = self._free(spots, sizes, len(words) - len(best))
            best = found if len(found) > len(best) else best
            if len(best) == len(words) or (rank >= ENOUGH and 2 * len(best) > len(words)):
                break
        made = {number: self._write(words[number], spot, self.cap_nm, refs[number]) for number, spot in best.items()}
        return [
            made.get(number) or self.put(each, of, ref=ref, seen=True)
            for number, (each, of, ref) in enumerate(zip(words, places, refs, strict=True))
        ]

    def _free(self, spots: Sequence[Spot], sizes: Sequence[tuple[int, int]], misses: int) -> dict[int, Spot]:
        """Which of the texts find their place free of all and of each other; none where as many as before miss it."""
        found: dict[int, Spot] = {}
        boxes: list[Box] = []
        for number, (spot, extent) in enumerate(zip(spots, sizes, strict=True)):
            box = box_of(spot, *extent)
            if self.space.is_free(spot, *extent, seen=True) and not any(meet(box, other) for other in boxes):
                found[number] = spot
                boxes.append(room(box))
            elif number - len(found) + 1 >= misses:
                return {}
        return found

    def _write(self, words: str, spot: Spot, cap_nm: int, ref: str) -> SilkscreenText:
        x, y, upright = spot
        text = write(words, x, y, cap_nm, self.width_nm, upright, ref)
        self.space.take(text.box)
        self.texts.append(text)
        return text

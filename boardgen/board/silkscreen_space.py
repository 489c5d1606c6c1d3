"""What is taken on the top of a board, where a text still finds room, and the pen that writes it there.

Algorithm: boxes are found by squares of a grid, so that what is near is met without looking through all of them. Free
places are tried in the order of their worth. Where nothing near is free, every place of a coarse grid over the board is
judged at once by a summed-area table (Crow, 1984, recalled). Equal parts are lettered alike: the rank of place is taken
that most of them can have. Cost: linear in places and in the boxes about each.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from boardgen.board.rotated_footprint import Box, grown
from boardgen.board.stroke_font import size, write
from boardgen.kinds import KIND
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Board, PlacedPad, SilkscreenText, Stroke

AWAY_NM = 200_000
"""Between a text and another."""
WORD_NM = 500_000
"""So much more between two words in one line."""
BODY_AWAY_NM = 130_000
"""Between a text and the side of a body."""
LINE_AWAY_NM = 50_000
"""Between a text and the edge of a line."""
PAD_SLACK_NM = 20_000
"""So much more than the house asks for between a text and a pad."""
EDGE_NM = 300_000
"""Between a text or line and the edge of the board, which is cut a little aside."""
HOLE_AWAY_NM = 100_000
"""Between a text or line and the hole of a via, which the mask covers and does not fill."""
NEARER_NM = 30_000
"""So much nearer a text is to what it is about than to anything else."""
FIRST_NM, STEP_NM = 1_000_000, 700_000
"""Places all over the board: the first from the edge, and from one line of them to the next; across twice as far."""
SQUARE_NM = 10_000_000
"""Boxes are found by squares of this side."""
NEAR_NM, FINE_NM = 2_500_000, 300_000
"""How far from a body places are looked for that found none beside it, and from one to the next."""
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


class Owner(Struct, frozen=True):
    """What a text is about: a part, and where several pads of it bear texts, those of this one and of the others."""

    ref: str
    own: tuple[Box, ...] = ()
    others: tuple[Box, ...] = ()


class SilkscreenSpace:
    """What is taken on the top: pads, screws, open holes, body outlines, texts.

    `keep_nm` is what lines and texts keep from pads; `extents` has the body and pads of each part.
    """

    def __init__(self, board: Board, house: BoardHouse) -> None:
        self.keep_nm = house.legend_to_pad_nm + PAD_SLACK_NM
        self.pads = Boxes(grown(pad_box(pad), self.keep_nm) for pad in board.pads)
        for hole in board.mounting_holes:
            self.pads.add(grown((*hole.at, *hole.at), hole.keepout_nm // 2))
        self.holes = Boxes(grown((*via.at, *via.at), via.hole_nm // 2 + HOLE_AWAY_NM) for via in board.vias)
        self.taken = Boxes((*self.pads.all, *self.holes.all))
        # solder pads have no body that would stand on a text
        self.bodies = Boxes(part.body for part in board.parts if KIND[part.kind].appearance.colour)
        self.board = (0, 0, board.width_nm, board.height_nm)
        self.edge = grown(self.board, -EDGE_NM)
        self.extents: dict[str, list[Box]] = {part.ref: [part.body] for part in board.parts}
        for pad in board.pads:
            self.extents[pad.ref].append(pad_box(pad))
        self.owner: dict[Box, str] = {box: ref for ref, boxes in self.extents.items() for box in boxes}
        self.of_parts = Boxes(self.owner)

    def takes(self, box: Box) -> bool:
        """Whether a mark may stand there: clear of all else, and in sight once the parts stand."""
        return _within(box, self.edge) and not self.taken.meets(box) and not self.bodies.meets(box)

    def belongs(self, box: Box, owner: Owner) -> bool:
        """Whether a text is nearer to the part and the pad that it is about than to any other."""
        away = min(gap(box, each) for each in self.extents[owner.ref])
        rivals = self.of_parts.meeting(grown(box, math.ceil(away) + NEARER_NM))
        if any(self.owner[each] != owner.ref and gap(box, each) < away + NEARER_NM for each in rivals):
            return False
        if not owner.own:
            return True
        away = min(gap(box, each) for each in owner.own)
        return all(gap(box, each) >= away + NEARER_NM for each in owner.others)

    def is_free(self, spot: Spot, wide: int, high: int, owner: Owner | None = None, *, seen: bool = False) -> bool:
        """Whether a text of this size may stand there: clear of all else, inside a body or outside.

        With an owner, only where it belongs to it; with `seen`, outside only.
        """
        box = box_of(spot, wide, high)
        if not _within(box, self.edge) or self.taken.meets(box):
            return False
        about = grown(box, BODY_AWAY_NM)
        # inside without touching
        more = grown(about, 1)
        if any(seen or not _within(more, body) for body in self.bodies.meeting(about)):
            return False
        return not owner or self.belongs(box, owner)

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

    def near(self, body: Box, wide: int, high: int) -> Iterator[Spot]:
        """Every place of a fine grid about a body where nothing is taken, the nearest first."""
        left, low, right, top = body
        found = []
        for upright, (x_nm, y_nm) in ((0, (wide, high)), (1, (high, wide))):
            across = np.arange(left - x_nm - NEAR_NM, right + NEAR_NM, FINE_NM)
            up = np.arange(low - y_nm - NEAR_NM, top + NEAR_NM, FINE_NM)
            x, y = (each.ravel() for each in np.meshgrid(across, up, indexing="ij"))
            free = _covered(across, up, self.taken.array(), (x_nm, y_nm, 0, 0)).T.ravel() == 0
            dx = np.maximum(np.maximum(x - right, left - x - x_nm), 0)
            dy = np.maximum(np.maximum(y - top, low - y - y_nm), 0)
            found.append(np.stack([dx * dx + dy * dy, x, y, np.full_like(x, upright)])[:, free])
        away, x, y, upright = np.hstack(found)
        nearest = np.argsort(away, kind="stable")
        return zip(x[nearest].tolist(), y[nearest].tolist(), upright[nearest].astype(bool).tolist(), strict=True)

    def take_lines(self, lines: list[Stroke]) -> None:
        """Keeps texts off the lines of bodies, and off bands and corners inside them."""
        for line in lines:
            self.taken.add(grown((*min(line.points), *max(line.points)), line.width_nm // 2 + LINE_AWAY_NM))

    def take(self, text: Box) -> None:
        """Keeps later texts off one that covers a box."""
        self.taken.add(room(text))


def gap(one: Box, other: Box) -> float:
    """Between the nearest points of two boxes; 0 where they meet."""
    across = max(one[0] - other[2], other[0] - one[2], 0)
    up = max(one[1] - other[3], other[1] - one[3], 0)
    return math.hypot(across, up)


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


About = Owner | str


class SilkscreenPen:
    """A pen on the top of a board: its width, and the height of a capital, in nanometres."""

    def __init__(self, space: SilkscreenSpace, pen_nm: int, cap_nm: int) -> None:
        self.space, self.width_nm, self.cap_nm = space, pen_nm, cap_nm
        self.texts: list[SilkscreenText] = []

    def put(
        self, words: str, places: Places | None, cap_nm: int = 0, *, about: About = "", seen: bool = False
    ) -> SilkscreenText | None:
        """The words written in the first free place, of the whole board where none are given; None without any.

        `about` is what they must be nearest to, or only the designator of what they are about. With `seen` no body may
        stand on them.
        """
        cap_nm = cap_nm or self.cap_nm
        wide, high = size(words, cap_nm, self.width_nm)
        owner = about if isinstance(about, Owner) else None
        if places is None:
            spot = self.space.first_anywhere(wide, high)
        else:
            spot = next((s for s in places(wide, high) if self.space.is_free(s, wide, high, owner, seen=seen)), None)
        return None if spot is None else self._write(words, spot, cap_nm, owner.ref if owner else str(about))

    def put_all(self, texts: Sequence[tuple[str, Places, Owner]]) -> bool:
        """All of these texts in sight, each in the first place free of the rest; none of them where one finds none."""
        found: list[tuple[str, Spot, str]] = []
        boxes: list[Box] = []
        for words, places, owner in texts:
            wide, high = size(words, self.cap_nm, self.width_nm)
            free = (s for s in places(wide, high) if self.space.is_free(s, wide, high, owner, seen=True))
            spot = next((s for s in free if not any(meet(box_of(s, wide, high), other) for other in boxes)), None)
            if spot is None:
                return False
            found.append((words, spot, owner.ref))
            boxes.append(room(box_of(spot, wide, high)))
        for words, spot, ref in found:
            self._write(words, spot, self.cap_nm, ref)
        return True

    def put_alike(
        self, words: Sequence[str], places: Sequence[Places], owners: Sequence[Owner]
    ) -> list[SilkscreenText | None]:
        """The texts of equal parts in sight, each in the place of the rank that the most of them can have.

        The rest find their own; None where there is none.
        """
        if len(words) == 1:
            return [self.put(words[0], places[0], about=owners[0], seen=True)]
        sizes = [size(each, self.cap_nm, self.width_nm) for each in words]
        best: dict[int, Spot] = {}
        ranked = zip(*(of(*extent) for of, extent in zip(places, sizes, strict=True)), strict=False)
        for rank, spots in enumerate(ranked):
            found = self._free(spots, sizes, owners, len(words) - len(best))
            best = found if len(found) > len(best) else best
            if len(best) == len(words) or (rank >= ENOUGH and 2 * len(best) > len(words)):
                break
        made = {
            number: self._write(words[number], spot, self.cap_nm, owners[number].ref) for number, spot in best.items()
        }
        return [
            made.get(number) or self.put(each, of, about=owner, seen=True)
            for number, (each, of, owner) in enumerate(zip(words, places, owners, strict=True))
        ]

    def _free(
        self, spots: Sequence[Spot], sizes: Sequence[tuple[int, int]], owners: Sequence[Owner], misses: int
    ) -> dict[int, Spot]:
        """Which of the texts find their place free of all and of each other; none where as many as before miss it."""
        found: dict[int, Spot] = {}
        boxes: list[Box] = []
        for number, (spot, extent, owner) in enumerate(zip(spots, sizes, owners, strict=True)):
            box = box_of(spot, *extent)
            if self.space.is_free(spot, *extent, owner, seen=True) and not any(meet(box, other) for other in boxes):
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

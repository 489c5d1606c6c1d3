"""Writes texts in free places, equal parts' in places alike where most of them find room there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from boardgen.board.rotated_footprint import Box
from boardgen.board.silkscreen_space import Spot, Surface, box_of, meet, room
from boardgen.board.stroke_font import size, write
from boardgen.model.copper import SilkscreenText

ENOUGH = 160
"""So many places are tried for all of equal parts before one is good enough that most of them can have."""
Places = Callable[[int, int], Iterator[Spot]]
"""Where a text of some width and height may stand, the best place first."""


class Writer:
    """A pen on the top of a board: its width, and the height of a capital, in nanometres."""

    def __init__(self, surface: Surface, pen_nm: int, cap_nm: int) -> None:
        self.surface, self.pen, self.cap = surface, pen_nm, cap_nm
        self.texts: list[SilkscreenText] = []

    def put(self, words: str, places: Places | None, cap_nm: int = 0, *, seen: bool = False) -> SilkscreenText | None:
        """The words written in the first free place, of the whole board where none are given; None without any.

        With `seen` no body may stand on them.
        """
        cap_nm = cap_nm or self.cap
        wide, high = size(words, cap_nm, self.pen)
        if places is None:
            spot = self.surface.first_anywhere(wide, high)
        else:
            spot = next((s for s in places(wide, high) if self.surface.is_free(s, wide, high, seen=seen)), None)
        return None if spot is None else self._write(words, spot, cap_nm)

    def put_alike(self, words: Sequence[str], places: Sequence[Places]) -> list[SilkscreenText | None]:
        """The texts of equal parts in sight, each in the place of the rank that the most of them can have.

        The rest find their own; None where there is none.
        """
        sizes = [size(each, self.cap, self.pen) for each in words]
        best: dict[int, Spot] = {}
        ranked = zip(*(of(*extent) for of, extent in zip(places, sizes, strict=True)), strict=False)
        for rank, spots in enumerate(ranked):
            found = self._free(spots, sizes, len(words) - len(best))
            best = found if len(found) > len(best) else best
            if len(best) == len(words) or (rank >= ENOUGH and 2 * len(best) > len(words)):
                break
        made = {number: self._write(words[number], spot, self.cap) for number, spot in best.items()}
        return [
            made.get(number) or self.put(each, of, seen=True)
            for number, (each, of) in enumerate(zip(words, places, strict=True))
        ]

    def _free(self, spots: Sequence[Spot], sizes: Sequence[tuple[int, int]], misses: int) -> dict[int, Spot]:
        """Which of the texts find their place free of all and of each other; none where as many as before miss it."""
        found: dict[int, Spot] = {}
        boxes: list[Box] = []
        for number, (spot, extent) in enumerate(zip(spots, sizes, strict=True)):
            box = box_of(spot, *extent)
            if self.surface.is_free(spot, *extent, seen=True) and not any(meet(box, other) for other in boxes):
                found[number] = spot
                boxes.append(room(box))
            elif number - len(found) + 1 >= misses:
                return {}
        return found

    def _write(self, words: str, spot: Spot, cap_nm: int) -> SilkscreenText:
        x, y, upright = spot
        text = write(words, x, y, cap_nm, self.pen, upright)
        self.surface.take(text.box)
        self.texts.append(text)
        return text

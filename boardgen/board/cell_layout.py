"""Lays one cell out: places its parts, routes its tracks, and gives it more room until all of them pass.

Algorithm: generate and test. Arrangements come from `placement`, the lowest and tightest first; each is tried by
`router`, with more and more free rows and space about the parts, until one is routed. Cost: one routing an arrangement,
of which most cells need one or two. A cell that came out much higher than its parts ask may be squeezed: SQUEEZES
arrangements of all sorts that are lower are tried once, and the lowest that is routed is kept.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from functools import lru_cache

from boardgen.board.cell_task import CellTask, LocalNet, RoutedCell
from boardgen.board.placement import TRIALS, Arrangement, arrangements
from boardgen.board.router import NoRoomError, NoWay, TooTallError, route

SPREADS_NM = (0, 150_000, 300_000, 635_000, 1_270_000)
"""More space about each part that is tried in turn."""
EXTRA_ROWS = ((0, 0), (1, 1), (2, 2), (3, 3))
"""Free rows above and below the parts that are tried."""
ATTEMPTS, MORE_ATTEMPTS = 40, 12
"""Arrangements whose tracks are tried, the lowest first: without and with more space."""
SQUEEZES = 72
"""So many lower arrangements are tried of a cell that is squeezed."""
LOOSE, LOOSE_ROWS = 1.25, 8
"""A cell is loose that takes so many times the rows of its lowest arrangement, and so many rows more."""
STRIDE = 7
"""Arrangements are squeezed in steps of so many, so that all sorts have their turn; CHAINS has no such factor."""
NO_LIMIT = 1 << 30
"""More rows than any cell takes."""


def lay_out_cell(task: CellTask, most_rows: int = NO_LIMIT) -> RoutedCell:
    """The cell placed and routed, remembered.

    Raises NoRoomError where it cannot be, and TooTallError where it would take more rows than these.
    """
    return _attempts(task).routed(most_rows)


def squeezed_cell(task: CellTask) -> RoutedCell:
    """The cell lower than it was laid out at first, where it was loose and a lower arrangement is routed."""
    return _attempts(task).squeezed()


@lru_cache(maxsize=4096)
def _attempts(task: CellTask) -> _Attempts:
    return _Attempts(task)


class _Attempts:
    """One cell tried in one arrangement after the other, as far as anybody asked.

    What was asked before never shows in an answer: a board comes out as in a process of its own.
    """

    def __init__(self, task: CellTask) -> None:
        self.task = task
        self.others = _candidates(task)
        self.next = next(self.others, None)
        self.found: RoutedCell | None = None
        self.lowest: RoutedCell | None = None
        self.most_tried = 0
        self.suspects: list[LocalNet] = []

    def routed(self, most_rows: int) -> RoutedCell:
        """The first arrangement that is routed, if neither it nor one tried before it takes more rows than these."""
        while self.found is None and self.most_tried <= most_rows:
            if self.next is None:
                raise NoRoomError(self.task.stage)
            rows, places = self.next
            if rows > most_rows:
                break
            self.most_tried = max(self.most_tried, rows)
            routes = route(self.task, rows, places, self.suspects)
            if not isinstance(routes, NoWay):
                self.found = RoutedCell(rows, places, *routes)
            elif routes.suspect:
                self.suspects.insert(0, routes.suspect)
            self.next = next(self.others, None)
        if self.found is None or self.most_tried > most_rows:
            raise TooTallError(self.task.stage)
        return self.found

    def squeezed(self) -> RoutedCell:
        """The lowest arrangement that is routed of those that were found at first and of SQUEEZES lower ones."""
        if self.lowest is None:
            self.lowest = self._lower_than(self.routed(NO_LIMIT))
        return self.lowest

    def _lower_than(self, best: RoutedCell) -> RoutedCell:
        if self.task.rows or not self._is_loose(best.rows):
            return best
        every = [
            each
            for spread in SPREADS_NM
            for each in _with_extra_rows(self.task, arrangements(self.task, spread, TRIALS))
        ]
        left = SQUEEZES
        for rows, places in itertools.chain.from_iterable(every[start::STRIDE] for start in range(STRIDE)):
            if rows >= best.rows or not left:
                continue
            left -= 1
            routes = route(self.task, rows, places, self.suspects)
            if not isinstance(routes, NoWay):
                best = RoutedCell(rows, places, *routes)
        return best

    def _is_loose(self, rows: int) -> bool:
        least = min(each[0] for each in arrangements(self.task, 0, TRIALS))
        return rows >= LOOSE * least and rows >= least + LOOSE_ROWS


def _candidates(task: CellTask) -> Iterator[Arrangement]:
    """All that is tried, with more and more space about the parts."""
    # a cell of several stages that finds no way soon is better laid out as several cells
    for spread in SPREADS_NM[: 1 if task.shared else None]:
        found = arrangements(task, spread, TRIALS)
        most = None if task.thorough else MORE_ATTEMPTS if spread else ATTEMPTS
        yield from itertools.islice(_with_extra_rows(task, found), most)
        if task.rows or not found:
            break


def _with_extra_rows(task: CellTask, found: tuple[Arrangement, ...]) -> Iterator[Arrangement]:
    """The arrangements as they are and with free rows about them, the lowest first."""
    if task.rows:
        yield from found
        return
    extra = [(0 if task.bus_to else over, under) for over, under in EXTRA_ROWS]
    heights = sorted((rows + sum(more), number, more) for number, (rows, _) in enumerate(found) for more in extra)
    for height, number, (over, _) in heights:
        yield height, tuple((column, row + over, rotation) for column, row, rotation in found[number][1])

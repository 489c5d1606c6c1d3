"""The pieces of a board's nets, each with the cells about it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from boardgen.board.raster import CELL_NM, FREE, ZERO, Labels, Raster
from boardgen.model.copper import PointNm

REACH = round(7e6 / CELL_NM)
"""Cells about a piece that belong to its window: 7 mm, beyond which up to 0.03 pF of a pair is left."""
Potential = NDArray[np.float64]


def windows(copper: Raster, piece: int, pitch: int) -> Iterator[tuple[int, Labels]]:
    """The cells about each piece of each net, none wider than `pitch`; its own have the number `piece`."""
    for number, cells in enumerate(_cells(copper), 1):
        for place in _pieces(*cells, pitch):
            yield number, _window(copper.labels, number, piece, *place)


def outline(cells: NDArray[np.bool_]) -> tuple[tuple[bytes, tuple[int, ...]], PointNm]:
    """What tells pieces of the same copper, and the row and column at which it starts."""
    rows, columns = (np.flatnonzero(cells.any(axis=(0, axis))) for axis in (2, 1))
    own = cells[:, rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    return (own.tobytes(), own.shape), (int(rows[0]), int(columns[0]))


def moved(corner: PointNm, potential: Potential, to: PointNm, shape: tuple[int, ...]) -> Potential:
    """The potential about one piece put about another of the same copper; 0 where it is not known."""
    moved = np.zeros(shape)
    here, there = [], []
    for before, after, old, new in zip(corner, to, potential.shape[1:], shape[1:], strict=True):
        ahead, behind = min(before, after), min(old - before, new - after)
        here.append(slice(after - ahead, after + behind))
        there.append(slice(before - ahead, before + behind))
    moved[:, *here] = potential[:, *there]
    return moved


def _cells(copper: Raster) -> Iterator[tuple[NDArray[np.int64], NDArray[np.int64]]]:
    """Rows and columns of the cells of each net, from net 1 on."""
    painted = copper.labels > ZERO
    _, rows, columns = np.nonzero(painted)
    numbers = copper.labels[painted]
    order = np.argsort(numbers, kind="stable")
    for net in np.split(order, np.searchsorted(numbers[order], np.arange(2, len(copper.names) + 1))):
        yield rows[net], columns[net]


def _pieces(rows: NDArray[np.int64], columns: NDArray[np.int64], pitch: int) -> Iterator[tuple[slice, slice]]:
    """Rows and columns of each piece of a net, none wider than `pitch`."""
    end = int(columns.max(initial=0)) + 1
    for left in range(int(columns.min(initial=end)), end, pitch):
        across = slice(left, min(left + pitch, end))
        found = np.unique(rows[(columns >= across.start) & (columns < across.stop)])
        for part in np.split(found, np.flatnonzero(np.diff(found) > REACH) + 1):
            if part.size:
                yield slice(int(part[0]), int(part[-1]) + 1), across


def _window(labels: Labels, number: int, piece: int, rows: slice, columns: slice) -> Labels:
    """The cells about a piece of the net `number`; its own have the number `piece`."""
    low, left = max(0, rows.start - REACH), max(0, columns.start - REACH)
    window = labels[:, low : rows.stop + REACH, left : columns.stop + REACH].copy()
    there = window[:, rows.start - low : rows.stop - low, columns.start - left : columns.stop - left]
    there[there == number] = piece
    return window


def renumbered(window: Labels) -> tuple[list[int], Labels]:
    """The nets of a window in order of their first cell, 0V first, and the window in these numbers.

    Windows that are alike but for the names of their nets become equal.
    """
    cells = window.ravel()
    first = np.full(int(cells.max()) + 2, cells.size)
    # the first cell of a net follows one of another
    begins = np.flatnonzero(cells[1:] != cells[:-1])[::-1] + 1
    # of cells with the same number the last one written stays
    first[cells[begins]] = begins
    first[cells[0]] = 0
    first[[ZERO, FREE]] = cells.size
    nets = [n for n in np.argsort(first, kind="stable").tolist() if first[n] < cells.size]
    table = np.full(first.size, FREE, np.int16)
    table[ZERO] = ZERO
    table[nets] = np.arange(1, len(nets) + 1)
    return [ZERO, *nets], table[window]

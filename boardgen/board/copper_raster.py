"""A board's copper as two grids of square cells, each with the number of its net, and the tiles about its pieces.

Algorithm: scan conversion. Areas are filled by the senses of the edges to the left of a cell (winding numbers), tracks
and pads by the distance of a cell's middle from them. Cost: linear in cells, and in edges of areas times the rows that
they cross.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import chain
from math import ceil

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from boardgen.board.rules import GRID_NM
from boardgen.model.copper import SIDES, Board, PointNm, Region

CELL_NM = GRID_NM / 3
"""A third of the grid of tracks, with which tracks of 0.6, 1.0 and 1.5 mm and their gaps come out nearly as wide."""
FREE, ZERO = -1, 0
"""Numbers of a cell without copper and of one of 0V."""
REACH = round(7e6 / CELL_NM)
"""Cells about a piece that belong to its tile: 7 mm, beyond which up to 0.03 pF of a pair is left."""
Labels = NDArray[np.int16]
Potential = NDArray[np.float64]
CellPlace = tuple[int, int]
"""Row and column of a cell."""


class Raster(Struct, frozen=True):
    """`labels` (2, rows, columns), top first, rows upwards: the number of the net, ZERO for 0V, FREE for no copper.

    `names` are the nets from number 1 on. Outside the board everything is ZERO.
    """

    names: tuple[str, ...]
    labels: Labels


def raster(board: Board, ac_grounds: frozenset[str]) -> Raster:
    """The copper of a board on cells of CELL_NM.

    Parameters
    ----------
    board : the layout
    ac_grounds : nets that count as 0V

    Returns
    -------
    Every net by number; copper without a net is left out.

    """
    nets = {t.net for t in board.tracks} | {pad.net for pad in board.pads} | {v.net for v in board.vias}
    names = tuple(sorted(nets - ac_grounds - {""}))
    brush = _Brush(board, {name: n for n, name in enumerate(names, 1)})
    poured: dict[tuple[int, str], list[Region]] = {}
    for region in board.regions:
        poured.setdefault((SIDES.index(region.side), region.net), []).append(region)
    for (side, net), regions in poured.items():
        brush.regions(side, net, regions)
    for track in board.tracks:
        brush.capsule(SIDES.index(track.side), track.start, track.end, track.width_nm / 2, track.net)
    for via in board.vias:
        for side in (0, 1):
            brush.capsule(side, via.at, via.at, via.pad_nm / 2, via.net)
    for pad in board.pads:
        for name in pad.sides if pad.net else ():
            side = SIDES.index(name)
            if pad.is_round:
                brush.capsule(side, pad.at, pad.at, pad.width_nm / 2, pad.net)
            else:
                brush.box(side, pad.at, pad.width_nm / 2, pad.height_nm / 2, pad.net)
    return Raster(names, brush.labels)


class _Brush:
    """Paints copper on cells whose middle it covers. Tracks run along middles of cells."""

    def __init__(self, board: Board, numbers: Mapping[str, int]) -> None:
        self.numbers = numbers
        ends = [end for track in board.tracks for end in (track.start, track.end)] or [(0, 0)]
        self.phases = [Counter(end[axis] % GRID_NM for end in ends).most_common(1)[0][0] for axis in (0, 1)]
        self.x, self.y = map(_middles, (board.width_nm, board.height_nm), self.phases)
        self.labels: Labels = np.full((2, self.y.size, self.x.size), FREE, np.int16)
        self.labels[:, :, (self.x < 0) | (self.x > board.width_nm)] = ZERO
        self.labels[:, (self.y < 0) | (self.y > board.height_nm)] = ZERO

    def capsule(self, side: int, start: PointNm, end: PointNm, radius: float, net: str) -> None:
        """A bar with round ends, or a disc."""
        column, row = (_cell(v, phase) for v, phase in zip(start, self.phases, strict=True))
        left, low, covered = _capsule(column[1], row[1], end[0] - start[0], end[1] - start[1], radius)
        left, low = left + column[0] + _before(self.phases[0]), low + row[0] + _before(self.phases[1])
        # a board with faults may have copper beyond its edge
        covered = covered[max(0, -low) :, max(0, -left) :]
        rows, columns = covered.shape
        here = self.labels[side, max(0, low) :, max(0, left) :][:rows, :columns]
        here[covered[: len(here), : here.shape[1]]] = self.numbers.get(net, ZERO)

    def box(self, side: int, at: PointNm, half_x: float, half_y: float, net: str) -> None:
        """A rectangle."""
        rows, columns = (
            slice(*np.searchsorted(middles, (middle - half, middle + half)).tolist())
            for middles, middle, half in ((self.y, at[1], half_y), (self.x, at[0], half_x))
        )
        self.labels[side, rows, columns] = self.numbers.get(net, ZERO)

    def regions(self, side: int, net: str, regions: Sequence[Region]) -> None:
        """What is inside of outlines and of no clearing of theirs, told by the edges that lie to the left of it.

        Outlines count in one sense and clearings in the other, whatever the sense they are given in.
        """
        rings = [ring for region in regions for ring in (region.outline, *region.clear)]
        inner = [n > 0 for region in regions for n in range(1 + len(region.clear))]
        lengths = np.array([len(ring) for ring in rings])
        starts = np.cumsum(lengths) - lengths
        x0, y0 = np.array(list(chain.from_iterable(rings)), float).T
        # each corner's edge goes on to the next corner of its ring
        onward = np.arange(1, x0.size + 1)
        onward[starts + lengths - 1] = starts
        x1, y1 = x0[onward], y0[onward]
        # the sign of a ring's area says which way round it is given
        sense = np.sign(np.add.reduceat(x0 * y1 - x1 * y0, starts)) * np.where(inner, -1, 1)
        winding = np.repeat(sense, lengths) * np.sign(y0 - y1)
        low, high = np.searchsorted(self.y, (np.minimum(y0, y1), np.maximum(y0, y1)))
        # one entry for each row of cells that an edge crosses: which edge, which row, and in which column
        edge = np.repeat(np.arange(x0.size), high - low)
        row = np.arange(edge.size) - np.repeat(np.cumsum(high - low) - high, high - low)
        across = (self.y[row] - y0[edge]) * (x1 - x0)[edge] / (y1 - y0)[edge]
        crossing = np.searchsorted(self.x, x0[edge] + across)
        rows, columns = self.labels.shape[1], self.labels.shape[2] + 1
        # to the right of an edge one is inside or outside again: sums along each row
        edges = np.bincount(row * columns + crossing, winding[edge], rows * columns)
        inside = edges.reshape(rows, columns).cumsum(1)[:, :-1] > 0.5
        self.labels[side][inside] = self.numbers.get(net, ZERO)


def _middles(length_nm: int, phase_nm: int) -> NDArray[np.float64]:
    """Middles of the cells from just below 0 to just above the length."""
    count = int(length_nm // CELL_NM) + 3
    return np.asarray(phase_nm + (np.arange(count) - _before(phase_nm)) * CELL_NM, np.float64)


def _before(phase_nm: int) -> int:
    """How many cells come before the one whose middle is at the phase."""
    return int(phase_nm // CELL_NM) + 1


def _cell(at_nm: int, phase_nm: int) -> tuple[int, int]:
    """The cell from the one at the phase on in which a point lies past the middle, and by how many thirds of a nm."""
    return divmod(3 * (at_nm - phase_nm), GRID_NM)


@lru_cache(maxsize=1024)
def _capsule(past_x: int, past_y: int, wide: int, high: int, radius: float) -> tuple[int, int, NDArray[np.bool_]]:
    """The cells that a capsule covers, and where they start from the cell of its start, as `_cell` gives that."""
    columns, rows = (
        np.arange(ceil((min(0, run) - radius + past / 3) / CELL_NM), (max(0, run) + radius + past / 3) // CELL_NM + 1)
        for run, past in ((wide, past_x), (high, past_y))
    )
    x, y = columns[None] * CELL_NM - past_x / 3, rows[:, None] * CELL_NM - past_y / 3
    length2 = wide * wide + high * high
    along = np.clip((x * wide + y * high) / length2, 0, 1) if length2 else 0.0
    covered = (x - along * wide) ** 2 + (y - along * high) ** 2 <= radius * radius
    return (int(columns[0]), int(rows[0]), covered) if covered.size else (0, 0, covered)


def tiles(copper: Raster, piece: int, pitch: int) -> Iterator[tuple[int, Labels]]:
    """The cells about each piece of each net.

    Parameters
    ----------
    copper : the board
    piece : number that the cells of the piece itself get, above those of all nets
    pitch : no piece is wider than so many cells

    Yields
    ------
    The number of the net, and the tile, (2, rows, columns).

    """
    for number, cells in enumerate(_cells(copper), 1):
        for place in _pieces(*cells, pitch):
            yield number, _tile(copper.labels, number, piece, *place)


def outline(cells: NDArray[np.bool_]) -> tuple[tuple[bytes, tuple[int, ...]], CellPlace]:
    """What tells pieces of the same copper, and the row and column at which it starts."""
    rows, columns = (np.flatnonzero(cells.any(axis=(0, axis))) for axis in (2, 1))
    own = cells[:, rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    return (own.tobytes(), own.shape), (int(rows[0]), int(columns[0]))


def shifted(corner: CellPlace, potential: Potential, to: CellPlace, shape: tuple[int, ...]) -> Potential:
    """The potential about one piece put about another of the same copper; 0 where it is not known."""
    result = np.zeros(shape)
    here, there = [], []
    for before, after, old, new in zip(corner, to, potential.shape[1:], shape[1:], strict=True):
        ahead, behind = min(before, after), min(old - before, new - after)
        here.append(slice(after - ahead, after + behind))
        there.append(slice(before - ahead, before + behind))
    result[:, *here] = potential[:, *there]
    return result


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


def _tile(labels: Labels, number: int, piece: int, rows: slice, columns: slice) -> Labels:
    """The cells about a piece of the net `number`; its own have the number `piece`."""
    low, left = max(0, rows.start - REACH), max(0, columns.start - REACH)
    tile = labels[:, low : rows.stop + REACH, left : columns.stop + REACH].copy()
    there = tile[:, rows.start - low : rows.stop - low, columns.start - left : columns.stop - left]
    there[there == number] = piece
    return tile


def renumbered(tile: Labels) -> tuple[list[int], Labels]:
    """The nets of a tile in order of their first cell, 0V first, and the tile in these numbers.

    Tiles that are alike but for the names of their nets become equal.
    """
    cells = tile.ravel()
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
    return [ZERO, *nets], table[tile]

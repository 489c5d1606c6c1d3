"""What the laid copper adds: capacitance between nets, and inductance of the run from each port to the output."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from boardgen.board.bodies import between_bodies
from boardgen.board.field import charges
from boardgen.board.raster import CELL_NM, FREE, ZERO, Labels, Raster, raster
from boardgen.board.runs import runs
from boardgen.model.copper import Board
from boardgen.model.figure import Figure
from boardgen.model.netlist import Netlist
from boardgen.model.strays import Strays

REACH = round(7e6 / CELL_NM)
"""Cells about a net within which its field is worked out: 7 mm, beyond which up to 0.03 pF of a pair is left."""
LEAST_F = 1e-15
"""Smaller capacitances are left out: 1 fF between two 75 ohm lines is 113 dB at 10 MHz and 103 dB at 30 MHz."""
SHARE = 0.25
"""Known to this share: up to 0.2 by the size of the cells and the thickness of copper, 0.05 by the permittivity."""
COPPER = "field of the laid copper, two planes on FR-4"


def strays(board: Board, netlist: Netlist, held: frozenset[str]) -> Strays:
    """What a board's copper and the bodies of its wound parts add. Nets in `held` count as 0V."""
    found: dict[tuple[str, str], float] = {}
    pitch = round(board.facts["pitch_m"] * 1e9 / CELL_NM)
    for pair, farads in _copper(raster(board, held), pitch):
        found[pair] = found.get(pair, 0.0) + farads
    capacitances = [
        (*pair, Figure(_rounded(f), "F", "computed", COPPER, _rounded(f * (1 - SHARE)), _rounded(f * (1 + SHARE))))
        for pair, f in sorted(found.items())
        if f >= LEAST_F
    ]
    return Strays((*capacitances, *between_bodies(board, netlist, held)), runs(board, netlist))


def _rounded(farads: float) -> float:
    """Three figures: the last bits of a Fourier transform differ between machines."""
    return float(f"{farads:.2e}")


def _copper(copper: Raster, pitch: int) -> Iterator[tuple[tuple[str, str], float]]:
    """Each pair of nets, seen from either side with half its capacitance; pairs with 0V whole.

    A net longer than a strip is taken piece by piece, the rest of it at 0 V: the charges of all pieces add up.
    """
    solved: dict[tuple[bytes, tuple[int, ...], int], NDArray[np.float64]] = {}
    piece = len(copper.names) + 1
    for number, name in enumerate(copper.names, 1):
        for window in _windows(copper.labels, number, piece, pitch):
            numbers, alike = _renumbered(window)
            own = int(np.flatnonzero(numbers == piece)[0])
            key = (alike.tobytes(), alike.shape, own)
            if key not in solved:
                solved[key] = charges(alike, own, CELL_NM * 1e-9)
            for other, coulombs in zip(numbers.tolist(), solved[key].tolist(), strict=True):
                if other == ZERO:
                    yield (name, "0V"), -coulombs
                elif other not in (number, piece):
                    one, two = sorted((name, copper.names[other - 1]))
                    yield (one, two), -coulombs / 2


def _windows(labels: Labels, number: int, piece: int, pitch: int) -> Iterator[Labels]:
    """The cells about each piece of a net, which is not wider than `pitch` cells; its own have the number `piece`."""
    found = labels == number
    columns = np.flatnonzero(found.any(axis=(0, 1)))
    for left in range(int(columns[0]), int(columns[-1]) + 1, pitch) if columns.size else ():
        across = slice(left, min(left + pitch, int(columns[-1]) + 1))
        rows = np.flatnonzero(found[:, :, across].any(axis=(0, 2)))
        for part in np.split(rows, np.flatnonzero(np.diff(rows) > REACH) + 1):
            if part.size:
                low, high = max(0, int(part[0]) - REACH), int(part[-1]) + 1 + REACH
                start, end = max(0, left - REACH), across.stop + REACH
                window = labels[:, low:high, start:end].copy()
                there = window[:, int(part[0]) - low : int(part[-1]) + 1 - low, left - start : across.stop - start]
                there[there == number] = piece
                yield window


def _renumbered(window: Labels) -> tuple[NDArray[np.int64], Labels]:
    """The nets of a window in order of their first cell, 0V first, and the window in these numbers.

    Windows that are alike but for the names of their nets become equal.
    """
    cells = window.ravel()
    first = np.full(int(cells.max()) + 2, cells.size)
    # of cells with the same number the last one written stays
    first[cells[::-1]] = np.arange(cells.size - 1, -1, -1)
    first[[ZERO, FREE]] = cells.size
    nets = [n for n in np.argsort(first, kind="stable").tolist() if first[n] < cells.size]
    table = np.full(first.size, FREE, np.int16)
    table[ZERO] = ZERO
    table[nets] = np.arange(1, len(nets) + 1)
    return np.array([ZERO, *nets]), table[window]

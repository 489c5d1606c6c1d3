"""What the laid copper adds: capacitance between nets, and inductance of the run from each port to the output."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from boardgen.board.bodies import between_bodies
from boardgen.board.field import charges
from boardgen.board.raster import CELL_NM, ZERO, Labels, Raster, raster
from boardgen.board.runs import runs
from boardgen.model.copper import Board
from boardgen.model.figure import Figure
from boardgen.model.netlist import Netlist
from boardgen.model.strays import Strays

REACH = round(10e6 / CELL_NM)
"""Cells about a net within which its field is worked out: 10 mm, beyond which less than 0.01 pF is left."""
LEAST_F = 0.2e-15
"""Smaller capacitances are left out: 0.2 fF is 20 Mohm at 30 MHz, or 127 dB in a 75 ohm line."""
SHARE = 0.25
"""Known to this share: up to 0.2 by the size of the cells, 0.05 by the permittivity of FR-4."""
COPPER = "field of the laid copper, two planes on FR-4"


def strays(board: Board, netlist: Netlist, held: frozenset[str]) -> Strays:
    """What a board's copper and the bodies of its wound parts add. Nets in `held` count as 0V."""
    found: dict[tuple[str, str], float] = {}
    copper = raster(board, held)
    for pair, farads in _copper(copper):
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


def _copper(copper: Raster) -> Iterator[tuple[tuple[str, str], float]]:
    """Each pair of nets, seen once from either side with half its capacitance; pairs with 0V whole."""
    solved: dict[tuple[bytes, tuple[int, ...], int], NDArray[np.float64]] = {}
    for number, name in enumerate(copper.names, 1):
        window = _window(copper.labels, number)
        if window is None:
            continue
        numbers, alike = _renumbered(window)
        own = int(np.flatnonzero(numbers == number)[0])
        key = (alike.tobytes(), alike.shape, own)
        if key not in solved:
            solved[key] = charges(alike, own, CELL_NM * 1e-9)
        for other, coulombs in zip(numbers.tolist(), solved[key].tolist(), strict=True):
            if other == ZERO:
                yield (name, "0V"), -coulombs
            elif other != number:
                one, two = sorted((name, copper.names[other - 1]))
                yield (one, two), -coulombs / 2


def _window(labels: Labels, number: int) -> Labels | None:
    """The cells about a net; None where it has no copper of its own."""
    _, rows, columns = np.nonzero(labels == number)
    if not rows.size:
        return None
    across = slice(max(0, int(columns.min()) - REACH), int(columns.max()) + REACH + 1)
    return labels[:, max(0, int(rows.min()) - REACH) : int(rows.max()) + REACH + 1, across]


def _renumbered(window: Labels) -> tuple[NDArray[np.int64], Labels]:
    """The nets of a window in order of their first cell, 0V first, and the window in these numbers.

    Windows that are alike but for the names of their nets become equal.
    """
    present, first = np.unique(window, return_index=True)
    nets = [n for _, n in sorted(zip(first.tolist(), present.tolist(), strict=True)) if n > ZERO]
    table = np.full(int(present.max()) + 2, -1, np.int16)
    table[ZERO] = ZERO
    table[nets] = np.arange(1, len(nets) + 1)
    return np.array([ZERO, *nets]), table[window]

"""What the laid copper adds: capacitance between nets, and inductance of the run from each port to the output."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from boardgen.board.bodies import between_bodies
from boardgen.board.field import charges as solved
from boardgen.board.raster import CELL_NM, ZERO, Labels, Raster, raster
from boardgen.board.runs import runs
from boardgen.board.windows import Potential, moved, outline, renumbered, windows
from boardgen.model.copper import Board, PointNm
from boardgen.model.figure import Figure
from boardgen.model.netlist import Netlist
from boardgen.model.parasitics import Parasitics

LEAST_F = 1e-15
"""Smaller capacitances are left out: 1 fF between two 75 ohm lines is 113 dB at 10 MHz and 103 dB at 30 MHz."""
SHARE = 0.25
"""Known to this share: up to 0.2 by the size of the cells and the thickness of copper, 0.05 by the permittivity."""
COPPER = "field of the laid copper, two planes on FR-4"


def parasitics(board: Board, netlist: Netlist, held: frozenset[str]) -> Parasitics:
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
    return Parasitics((*capacitances, *between_bodies(board, netlist, held)), runs(board, netlist))


def _rounded(farads: float) -> float:
    """Three figures: the last bits of a Fourier transform differ between machines."""
    return float(f"{farads:.2e}")


def _copper(copper: Raster, pitch: int) -> Iterator[tuple[tuple[str, str], float]]:
    """Each pair of nets, seen from either side with half its capacitance; pairs with 0V whole.

    A net longer than a strip is taken piece by piece, the rest of it at 0 V: the charges of all pieces add up.
    """
    fields = _Fields()
    piece = len(copper.names) + 1
    for number, window in windows(copper, piece, pitch):
        numbers, alike = renumbered(window)
        charges = fields.charges(alike, numbers.index(piece))
        for other, coulombs in zip(numbers, charges, strict=True):
            if other == ZERO:
                yield (copper.names[number - 1], "0V"), -coulombs
            elif other not in (number, piece):
                one, two = sorted((copper.names[number - 1], copper.names[other - 1]))
                yield (one, two), -coulombs / 2


class _Fields:
    """The fields of a board's windows: equal windows are solved once, and what is about equal copper is a guess."""

    def __init__(self) -> None:
        self._charges: dict[tuple[bytes, tuple[int, ...], int], tuple[float, ...]] = {}
        self._about: dict[tuple[bytes, tuple[int, ...]], tuple[PointNm, Potential]] = {}

    def charges(self, alike: Labels, own: int) -> tuple[float, ...]:
        """The charges of the nets of a window in coulombs, 0V first, with net `own` at 1 V."""
        key = (alike.tobytes(), alike.shape, own)
        if key not in self._charges:
            shape, corner = outline(alike == own)
            guess = moved(*self._about[shape], corner, alike.shape) if shape in self._about else None
            charges, potential = _solved(*key, None if guess is None else guess.tobytes())
            self._charges[key], self._about[shape] = charges, (corner, potential)
        return self._charges[key]


@lru_cache(maxsize=128)
def _solved(cells: bytes, shape: tuple[int, ...], own: int, guess: bytes | None) -> tuple[tuple[float, ...], Potential]:
    """Charges of a window's nets and potentials of its cells; boards of one design have windows in common."""
    labels = np.frombuffer(cells, np.int16).reshape(shape)
    about = None if guess is None else np.frombuffer(guess).reshape(shape)
    charges, potential = solved(labels, own, CELL_NM * 1e-9, guess=about)
    potential.flags.writeable = False
    return tuple(charges.tolist()), potential

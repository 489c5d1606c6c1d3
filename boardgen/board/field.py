"""Capacitances of copper on both sides of a board, from the field of thin conductors on a slab.

With potentials f1 and f2 on the two sides, Laplace's equation for each wave number k gives the charge per area

    q1 = e0 k (1 + er coth kh) f1 - e0 er k / sinh(kh) f2        and q2 likewise,

air outside, a slab of er and thickness h between (separation of variables, textbook). Where there is no copper the
charge is zero, which fixes the potential there: a linear system, solved by conjugate gradients with fast Fourier
transforms. Copper is without thickness, cells are square, everything outside the window is 0V.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from boardgen.board.raster import FREE, Labels
from boardgen.handbook.constants import ELECTRIC_CONSTANT_F_PER_M
from boardgen.handbook.stray import FR4_HIGHEST_PERMITTIVITY, FR4_LOWEST_PERMITTIVITY

THICKNESS_M = 1.6e-3
PERMITTIVITY = (FR4_LOWEST_PERMITTIVITY + FR4_HIGHEST_PERMITTIVITY) / 2
SWEEPS = 10
"""Averagings over the four neighbours that make the first guess."""
MOST_STEPS = 40
LEFT_OVER = 1e-2
"""Solved when the charge where no copper is has fallen to this share of what it was at first."""
FAR = 300.0
"""k h beyond which both sides of the slab know nothing of each other; cosh would overflow further on."""
Array = NDArray[np.float64]


def charges(
    labels: Labels, number: int, cell_m: float, thickness_m: float = THICKNESS_M, permittivity: float = PERMITTIVITY
) -> Array:
    """Charges in coulombs on the copper of each net when net `number` is at 1 V and every other at 0 V.

    `labels` (2, rows, columns) as a Raster has them. The result starts with 0V; its own entry is the net's whole
    capacitance in farads, every other the negative of that between the two nets.
    """
    rows, columns = (_fast(n) for n in labels.shape[1:])
    padded = np.zeros((2, rows, columns), np.int16)
    padded[:, : labels.shape[1], : labels.shape[2]] = labels
    own, across = _slab(rows, columns, cell_m, thickness_m, permittivity)

    def charge(potential: Array) -> Array:
        top, bottom = np.fft.rfft2(potential)
        return np.fft.irfft2(np.stack([own * top + across * bottom, across * top + own * bottom]), (rows, columns))

    free = padded == FREE
    density = _solved(charge, free, _guess(padded == number, free))
    counted = np.bincount(padded[~free], weights=density[~free], minlength=int(labels.max()) + 1)
    return np.asarray(counted * cell_m**2)


def _solved(charge: Callable[[Array], Array], free: NDArray[np.bool_], potential: Array) -> Array:
    """The charge density when that of the free cells has been brought to zero by their potential."""
    density = charge(potential)
    rest = -density * free
    step, size = rest.copy(), float((rest * rest).sum())
    enough = LEFT_OVER**2 * size
    for _ in range(MOST_STEPS):
        if size <= enough:
            break
        change = charge(step)
        length = size / float((step * change).sum())
        density += length * change
        rest -= length * change * free
        before, size = size, float((rest * rest).sum())
        step = rest + size / before * step
    return density


def _guess(at_one: NDArray[np.bool_], free: NDArray[np.bool_]) -> Array:
    potential: Array = at_one.astype(float)
    for _ in range(SWEEPS):
        around = np.roll(potential, 1, 1) + np.roll(potential, -1, 1)
        around += np.roll(potential, 1, 2) + np.roll(potential, -1, 2)
        potential = np.where(free, around / 4, potential)
    return potential


@lru_cache(maxsize=64)
def _slab(rows: int, columns: int, cell_m: float, thickness_m: float, permittivity: float) -> tuple[Array, Array]:
    """Charge for the potential of the same side, and of the other, by wave number."""
    upwards = 2 * np.pi * np.fft.fftfreq(rows, cell_m)[:, None]
    wave = np.hypot(upwards, 2 * np.pi * np.fft.rfftfreq(columns, cell_m))
    wave[0, 0] = 1e-3 / thickness_m
    depth = np.minimum(wave * thickness_m, FAR)
    own = ELECTRIC_CONSTANT_F_PER_M * wave * (1 + permittivity / np.tanh(depth))
    return own, -ELECTRIC_CONSTANT_F_PER_M * permittivity * wave / np.sinh(depth)


def _fast(number: int) -> int:
    """The next number that is a product of 2, 3 and 5."""
    rest = number
    for prime in (2, 3, 5):
        while rest % prime == 0:
            rest //= prime
    return number if rest == 1 else _fast(number + 1)

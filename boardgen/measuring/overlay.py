"""What was measured over what is predicted of the very state, with the band that built boards of this kind have.

The band is that of BOARDS drawn from every range, assumed strays too, as the tolerance run draws them; what lies beyond
it by more than the instrument may be off is outside. How far all that was measured lies from a board is asked of the
complex waves together: what drawn boards differ by, and how that hangs together over frequencies, states and ports,
counts for nothing (P. C. Mahalanobis, "On the generalised distance in statistics", 1936).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from msgspec import Struct

from boardgen.measuring.sweep import Sweep, referred, shortened
from boardgen.model.problem import InputError, Place, Problem
from boardgen.rf.network import Network
from boardgen.rf.quantities import loss_db
from boardgen.rf.solution import Solution
from boardgen.rf.unknowns import drawn, unknowns
from boardgen.rf_network.device_models import Array

BOARDS: Final = 100
START: Final = 20
"""Starts the draws: the same boards are drawn every time."""
LOW, HIGH = 2.5, 97.5
"""Percentiles of the drawn boards that bound the band."""
POINTS: Final = 30
"""Sweeps are held against the prediction at so many frequencies, evenly spread over the scale of a plot."""
LEAST_RANGE: Final = 2**0.25
FLOOR: Final = 0.003
"""Least that a wave may be off: a directivity and isolation of 50 dB after calibration. Assumed."""
RELATIVE: Final = 0.02
"""Share by which a wave may be off beside, as the instrument sees it: 0.1 dB and a degree. Assumed."""
PIGTAIL_M: Final = 0.03
"""So much line between calibration and board nobody takes off: as many boards have less as have more. Assumed."""


class Curve(Struct, frozen=True):
    """One S parameter of a sweep in decibels below one, measured and predicted, at the frequencies that are compared.

    `wave` is what was measured, `stated` what is predicted, `instrument` by how much that may be off, `pigtails` by how
    much line left in at both ports moves it, all (points,);
    `built` are the drawn boards, (BOARDS, points). `outside_db` is how far beyond the band the worst point lies, 0 for
    none.
    """

    sweep: Sweep
    to: str
    source: str
    frequency_hz: Array
    wave: Array
    stated: Array
    instrument: Array
    pigtails: Array
    built: Array
    low_db: Array
    high_db: Array
    outside_db: float
    at_hz: float

    @property
    def title(self) -> str:
        """What it is."""
        what = f"return loss at {self.to}" if self.to == self.source else f"loss from {self.source} to {self.to}"
        return f"{what} with {self.sweep.selected or 'nothing'} selected"

    @property
    def inside(self) -> bool:
        """Whether every point lies within the band."""
        return self.outside_db == 0.0

    @property
    def measured_db(self) -> Array:
        """Decibels below one."""
        return loss_db(self.wave)

    @property
    def stated_db(self) -> Array:
        """As predicted."""
        return loss_db(self.stated)


def overlay(network: Network, sweeps: Sequence[Sweep], lowest_hz: float, highest_hz: float) -> tuple[Curve, ...]:
    """The curves of all sweeps over the part of the band that all of them cover; of a passive board one direction does.

    Raises InputError where that is less than a quarter of an octave.
    """
    low = max(lowest_hz, *(one.frequency_hz[0] for one in sweeps))
    high = min(highest_hz, *(one.frequency_hz[-1] for one in sweeps))
    if high < low * LEAST_RANGE:
        found = f"all sweeps together cover {low:g} to {high:g} Hz of the band" if high > low else "nothing of the band"
        wanted = f"the band is {lowest_hz:g} to {highest_hz:g} Hz, and a sweep of it for each file is best"
        raise InputError([Problem("S043 sweep range", "error", Place(sweeps[0].file), found, wanted)])
    points = np.geomspace(low, high, POINTS)
    open_ones = unknowns(network)
    boards = drawn(open_ones, np.random.default_rng(START).random((BOARDS, len(open_ones))))
    curves = []
    for sweep in sweeps:
        own_ohm = tuple(network.port_ohm[port] for port in sweep.ports)
        own = referred(sweep, own_ohm).at(points)
        moved = referred(shortened(sweep, PIGTAIL_M), own_ohm).at(points) - own
        operated = network.operated(sweep.selected or None)
        sound = network.solve(operated, network.state(operated, points))
        many = network.solve(operated, network.state(operated, points, boards, BOARDS))
        off = _instrument(sweep, own_ohm, points, sound)
        for row, to in enumerate(sweep.ports):
            for column, source in enumerate(sweep.ports[: row + 1]):
                stated, built = (of.s((to, "differential"), (source, "differential")) for of in (sound, many))
                entry = (slice(None), row, column)
                curves.append(_curve(sweep, to, source, points, own[entry], stated[0], off[entry], moved[entry], built))
    return tuple(curves)


def _instrument(sweep: Sweep, own_ohm: tuple[float, ...], points: Array, sound: Solution) -> Array:
    """By how much each S parameter may be off, (points, ports, ports): by what the instrument sees at its impedance.

    A board of 75 ohm that is matched reflects a fifth of the wave into one of 50 ohm, and a share of that is not known.
    """
    ends = [
        [sound.s((to, "differential"), (source, "differential"))[0] for source in sweep.ports] for to in sweep.ports
    ]
    stated = np.moveaxis(np.array(ends), -1, 0)
    seen = referred(Sweep("", sweep.ports, sweep.selected, points, stated, own_ohm), sweep.reference_ohm)
    result: Array = FLOOR + RELATIVE * np.abs(seen.s)
    return result


def _curve(
    sweep: Sweep,
    to: str,
    source: str,
    points: Array,
    wave: Array,
    stated: Array,
    instrument: Array,
    pigtails: Array,
    many: Array,
) -> Curve:
    sizes = np.abs(many)
    low, high = np.percentile(sizes, (LOW, HIGH), axis=0)
    size = np.abs(wave)
    beyond = np.where(size > high + instrument, size / (high + instrument), 1.0)
    below = np.where(size < low - instrument, np.maximum(low - instrument, 1e-9) / np.maximum(size, 1e-9), 1.0)
    off_db = 20 * np.log10(np.maximum(beyond, below))
    # where nothing is outside, the point that is nearest to it
    within = np.maximum(size / (high + instrument), np.maximum(low - instrument, 1e-9) / np.maximum(size, 1e-9))
    worst = int((off_db if off_db.any() else within).argmax()) if off_db.size else 0
    return Curve(
        sweep, to, source, points, wave, stated, instrument, pigtails, many, loss_db(high), loss_db(low),
        float(off_db[worst]) if off_db.size else 0.0, float(points[worst]) if points.size else 0.0,
    )  # fmt: skip


class Yardstick:
    """How far what was measured lies from a kind of board, with what boards of it and the instrument differ by.

    The covariance is that of drawn boards, of one length of line left in everywhere, and a diagonal of the instrument,
    inverted by the Woodbury identity: the cost is that of a matrix with as many rows as boards.

    Parameters
    ----------
    curves : what was measured
    built : boards of that kind, of each curve (boards, points)
    stated : the one without tolerances, of each curve (points,)

    """

    def __init__(self, curves: Sequence[Curve], built: Sequence[Array], stated: Sequence[Array]) -> None:
        self._measured = _real([curve.wave for curve in curves])
        self._precision = 1 / _real([curve.instrument * (1 + 1j) for curve in curves]) ** 2
        own = _real(built) - _real(stated)
        # counted as often as there are boards, for it is a deviation by itself
        line = _real([curve.pigtails for curve in curves]) * len(own) ** 0.5
        boards = np.vstack([own, line])
        self._weighed = boards * self._precision / len(own)
        self._inner = np.linalg.inv(np.eye(len(boards)) + self._weighed @ boards.T)
        self._boards = boards * self._precision

    def distances(self, waves: Sequence[Array]) -> Array:
        """From each board, 1 being what the instrument alone is assumed to be off by.

        Parameters
        ----------
        waves : of each curve, (boards, points)

        """
        off = self._measured - _real(waves)
        squares = np.sum(off**2 * self._precision, axis=-1)
        squares -= np.sum(off @ self._boards.T @ self._inner * (off @ self._weighed.T), axis=-1)
        result: Array = np.sqrt(np.maximum(squares, 0.0) / self._measured.size)
        return result


def _real(waves: Sequence[Array]) -> Array:
    """All curves side by side, real parts and then imaginary ones."""
    joined = np.concatenate(waves, axis=-1)
    return np.concatenate([joined.real, joined.imag], axis=-1)

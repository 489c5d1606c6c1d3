"""Which sweeps tell nearly everything of a board, and what each should look like.

Each antenna is swept through to the output while it is selected, and into the idle board while its neighbour is: so
every contact is seen both ways, every transformer and capacitor carries signal, and every termination is looked into.
That is two sweeps an antenna, eight on a four-way; a test holds how few of the faults that show at all they miss.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import permutations

import numpy as np
from msgspec import Struct

from boardgen.measuring.overlay import BOARDS, HIGH, LOW, START, Curve
from boardgen.measuring.sweep import NOTHING
from boardgen.rf.network import Network
from boardgen.rf.quantities import OUTPUT, loss_db
from boardgen.rf.unknowns import drawn, unknowns
from boardgen.rf_network.device_models import Array


class Planned(Struct, frozen=True):
    """A sweep to make: from an antenna to the output, while an antenna is selected, "" for none."""

    antenna: str
    selected: str
    idle: bool

    @property
    def title(self) -> str:
        """As `measured` takes it for the name of a file."""
        return f"{self.antenna} to {OUTPUT} with {self.selected or NOTHING}"

    @property
    def entries(self) -> tuple[tuple[str, str], ...]:
        """The S parameters that are worth a look, to and from: that at the output is told of the way through alone."""
        idle = ((OUTPUT, self.antenna), (self.antenna, self.antenna))
        return idle if self.idle else (*idle, (OUTPUT, OUTPUT))


class Expected(Struct, frozen=True):
    """An S parameter of a sweep in decibels below one, as predicted, with the band of built boards."""

    sweep: Planned
    to: str
    source: str
    frequency_hz: Array
    stated_db: Array
    low_db: Array
    high_db: Array

    @property
    def is_reflection(self) -> bool:
        """Whether it is a return loss."""
        return self.to == self.source


def plan(network: Network, resting: str | None = None) -> tuple[Planned, ...]:
    """The sweeps in the order in which they tell most: all ways through, then all idle ones.

    Parameters
    ----------
    resting : the antenna that is through while nothing is selected, None for none

    """
    antennas = network.antennas
    state = {antenna: "" if antenna == resting else antenna for antenna in antennas}
    through = [Planned(antenna, state[antenna], idle=False) for antenna in antennas]
    neighbours = zip(antennas, (*antennas[1:], antennas[0]), strict=True) if len(antennas) > 1 else ()
    return (*through, *(Planned(antenna, state[other], idle=True) for antenna, other in neighbours))


def unswept(network: Network, curves: Sequence[Curve], resting: str | None = None) -> tuple[Planned, ...]:
    """The sweeps of the plan of which the curves lack what goes along them."""
    made = {(curve.sweep.selected, frozenset((curve.to, curve.source))) for curve in curves}
    return tuple(
        sweep for sweep in plan(network, resting) if (sweep.selected, frozenset((sweep.antenna, OUTPUT))) not in made
    )


def expected(network: Network, sweeps: tuple[Planned, ...], points: Array) -> Iterator[Expected]:
    """What these sweeps should look like: the band that 95 of 100 drawn boards keep, as `measured` draws it."""
    open_ones = unknowns(network)
    boards = drawn(open_ones, np.random.default_rng(START).random((BOARDS, len(open_ones))))
    for sweep in sweeps:
        operated = network.operated(sweep.selected or None)
        sound = network.solve(operated, network.state(operated, points))
        many = network.solve(operated, network.state(operated, points, boards, BOARDS))
        for to, source in sweep.entries:
            stated, built = (of.s((to, "differential"), (source, "differential")) for of in (sound, many))
            high, low = np.percentile(np.abs(built), (HIGH, LOW), axis=0)
            yield Expected(sweep, to, source, points, loss_db(stated[0]), loss_db(high), loss_db(low))


def possible(network: Network) -> Iterator[tuple[str, str, str]]:
    """Each state with the S parameters that any sweep may show: at both ends of the path, along it, from idle ports."""
    for selected in network.antennas:
        yield selected, selected, selected
        yield selected, OUTPUT, OUTPUT
        yield selected, OUTPUT, selected
    for selected, idle in permutations(network.antennas, 2):
        yield selected, OUTPUT, idle

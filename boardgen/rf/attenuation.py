"""What the steps of the attenuator add to the loss, and the match with them in, with bounds.

Algorithm: boards with all that is assumed or has a tolerance drawn evenly from its range (Monte Carlo), each solved
with and without the steps, so that a bound of the difference is that of the steps alone. The ends are the least and
the most of the boards that were drawn. Cost: DRAWN boards in each state and with each antenna at POINTS frequencies.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Final

import numpy as np
from msgspec import Struct

from boardgen.model.netlist import Netlist
from boardgen.model.selection import SelectionState
from boardgen.rf.network import NOMINAL, Draws, Network
from boardgen.rf.quantities import OUTPUT, read
from boardgen.rf.tolerance import START
from boardgen.rf.unknowns import drawn, unknowns
from boardgen.rf_network.device_models import Array
from boardgen.spec.keys import Spec
from boardgen.stages.attenuator import name_of

DRAWN: Final = 60
POINTS: Final = 9


class Attenuation(Struct, frozen=True):
    """So many steps at once, by the names of their lines, with any antenna selected, anywhere in the band.

    Parameters
    ----------
    wanted_db : the sum of what the specification asks of the steps
    added_db : by how much they raise the insertion loss, where that is furthest from what is wanted
    added_low_db, added_high_db : its ends over band and drawn boards
    return_loss_db, return_loss_low_db : the least return loss at either end with them in, and that of drawn boards

    """

    lines: tuple[str, ...]
    wanted_db: float
    added_db: float
    added_low_db: float
    added_high_db: float
    return_loss_db: float
    return_loss_low_db: float


def attenuations(spec: Spec, network: Network, netlist: Netlist) -> tuple[Attenuation, ...]:
    """Every set of steps, the smallest first; empty without an attenuator."""
    steps = {name_of(number): loss_db for number, loss_db in enumerate(spec.output.attenuator, 1)}
    if not steps:
        return ()
    points = np.geomspace(spec.band.lowest, spec.band.highest, POINTS)
    open_ones = unknowns(network)
    shares = np.random.default_rng(START).random((DRAWN, len(open_ones)))
    # the stated board stands before those that are drawn
    boards: tuple[tuple[Draws, int], ...] = ((NOMINAL, 1), (drawn(open_ones, shares), DRAWN))
    without = list(_readings(network, netlist, (), points, boards))
    found = []
    for count in range(1, len(steps) + 1):
        for lines in combinations(steps, count):
            wanted_db = sum(steps[line] for line in lines)
            pairs = list(zip(_readings(network, netlist, lines, points, boards), without, strict=True))
            stated, all_boards = (
                np.concatenate([(one[row] - other[row]).ravel() for (one, _), (other, _) in pairs]) for row in (0, 1)
            )
            matches = [np.min([match[row].min() for (_, match), _ in pairs]) for row in (0, 1)]
            found.append(
                Attenuation(
                    lines, wanted_db, float(stated[np.argmax(np.abs(stated - wanted_db))]),
                    float(min(stated.min(), all_boards.min())), float(max(stated.max(), all_boards.max())),
                    float(matches[0]), float(min(matches)),
                )
            )  # fmt: skip
    return tuple(found)


def _readings(
    network: Network, netlist: Netlist, lines: tuple[str, ...], points: Array, boards: tuple[tuple[Draws, int], ...]
) -> Iterator[tuple[tuple[Array, ...], tuple[Array, ...]]]:
    """Insertion loss, and the lower return loss of both ends, of each antenna: (boards, points) each."""
    for antenna in network.antennas:
        operated = netlist.select(antenna, lines).operated
        solved = [_read(network, operated, points, draws, count, antenna) for draws, count in boards]
        yield tuple(loss for loss, _ in solved), tuple(match for _, match in solved)


def _read(
    network: Network, operated: SelectionState, points: Array, draws: Draws, boards: int, antenna: str
) -> tuple[Array, Array]:
    solution = network.solve(operated, network.state(operated, points, draws, boards))
    ends = [read(solution, "return loss", port) for port in (antenna, OUTPUT)]
    return read(solution, "insertion loss", antenna), np.minimum(*ends)

"""Speed of the prediction as ratios to other ways of solving the same networks, one thread each, in processor time.

Exit 1 where a ratio falls short of its limit. The peers are given what is fair: a circuit simulator has cores of
constant permeability and no operating point to seek; LAPACK has its matrix filled, and for figures one right side
alone; a library of network analysis has its parts ready to join. Every channel has values of its own on our side.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import re
import shutil
import sys
import tempfile
import warnings
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

# run as a script: what tests share is found from the checkout
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np
from timing import Child, by_turns, children_s, least_s

from boardgen.catalogue import load as load_catalogue
from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.design import make_design
from boardgen.request import Request
from boardgen.rf.network import Draws, Network, network
from boardgen.rf.quantities import readings
from boardgen.rf.response import predict
from boardgen.rf.spice_netlist import spice_netlist
from boardgen.rf.tolerance import tolerance
from boardgen.rf_network.device_models import Array
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from boardgen.spec.template import with_ways
from tests.rf.dense import dense_matrix
from tests.rf.test_rf_network_peer import connections

POINTS = 401
FREQUENCIES = np.geomspace(0.1e6, 30e6, POINTS)
TENTH = FREQUENCIES[::10]
"""Where LAPACK solves: its time goes with the number of points, and its matrices are filled slowly."""
RUNS = 7
SIMULATOR_LIMITS = {4: 15.0, 8: 30.0, 16: 50.0}
"""Least times that a simulator takes for every S entry of one state, over ours."""
LAPACK_LIMITS = {4: 1.5, 8: 3.0, 16: 7.0}
"""The same of LAPACK with all right sides."""
LOSSES_LIMITS = {4: 1.0, 8: 2.0, 16: 5.0}
"""Least times that LAPACK takes with the one right side that the losses of a state ask for, over ours."""
LIBRARY_LIMIT = 50.0
"""Least times that the library takes for every S entry of four ways; more ways take it minutes."""
LAID_SIMULATOR_LIMITS = {4: 5.0, 8: 8.0, 16: 12.0}
LAID_LAPACK_LIMITS = {4: 0.5, 8: 1.5, 16: 5.0}
"""Boards that are laid out: a simulator for every S entry; LAPACK with four right sides a state for every quantity of
all states."""
STATES_LIMIT = 5.0
TOLERANCE_LIMIT = 20.0
LINEAR_LIMIT = 1.6
"""Most time of 32 ways over four times that of 8, both with every channel its own."""
LAID_LIMIT_S = 0.3
"""Most processor time of the whole response of a laid-out board of 16 ways."""
CORE_H, CORE_OHM = 1e-4, 1e3
"""A core as the simulator has it; which values it has takes no time."""


def sized(ways: int) -> Request:
    """A request for so many ways, beyond what a specification may ask for."""
    spec = read_text(with_ways("eight-way" if ways > 4 else "four-way", None))
    more = tuple(spec.antenna[0].model_copy(update={"label": f"more {n}"}) for n in range(len(spec.antenna), ways))
    return Request(spec.model_copy(update={"antenna": spec.antenna + more}), load_catalogue())


def bare(request: Request) -> Network:
    """The board without a layout."""
    choices = size(request)
    return network(request, choices, freeze(request, compose(request, choices)))


def laid_out(request: Request) -> Network:
    """The board with all that its copper adds."""
    return make_design(request, laid_out=True).prediction.network


def distinct(made: Network) -> Draws:
    """Values that make every channel its own."""
    random = np.random.default_rng(1)
    return {
        (at, p.name): np.array([p.value * random.uniform(1.0, 1.01)])
        for at, element in enumerate(made.elements)
        for p in element.parameters
        if p.name != "split" and not p.name.endswith("turns")
    }


def every_entry(made: Network, draws: Draws) -> Callable[[], Array]:
    """S of the board with its first antenna selected: every entry."""
    operated = made.operated(made.antennas[0])
    return lambda: made.solve(operated, made.state(operated, FREQUENCIES, draws)).matrix()


def losses(made: Network, draws: Draws) -> Callable[[], list[Array]]:
    """Insertion loss and isolation of one state alone."""
    operated = made.operated(made.antennas[0])

    def run() -> list[Array]:
        solution = made.solve(operated, made.state(operated, FREQUENCIES, draws))
        return [solution.s(("output", "differential"), (antenna, "differential")) for antenna in made.antennas]

    return run


def every_state(made: Network, draws: Draws) -> Callable[[], int]:
    """Every quantity of every state."""
    return lambda: sum(1 for _ in readings(made, made.blocks(FREQUENCIES, draws)))


def lapack(made: Network, sides: int | None = None) -> Callable[[], Array]:
    """The full matrix of one state for the last terminals, or for all of them; filling it is not counted."""
    matrix, ports = dense_matrix(made, made.operated(made.antennas[0]), TENTH)
    wanted = ports if sides is None else ports[:, -sides:]
    matrix, sources = matrix.astype(complex), np.broadcast_to(wanted, (TENTH.size, *wanted.shape)).astype(complex)
    return lambda: np.linalg.solve(matrix, sources)


def at_all_points(tenth_s: float) -> float:
    """What LAPACK would take at as many points as ours."""
    return tenth_s * POINTS / TENTH.size


def library(made: Network) -> Callable[[], Array]:
    """The same by a library of network analysis, which joins ready parts; common modes are not asked for."""
    import skrf
    from skrf.circuit import Circuit

    parts = connections(skrf, made, made.operated(made.antennas[0]), FREQUENCIES)
    return lambda: Circuit(parts).network.s


def simulator_s(made: Network, program: str) -> float:
    """One process, every terminal driven in turn."""
    deck = spice_netlist(made, made.selections[1], "bench", f"lin {POINTS} 0.1e6 30e6")
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "board.cir").write_text(passive(deck))
        return children_s([Child((program, "-b", "board.cir"))], Path(folder), 2)[0]


def passive(deck: str) -> str:
    """A deck whose cores are a coil and a resistor and whose resistances are constant, and which seeks no point."""
    deck = re.sub(r"^[vfl]m\d+ .*\n", "", deck, flags=re.MULTILINE)
    core = rf"lm\1 x\1 \2 {CORE_H}\nrm\1 x\1 \2 {CORE_OHM}"
    deck = re.sub(r"^bm(\d+) y\d+ (\S+) .*$", core, deck, flags=re.MULTILINE)
    deck = re.sub(r"r='([0-9.e+-]+)\*.*hertz.*'$", r"\1", deck, flags=re.MULTILINE)
    return deck.replace(".control", ".options noopac\n.control", 1)


class Report:
    """Prints each ratio with its limit, and counts those that are not met."""

    def __init__(self) -> None:
        self.failed = 0

    def at_least(self, words: str, ratio: float, limit: float) -> None:
        """For a peer's time over ours."""
        self._told(words, ratio, f"at least {limit:g}", met=ratio >= limit)

    def at_most(self, words: str, ratio: float, limit: float) -> None:
        """For our time over another."""
        self._told(words, ratio, f"at most {limit:g}", met=ratio <= limit)

    def absent(self, words: str) -> None:
        """A peer that is not there is missed only where everything must be."""
        sys.stdout.write(f"  {words} IS ABSENT: not compared\n")
        self.failed += bool(os.environ.get("CI"))

    def _told(self, words: str, ratio: float, limit: str, *, met: bool) -> None:
        self.failed += not met
        sys.stdout.write(f"  {words}: {ratio:.2f}, {limit}: {'met' if met else 'FALLS SHORT'}\n")


def against_simulator(report: Report, made: Network, ours_s: float, limit: float) -> None:
    """Every S entry of one state."""
    if program := shutil.which("ngspice"):
        report.at_least("simulator / every S entry", simulator_s(made, program) / ours_s, limit)
    else:
        report.absent("THE SIMULATOR")


def bare_board(report: Report, ways: int, made: Network) -> None:
    """One state of a board without a layout."""
    draws = distinct(made)
    actions = every_entry(made, draws), losses(made, draws), lapack(made), lapack(made, 1)
    ours, figures, all_sides, one_side = by_turns(actions, RUNS)
    sys.stdout.write(f"{ways} ways: every S entry {ours * 1e3:.1f} ms, losses alone {figures * 1e3:.1f} ms\n")
    report.at_least("LAPACK with all right sides / every S entry", at_all_points(all_sides) / ours, LAPACK_LIMITS[ways])
    report.at_least("LAPACK with one right side / losses", at_all_points(one_side) / figures, LOSSES_LIMITS[ways])
    against_simulator(report, made, ours, SIMULATOR_LIMITS[ways])
    if ways == 4 and find_spec("skrf"):
        report.at_least("library / every S entry", least_s(library(made), 1) / ours, LIBRARY_LIMIT)
    elif ways == 4:
        report.absent("THE LIBRARY")


def laid_board(report: Report, ways: int, request: Request, made: Network) -> None:
    """All states of a board that is laid out."""
    draws = distinct(made)
    ours, every, one_state = by_turns([every_entry(made, draws), every_state(made, draws), lapack(made, 4)], 3)
    sys.stdout.write(
        f"{ways} ways, laid out: every S entry {ours * 1e3:.1f} ms, all quantities of all states {every * 1e3:.1f} ms\n"
    )
    dense = at_all_points(one_state) * len(made.antennas)
    report.at_least("LAPACK / all quantities of all states", dense / every, LAID_LAPACK_LIMITS[ways])
    against_simulator(report, made, ours, LAID_SIMULATOR_LIMITS[ways])
    if ways == 16:
        report.at_most("whole response, seconds", least_s(lambda: predict(request.spec, made), 3), LAID_LIMIT_S)


def main() -> int:
    """All comparisons."""
    warnings.simplefilter("ignore")
    report = Report()
    for ways in (4, 8, 16):
        request = sized(ways)
        bare_board(report, ways, bare(request))
        laid_board(report, ways, request, laid_out(request))
    request = sized(8)
    eight, large = bare(request), bare(sized(32))
    one, all_states, thirty_two = by_turns(
        [losses(eight, distinct(eight)), every_state(eight, distinct(eight)), losses(large, distinct(large))], RUNS
    )
    sys.stdout.write("more of it\n")
    report.at_most("all states / one, 8 ways", all_states / one, STATES_LIMIT)
    report.at_most("32 ways over four times 8 ways", thirty_two / (4 * one), LINEAR_LIMIT)
    points = np.geomspace(1.8e6, 10e6, 101)
    drawn = least_s(lambda: tolerance(request.spec, eight, 1000, points, strays=True), 1)
    dense = least_s(lapack(eight), 3) * points.size / TENTH.size * 1000 * len(eight.antennas)
    report.at_least("LAPACK / 1000 drawn boards, 8 states, 101 points", dense / drawn, TOLERANCE_LIMIT)
    return 1 if report.failed else 0


if __name__ == "__main__":
    raise SystemExit(main())

"""One board that refinement has tried."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from functools import cached_property
from heapq import heapify, heappop, heappush
from math import inf

import numpy as np
from msgspec import Struct

from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.model.choices import Choices
from boardgen.model.parasitics import Parasitics
from boardgen.model.problem import InputError
from boardgen.request import Request
from boardgen.rf.assumed_parasitics import laid_or_assumed
from boardgen.rf.changes import Change
from boardgen.rf.judge import JUDGED, Judged, judge
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.response import predict
from boardgen.rf.stray_ends import Ends, figures_at_ends
from boardgen.rf.unknowns import unknowns
from boardgen.stages.lines import ac_ground_nets


class Places(Struct, frozen=True):
    """Where a board is judged: the antennas that are selected, one a state, and frequencies."""

    states: tuple[str, ...]
    frequencies_hz: tuple[float, ...]


class Candidate(Struct, frozen=True, dict=True):
    """A board as it would be after some changes. It is wired and predicted when that is first asked for.

    Parameters
    ----------
    copper : what the layout of the board adds, where one was laid out already; else it is assumed
    soon : where the board that was changed misses its targets, so that this one is judged there first

    """

    request: Request
    choices: Choices
    taken: tuple[Change, ...]
    copper: Parasitics | None = None
    soon: Places = Places((), ())

    @cached_property
    def prediction(self) -> Prediction:
        """What it would do."""
        netlist = freeze(self.request, compose(self.request, self.choices))
        grounds = ac_ground_nets(self.request)
        copper = laid_or_assumed(self.copper, netlist, grounds) if self.copper else None
        return Prediction(self.request, self.choices, netlist, copper)

    @cached_property
    def judged(self) -> tuple[Judged, ...]:
        """Its targets. No more is predicted than they ask for, but of the board as specified, which is mostly taken."""
        if not self.taken:
            return self.prediction.judged
        spec, network = self.request.spec, self.prediction.network
        return judge(spec, predict(spec, network, quantities=JUDGED))

    @cached_property
    def soon_judged(self) -> tuple[Judged, ...] | None:
        """Its targets in the states and at the frequencies `soon` alone, which takes a tenth of the time.

        They are no worse than these on the whole. None where it cannot be predicted.
        """
        if not self.soon.frequencies_hz:
            return ()
        try:
            spec, network = self.request.spec, self.prediction.network
            response = predict(spec, network, np.unique(self.soon.frequencies_hz), JUDGED, self.soon.states)
        except (InputError, ValueError):
            return None
        return judge(spec, response)

    @cached_property
    def missed_at_least(self) -> float:
        """How far its targets are missed in those states and at those frequencies already."""
        return inf if self.soon_judged is None else missed(self.soon_judged)

    @cached_property
    def missed(self) -> float:
        """How far its judged targets are missed, 0 for none; infinite where it cannot be predicted."""
        try:
            return missed(self.judged)
        except (InputError, ValueError):
            return inf

    @cached_property
    def at_ends(self) -> Ends:
        """Its targets' figures with all strays at their least, and at their most."""
        network = self.prediction.network
        return figures_at_ends(self.request.spec, network, [one for one in unknowns(network) if one.is_stray])

    def lessens(self, base: Candidate, wanted: Mapping[str, float]) -> bool:
        """Whether a missed target of the base is nearer by as much as is wanted, and at both ends of the strays too.

        A figure that more of a stray would better is none to go by. `wanted` has by target the least gain.
        """
        before = {j.target: j for j in base.judged if j.state == "falls short"}
        gains = []
        for judged in self.judged:
            if judged.target not in before or judged.achieved is None:
                continue
            sign = 1 if QUANTITIES[judged.quantity].larger_is_better else -1
            old = before[judged.target].achieved or 0.0
            ends = zip(self.at_ends[judged.quantity], base.at_ends[judged.quantity], strict=True)
            everywhere = all(sign * (new - had) >= 0 for new, had in ends)
            gains.append(everywhere and sign * (judged.achieved - old) >= wanted[judged.target])
        return any(gains)

    @cached_property
    def places_missed(self) -> Places:
        """Where it misses its targets by most."""
        return self.places_nearest({j.target for j in self.judged if j.state == "falls short"})

    def places_nearest(self, targets: Collection[str]) -> Places:
        """Where it comes nearest to missing these targets, or misses them by most."""
        at = [j for j in self.judged if j.target in targets and j.at_hz is not None]
        return Places(tuple(dict.fromkeys(j.selected for j in at)), tuple(j.at_hz or 0.0 for j in at))


def least_missed(candidates: Sequence[Candidate]) -> Iterator[Candidate]:
    """Those that can be predicted, from what misses least, the first of equals first."""
    return _rising(candidates, lambda c: c.missed_at_least, lambda c: c.missed)


def nearest_to(target: str, candidates: Sequence[Candidate]) -> Candidate:
    """The one that comes nearest to a target, or exceeds it by most; the first of equals."""

    def margin(judged: Sequence[Judged], unknown: float) -> float:
        found = next((j.margin for j in judged if j.target == target), None)
        return unknown if found is None else found

    return next(
        _rising(
            candidates,
            lambda c: -margin(c.soon_judged or (), inf),
            lambda c: -margin(c.judged, 0.0) if c.missed < inf else inf,
        )
    )


def _rising(
    candidates: Sequence[Candidate], at_least: Callable[[Candidate], float], exactly: Callable[[Candidate], float]
) -> Iterator[Candidate]:
    """Finite ones in rising order of what is known exactly at a price, which `at_least` never exceeds.

    Algorithm: best first, from a heap in which a candidate waits with its lower bound until nothing comes before it.
    """
    waiting = [(at_least(candidate), number, False) for number, candidate in enumerate(candidates)]
    heapify(waiting)
    while waiting:
        value, number, known = heappop(waiting)
        if value == inf:
            return
        if known:
            yield candidates[number]
        else:
            heappush(waiting, (exactly(candidates[number]), number, True))


def missed(judged: Sequence[Judged]) -> float:
    """How far targets are missed in all, as shares of each; 0 for none."""
    return sum(_missed(one) for one in judged)


def _missed(judged: Judged) -> float:
    if judged.state != "falls short" or judged.margin is None:
        return 0.0
    return max(0.0, 1 / max(judged.margin, 1e-9) - 1)

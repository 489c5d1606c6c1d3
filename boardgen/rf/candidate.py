"""One board that refinement has tried."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
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


class Candidate(Struct, frozen=True, dict=True):
    """A board as it would be after some changes. It is wired and predicted when that is first asked for."""

    request: Request
    choices: Choices
    taken: tuple[Change, ...]
    copper: Parasitics | None = None

    @cached_property
    def prediction(self) -> Prediction:
        """What it would do."""
        netlist = freeze(self.request, compose(self.request, self.choices))
        grounds = ac_ground_nets(self.request)
        copper = laid_or_assumed(self.copper, netlist, grounds) if self.copper else None
        return Prediction(self.request, self.choices, netlist, copper)

    @cached_property
    def judged(self) -> tuple[Judged, ...]:
        """Its targets. Of what it does, no more is predicted than they ask for."""
        spec, network = self.request.spec, self.prediction.network
        return judge(spec, predict(spec, network, quantities=JUDGED))

    def misses_at(self, frequencies_hz: Sequence[float]) -> bool:
        """Whether a target is missed at one of these frequencies of the grid already, which is soon said."""
        points = np.unique(frequencies_hz)
        try:
            response = predict(self.request.spec, self.prediction.network, points, JUDGED)
        except (InputError, ValueError):
            return True
        return any(judged.state == "falls short" for judged in judge(self.request.spec, response))

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

    @property
    def rank(self) -> tuple[float, int]:
        """Least missed first, then fewest changes."""
        return self.missed, len(self.taken)


def missed(judged: Sequence[Judged]) -> float:
    """How far targets are missed in all, as shares of each; 0 for none."""
    return sum(_missed(one) for one in judged)


def _missed(judged: Judged) -> float:
    if judged.state != "falls short" or judged.margin is None:
        return 0.0
    return max(0.0, 1 / max(judged.margin, 1e-9) - 1)

"""One board that refinement has tried."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from math import inf

import numpy as np
from msgspec import Struct

from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.model.choices import Choices
from boardgen.model.problem import InputError
from boardgen.request import Request
from boardgen.rf.changes import Change
from boardgen.rf.judge import JUDGED, Judged, judge
from boardgen.rf.prediction import Prediction
from boardgen.rf.response import predict


class Candidate(Struct, frozen=True, dict=True):
    """A board as it would be after some changes. It is wired and predicted when that is first asked for."""

    request: Request
    choices: Choices
    taken: tuple[Change, ...]

    @cached_property
    def prediction(self) -> Prediction:
        """What it would do."""
        netlist = freeze(self.request, compose(self.request, self.choices))
        return Prediction(self.request, self.choices, netlist)

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
            return sum(_missed(judged) for judged in self.judged)
        except (InputError, ValueError):
            return inf

    @property
    def rank(self) -> tuple[float, int]:
        """Least missed first, then fewest changes."""
        return self.missed, len(self.taken)


def _missed(judged: Judged) -> float:
    """0 where it is met, else by how much, as a share of the target."""
    if judged.state != "falls short" or judged.margin is None:
        return 0.0
    return max(0.0, 1 / max(judged.margin, 1e-9) - 1)

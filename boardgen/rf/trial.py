"""One board that refinement has tried."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import inf

from boardgen.model.problem import InputError
from boardgen.rf.judge import Judged
from boardgen.rf.moves import Move
from boardgen.rf.prediction import Prediction


@dataclass(frozen=True)
class Trial:
    """A board as it would be after some changes. It is predicted when that is first asked for."""

    prediction: Prediction
    taken: tuple[Move, ...]
    cost: float

    @cached_property
    def missed(self) -> float:
        """How far its judged targets are missed, 0 for none; infinite where it cannot be predicted."""
        try:
            return sum(_missed(judged) for judged in self.prediction.judged)
        except (InputError, ValueError):
            return inf

    @property
    def rank(self) -> tuple[float, float, int]:
        """Least missed first, then cheapest, then fewest changes."""
        return self.missed, self.cost, len(self.taken)


def _missed(judged: Judged) -> float:
    """0 where it is met, else by how much, as a share of the target."""
    if judged.state != "falls short" or judged.margin is None:
        return 0.0
    return max(0.0, 1 / max(judged.margin, 1e-9) - 1)

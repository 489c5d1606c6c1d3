"""One board that refinement has tried."""

from __future__ import annotations

from dataclasses import dataclass

from boardgen.rf.moves import Move
from boardgen.rf.prediction import Prediction


@dataclass(frozen=True)
class Trial:
    """A board as it would be after some changes. `missed` is how far its judged targets are missed, 0 for none."""

    prediction: Prediction
    taken: tuple[Move, ...]
    cost: float
    missed: float

    @property
    def rank(self) -> tuple[float, float, int]:
        """Least missed first, then cheapest, then fewest changes."""
        return self.missed, self.cost, len(self.taken)

"""A number with its unit, its standing and its source."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

Standing = Literal["read", "measured", "computed", "recalled", "assumed"]
"""How a figure was learnt. From `recalled` on it must be verified before money is spent on it."""

STANDINGS: tuple[Standing, ...] = ("read", "measured", "computed", "recalled", "assumed")
CERTAIN: tuple[Standing, ...] = STANDINGS[: STANDINGS.index("computed")]
"""Learnt from a sheet or at the bench."""


class Figure(Struct, frozen=True):
    """A value in SI units (degC for temperature) with the range it may take, where that is known."""

    value: float
    unit: str
    standing: Standing
    source: str
    low: float | None = None
    high: float | None = None

    @property
    def least(self) -> float:
        """The lowest value it may take: the stated low, else the value itself."""
        return self.value if self.low is None else self.low

    @property
    def most(self) -> float:
        """The highest value it may take: the stated high, else the value itself."""
        return self.value if self.high is None else self.high


def weakest(*standings: Standing) -> Standing:
    """The standing of something computed from several figures: that of the weakest of them."""
    return max(standings, key=STANDINGS.index, default="read")

"""Plated holes and lands for wire leads, by producibility level A (easy), B or C (dense)."""

from collections.abc import Mapping
from typing import Final

from boardgen.handbook import require

HOLE_ALLOWANCE_M: Final[Mapping[str, float]] = {"A": 0.25e-3, "B": 0.20e-3, "C": 0.15e-3}
"""Hole over lead. Source: IPC-7251 and IPC-2222 by a tutorial on them (read at second hand)."""

FABRICATION_ALLOWANCE_M: Final[Mapping[str, float]] = {"A": 0.6e-3, "B": 0.5e-3, "C": 0.4e-3}
"""Source: IPC-2221 Table 9-1 (recalled)."""

ANNULAR_RING_M: Final = 0.05e-3
"""Least ring on an external layer of a supported hole. Source: IPC-2221 (recalled)."""


def hole_m(lead_m: float, level: str) -> float:
    """Least finished hole in metres for a lead of `lead_m` at its thickest; round up to a drill.

    Raises ValueError when the lead is not a finite number above zero, or `level` is not "A", "B" or "C".

    Source: IPC-7251 and IPC-2222 by a tutorial on them (read at second hand).
    """
    require.positive(lead_m=lead_m)
    return lead_m + _of_level(HOLE_ALLOWANCE_M, level)


def land_m(hole_m: float, level: str) -> float:
    """Least land in metres around a finished hole of `hole_m` at its largest.

    Raises ValueError when the hole is not a finite number above zero, or `level` is not "A", "B" or "C".

    Source: IPC-2221 section 9 (recalled).
    """
    require.positive(hole_m=hole_m)
    return hole_m + 2 * ANNULAR_RING_M + _of_level(FABRICATION_ALLOWANCE_M, level)


def _of_level(allowances_m: Mapping[str, float], level: str) -> float:
    if level not in allowances_m:
        message = f"level must be A, B or C, not {level!r}"
        raise ValueError(message)
    return allowances_m[level]

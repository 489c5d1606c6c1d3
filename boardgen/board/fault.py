"""A fault of a layout, with its place."""

from __future__ import annotations

from boardgen.model.copper import PlacedPad
from boardgen.model.problem import Place, Problem


def fault(name: str, place_mm: tuple[float, float], found: str, wanted: str = "") -> Problem:
    """A fault at a place counted in millimetres from the lower left corner of the board."""
    return Problem(name, "shortfall", Place(key=f"board at {place_mm[0]:.2f}, {place_mm[1]:.2f} mm"), found, wanted)


def at(pad: PlacedPad) -> tuple[float, float]:
    """The place of a land in millimetres."""
    return pad.at[0] * 1e-6, pad.at[1] * 1e-6

"""What a board house can make."""

from __future__ import annotations

from msgspec import Struct


class House(Struct, frozen=True):
    """Limits of a board house, in millimetres; the defaults are what most houses make without a surcharge."""

    name: str = "easy two-layer board"
    track: float = 0.2
    clearance: float = 0.2
    ring: float = 0.2
    hole_least: float = 0.4
    hole_most: float = 6.0
    hole_to_hole: float = 0.4
    hole_to_edge: float = 0.5
    copper_to_edge: float = 0.4
    mask_margin: float = 0.05
    mask_web: float = 0.15
    legend_width: float = 0.15
    legend_height: float = 1.0
    legend_to_pad: float = 0.15
    longest: float = 300.0
    standing: str = "recalled"
    source: str = "none of a named house: compare them with those of yours"

"""What a board house can make."""

from __future__ import annotations

from msgspec import Struct

from boardgen.model.figure import Standing


class BoardHouse(Struct, frozen=True):
    """Limits of a board house, in nanometres; the defaults are what most houses make without a surcharge.

    Least width of a track, least clearance, least ring about a plated hole, least and most diameter of a hole, least
    distances from hole to hole, hole to edge and copper to edge; how far the mask keeps off a pad, the narrowest web of
    mask; least width and height of the silkscreen and its distance from pads; the longest board.
    """

    name: str = "easy two-layer board"
    track_nm: int = 200_000
    clearance_nm: int = 200_000
    ring_nm: int = 200_000
    hole_least_nm: int = 400_000
    hole_most_nm: int = 6_000_000
    hole_to_hole_nm: int = 400_000
    hole_to_edge_nm: int = 500_000
    copper_to_edge_nm: int = 400_000
    mask_margin_nm: int = 50_000
    mask_web_nm: int = 150_000
    legend_width_nm: int = 150_000
    legend_height_nm: int = 1_000_000
    legend_to_pad_nm: int = 150_000
    longest_nm: int = 300_000_000
    standing: Standing = "recalled"
    source: str = "none of a named house: compare them with those of yours"

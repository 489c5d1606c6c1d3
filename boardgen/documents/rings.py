"""Whether the copper about each hole is wide enough to do without teardrops, in words for the board house."""

from __future__ import annotations

from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Board

WANDER_MM = 0.1
"""How far a hole may lie off its land's middle: common practice, no source."""
LEFT_MM = 0.05
"""What must be left of a ring where a track joins it: IPC-6012 class 3, external layers (recalled)."""


def rings_mm(board: Board) -> tuple[float, float]:
    """The narrowest ring of a land and of a via, in millimetres; infinite where there is none."""
    pads = [(min(pad.width_nm, pad.height_nm) - pad.hole_nm) / 2e6 for pad in board.pads if pad.hole_nm]
    vias = [(via.pad_nm - via.hole_nm) / 2e6 for via in board.vias]
    return min(pads, default=float("inf")), min(vias, default=float("inf"))


def teardrops(board: Board, house: BoardHouse) -> str:
    """One sentence with the rings, what the house asks, and whether teardrops are wanted."""
    found = [(name, mm) for name, mm in zip(("lands", "vias"), rings_mm(board), strict=True) if mm < float("inf")]
    if not found:
        return "none: no hole has copper about it"
    said = ", ".join(f"{name} at least {mm:.2f} mm" for name, mm in found)
    left = min(mm for _, mm in found) - WANDER_MM
    judged = f"a hole {WANDER_MM:g} mm off its middle leaves {left:.2f} mm of {LEFT_MM:g} mm needed"
    want = "no teardrops needed" if left >= LEFT_MM else "please add teardrops"
    return f"{said} (the house asks {house.ring_nm / 1e6:.2f} mm); {judged}: {want}"

"""What sets the size of a board, in words."""

from __future__ import annotations

from boardgen.model.copper import Board

ALONG = "along a strip, "
"""How the facts of a board begin that say how much of its height a stage takes."""


def setting(board: Board) -> str:
    """The width of a strip and its widest part, and what the fullest strip takes along its length."""
    if not board.standings:
        return "nothing stands on it"
    inner = [s for s in board.standings if s.kind not in ("stud", "terminal", "jack")] or list(board.standings)
    widest = max(inner, key=lambda s: s.body[2] - s.body[0])
    wide = (widest.body[2] - widest.body[0]) / 1e6
    along = ", ".join(
        f"{name.removeprefix(ALONG)} {length * 1e3:.1f}"
        for name, length in board.facts.items()
        if name.startswith(ALONG)
    )
    return (
        f"{board.facts['strips']:.0f} strips of {board.facts['pitch_m'] * 1e3:.2f} mm, widest part {widest.ref} "
        f"({widest.kind}, {wide:.1f} mm); along the fullest strip, in mm: {along}"
    )

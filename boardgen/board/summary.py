"""What sets the size of a board, in words."""

from __future__ import annotations

from boardgen.model.copper import Board


def setting(board: Board) -> str:
    """The width of a strip and its widest part, and the part that is tallest along it."""
    if not board.standings:
        return "nothing stands on it"
    inner = [s for s in board.standings if s.kind not in ("stud", "terminal", "jack")] or list(board.standings)
    widest = max(inner, key=lambda s: s.body[2] - s.body[0])
    tallest = max(inner, key=lambda s: s.body[3] - s.body[1])
    wide, tall = (widest.body[2] - widest.body[0]) / 1e6, (tallest.body[3] - tallest.body[1]) / 1e6
    return (
        f"{board.facts['strips']:.0f} strips of {board.facts['pitch_m'] * 1e3:.2f} mm; widest part {widest.ref} "
        f"({widest.kind}, {wide:.1f} mm), longest along a strip {tallest.ref} ({tallest.kind}, {tall:.1f} mm)"
    )

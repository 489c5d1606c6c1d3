"""What sets the size of a board, in words."""

from __future__ import annotations

from boardgen.kinds import KIND
from boardgen.model.copper import Board
from boardgen.model.problem import Place, Problem


def setting(board: Board) -> str:
    """The width of a strip and its widest part, and what the fullest strip takes along its length."""
    if not board.parts:
        return "nothing stands on it"
    inner = [s for s in board.parts if KIND[s.kind].outside != "line"] or list(board.parts)
    widest = max(inner, key=lambda s: s.body[2] - s.body[0])
    wide = (widest.body[2] - widest.body[0]) / 1e6
    facts = board.layout
    along = ", ".join(f"{stage} {length / 1e6:.1f}" for stage, length in facts.along_nm)
    return (
        f"{facts.strips} strips of {facts.pitch_nm / 1e6:.2f} mm, widest part {widest.ref} "
        f"({widest.kind}, {wide:.1f} mm); along the fullest strip, in mm: {along}"
    )


def two_rows(board: Board, longest_nm: int) -> tuple[Problem, ...]:
    """What to know of a board whose strips stand in two rows, since one would be longer than the house makes them."""
    if board.layout.rows < 2:
        return ()
    found = (
        f"the strips stand in two rows, since one would be longer than {longest_nm / 1e6:g} mm; "
        "the terminals of the upper row face the ports of the lower one"
    )
    hint = "Lead their wires in from above, or give the `longest` of a board house that makes longer boards in --parts."
    return (Problem("B006 two rows", "warning", Place(key="board"), found, "", hint),)

"""A netlist laid out, lettered and checked; and what sets the size of a board, in words."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.board.arrange import best_board
from boardgen.board.check import check
from boardgen.board.router import NoRoomError
from boardgen.board.rules import Rules
from boardgen.board.silkscreen import with_silkscreen
from boardgen.board.unroutable import unroutable
from boardgen.kinds import KIND
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint
from boardgen.model.problem import InputError, Place, Problem


class Layout(Struct, frozen=True):
    """A board and what its checks found."""

    board: Board
    faults: tuple[Problem, ...]


def lay_out(
    netlist: Netlist, footprints: Mapping[str, Footprint], rules: Rules, date: str = "", pour: bool = True
) -> Layout:
    """The board of a netlist, checked.

    Parameters
    ----------
    netlist : the circuit
    footprints : by key, those of all its parts
    rules : what it is drawn with
    date : what the silkscreen says of when it was made; a line to write on without it
    pour : whether the 0V copper between the tracks is filled in

    Raises
    ------
    InputError where a part has no footprint, a limit cannot be kept or the parts find no room

    """
    problems = unroutable(netlist, footprints, rules)
    if problems:
        raise InputError(problems)
    try:
        board = with_silkscreen(best_board(netlist, footprints, rules, pour), netlist, rules.house, date)
    except NoRoomError as error:
        place = Place(key=f"board: {error}")
        hint = "Choose smaller parts, or tell us: this is a combination that the layout does not know"
        raise InputError([Problem("B002 no room", "error", place, "the parts find no room", "", hint)]) from error
    return Layout(board, check(board, netlist, footprints, rules))


def size_in_words(board: Board) -> str:
    """The width of a strip and its widest part, and what the fullest strip takes along its length."""
    if not board.parts:
        return "nothing stands on it"
    inner = [part for part in board.parts if KIND[part.kind].outside != "line"] or list(board.parts)
    widest = max(inner, key=lambda part: part.body[2] - part.body[0])
    wide = (widest.body[2] - widest.body[0]) / 1e6
    facts = board.layout
    along = ", ".join(f"{stage} {length / 1e6:.1f}" for stage, length in facts.along_nm)
    widest_strip = f" to {facts.widest_nm / 1e6:.2f}" if facts.widest_nm > facts.pitch_nm else ""
    return (
        f"{facts.strips} strips of {facts.pitch_nm / 1e6:.2f}{widest_strip} mm, widest part {widest.ref} "
        f"({widest.kind}, {wide:.1f} mm); along the fullest strip, in mm: {along}"
    )


def two_rows_warning(board: Board, longest_nm: int) -> tuple[Problem, ...]:
    """What to know of a board whose strips stand in two rows, since one would be longer than the house makes them."""
    if board.layout.rows < 2:
        return ()
    found = (
        f"the strips stand in two rows, since one would be longer than {longest_nm / 1e6:g} mm; "
        "wires come to the upper row's terminals or studs from above"
    )
    hint = "Lead them over the lower row, or give the `longest` of a board house that makes longer boards in --parts."
    return (Problem("B006 two rows", "warning", Place(key="board"), found, "", hint),)

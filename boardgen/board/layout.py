"""A netlist laid out, lettered and checked."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.board.arrange import arrange
from boardgen.board.cell_layout import NoRoomError
from boardgen.board.check import check
from boardgen.board.rules import Rules
from boardgen.board.silkscreen import lettered
from boardgen.board.unroutable import refused
from boardgen.kinds import kind_of
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint
from boardgen.model.problem import InputError, Place, Problem


class Layout(Struct, frozen=True):
    """A board and what its checks found."""

    board: Board
    faults: tuple[Problem, ...]


def layout(
    netlist: Netlist, footprints: Mapping[str, Footprint], rules: Rules, date: str = "", pour: bool = True
) -> Layout:
    """The board of a netlist, checked. Raises InputError where a part has no pattern or the parts find no room."""
    missing = unknown_patterns(netlist, footprints) or refused(netlist, footprints, rules)
    if missing:
        raise InputError(missing)
    try:
        board = lettered(arrange(netlist, footprints, rules, pour), netlist, rules.house, date)
    except NoRoomError as error:
        place = Place(key=f"board: {error}")
        hint = "Choose smaller parts, or tell us: this is a combination that the layout does not know"
        raise InputError([Problem("B002 no room", "error", place, "the parts find no room", "", hint)]) from error
    return Layout(board, check(board, netlist, footprints, rules))


def unknown_patterns(netlist: Netlist, footprints: Mapping[str, Footprint]) -> list[Problem]:
    """A sentence for every part whose hole pattern is not known; nothing is guessed."""
    found: dict[str, Problem] = {}
    for component in netlist.components:
        part = component.part
        pattern = footprints.get(part.footprint)
        want = "supply the pattern in a [[footprint]] of your own parts folder (--parts), from the maker's drawing"
        name = part.footprint or "a footprint"
        text = ""
        if pattern is None:
            text = f"{part.maker} {part.number}: {name} is not in the catalogue"
        elif pattern.gap:
            text = f"{part.maker} {part.number}: {name} has no hole pattern"
        elif any(pad.hole_nm is None for pad in pattern.pads):
            text = f"{part.maker} {part.number}: {name} has no hole size, since the lead is not known"
            want = "supply lead_mm or hole_mm for it in a parts folder of your own (--parts), from the maker's drawing"
        elif unknown := set(part.pins.values()) - {pad.number for pad in pattern.pads}:
            text = f"{part.maker} {part.number}: {name} lacks pad {', '.join(sorted(unknown))}"
        if text:
            instead = kind_of(part).instead
            want = f"{want}; parts/README.md shows how{instead and f'. {instead}'}"
            found.setdefault(part.key, Problem("B001 pattern unknown", "error", Place(key=component.ref), text, want))
    return list(found.values())

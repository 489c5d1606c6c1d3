"""Netlist and board as other programs read them: footprints that were laid out, by their names in a library."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from boardgen.formats.kicad_footprint import LIBRARY
from boardgen.model.copper import Board
from boardgen.model.netlist import Component, Netlist, Node
from boardgen.model.part import Footprint, FootprintName
from boardgen.model.problem import Place, Problem

Names = Mapping[str, FootprintName]
"""A user's own names by our footprint key."""


def library_name(key: str, names: Names) -> str:
    """The user's own name of a footprint, else its place in the library that is written beside the netlist."""
    return names[key].name if key in names else f"{LIBRARY}:{key}"


def named_netlist(netlist: Netlist, board: Board | None, names: Names) -> Netlist:
    """The netlist with the names of what was laid out, of what was chosen without a board, and with their pads."""
    laid = {part.ref: part.footprint for part in board.parts} if board else {}
    keys = {c.ref: laid.get(c.ref, c.part.footprint) for c in netlist.components}

    def component(each: Component) -> Component:
        key = keys[each.ref]
        pins = {role: _pad(key, pad, names) for role, pad in each.part.pins.items()}
        return replace(each, part=replace(each.part, footprint=library_name(key, names) if key else "", pins=pins))

    def node(each: Node) -> Node:
        return replace(each, pad=_pad(keys[each.ref], each.pad, names))

    return replace(
        netlist,
        components=tuple(map(component, netlist.components)),
        nets=tuple(replace(net, nodes=tuple(map(node, net.nodes))) for net in netlist.nets),
        free=tuple(map(node, netlist.free)),
    )


def named_board(board: Board, names: Names) -> Board:
    """The board with the pad numbers of the user's own footprints."""
    keys = {part.ref: part.footprint for part in board.parts}
    return replace(board, pads=tuple(replace(pad, number=_pad(keys[pad.ref], pad.number, names)) for pad in board.pads))


def narrow_holes(
    netlist: Netlist, board: Board | None, footprints: Mapping[str, Footprint], names: Names
) -> tuple[Problem, ...]:
    """What to know where a user's own footprint has narrower holes than the parts in it want."""
    laid = [part.footprint for part in board.parts] if board else [c.part.footprint for c in netlist.components]
    found = []
    for key in sorted(set(laid) & names.keys()):
        hole = names[key].hole_nm
        wanted = max((pad.hole_nm or 0 for pad in footprints[key].pads), default=0)
        if hole is not None and hole < wanted:
            found.append(f"{names[key].name} has holes of {hole / 1e6:g} mm, {key} wants {wanted / 1e6:g} mm")
    if not found:
        return ()
    hint = "Widen them in your library, or try the leads of the part in such a hole before you order the board."
    return (Problem("B007 narrow holes", "warning", Place(key="board"), "; ".join(found), "", hint),)


def _pad(key: str, number: str, names: Names) -> str:
    return names[key].pads.get(number, number) if key in names else number

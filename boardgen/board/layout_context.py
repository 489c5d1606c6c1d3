"""What all strips of a board share while it is laid out."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.board.port_cell import Tubes
from boardgen.board.rules import Rules
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint


class LayoutContext(Struct, frozen=True):
    """What all strips of a board share.

    Parameters
    ----------
    netlist, footprints, rules : what is laid out, and how it is drawn
    net_class : the class of each net
    pads : the nets of each part's pads
    columns : width of a strip that has none of its own
    bus : nets of the tracks that run across the board at the bus, top to bottom
    line_guards_on_bus : whether the guards of the lines stand across the tracks of the bus instead of below them
    thorough : whether every arrangement of a cell is tried
    tubes : what the tubes at the ports ask for
    widest_end_nm : width of the widest part at the ends of the strips that shares their width with none
    ports_nm, lines_nm : width of the widest port, and of the widest part at the lines of the control cable
    surge_to_cable : whether a surge goes on from the earth over 0V into wires of the control cable
    has_terminals : whether these enter from the side, into terminals or jacks

    """

    netlist: Netlist
    footprints: Mapping[str, Footprint]
    net_class: Mapping[str, str]
    pads: Mapping[str, tuple[str | None, ...]]
    rules: Rules
    columns: int
    bus: tuple[str, ...]
    line_guards_on_bus: bool = False
    thorough: bool = False
    tubes: Tubes = Tubes()
    widest_end_nm: int = 0
    ports_nm: int = 0
    lines_nm: int = 0
    surge_to_cable: bool = False
    has_terminals: bool = False

    @property
    def has_earth(self) -> bool:
        """Whether there is an earth track."""
        return "earth" in self.net_class


def pad_nets(netlist: Netlist, footprints: Mapping[str, Footprint]) -> dict[str, tuple[str | None, ...]]:
    """The net of each pad by designator, in the footprint's order."""
    found = {}
    for component in netlist.components:
        net_of = {component.part.pins[role]: net for role, net in netlist.pin_nets[component.ref].items()}
        pads = footprints[component.part.footprint].pads
        found[component.ref] = tuple(net_of.get(pad.number) for pad in pads)
    return found

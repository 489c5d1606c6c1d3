"""Assumed parasitics of the copper, so that values are refined towards what the laid board will do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from msgspec.structs import replace

from boardgen.kinds import kind_of
from boardgen.kinds.kind import assumed
from boardgen.model.figure import Figure
from boardgen.model.netlist import Netlist
from boardgen.model.parasitics import Parasitics
from boardgen.model.wiring import BUS
from boardgen.rf.quantities import OUTPUT
from boardgen.rf_network.element import GROUND

_LAID: Final = "as on boards of the two-layer layout, until the board itself is laid out"
PORT_COPPER: Final = assumed(1.5e-12, "F", 0.7e-12, 3e-12, f"each conductor of an antenna's port to 0V, {_LAID}")
LONG_COPPER: Final = assumed(2.6e-12, "F", 1e-12, 5e-12, f"each conductor of the output or a feed to 0V, {_LAID}")
STRIP_COPPER: Final = assumed(0.5e-12, "F", 0.2e-12, 1.5e-12, f"each conductor at a relay's contact to 0V, {_LAID}")
BUS_COPPER: Final = assumed(2e-12, "F", 1e-12, 4e-12, f"each conductor of the bus to 0V, a strip, {_LAID}")
RUN_COPPER: Final = assumed(100e-9, "H", 40e-9, 200e-9, f"loop of copper from a port to the output, {_LAID}")


def assumed_parasitics(netlist: Netlist, ac_grounds: frozenset[str]) -> Parasitics:
    """Capacitances to 0V of every conductor of the signal path, and the run of each antenna.

    Nets in `ac_grounds` count as 0V.
    """
    ports = [p for p in netlist.ports if netlist.component[p.ref].fitted]
    found = {net: figure for net, figure in _contacts(netlist, len(ports)) if net and net not in ac_grounds}
    found |= {net: PORT_COPPER for p in ports for net in (p.centre, p.braid) if net not in ac_grounds}
    found |= {net: LONG_COPPER for net in _reaching(netlist) if net not in ac_grounds}
    runs = {p.strip: RUN_COPPER for p in ports if p.strip != OUTPUT}
    return Parasitics(tuple((net, GROUND, figure) for net, figure in found.items()), runs)


def laid_or_assumed(laid: Parasitics, netlist: Netlist, ac_grounds: frozenset[str]) -> Parasitics:
    """The copper of a board that was laid out before a few parts changed; what it had not is assumed."""
    stand_in = assumed_parasitics(netlist, ac_grounds)
    known = {net for one, two, _ in laid.capacitances for net in (one, two)}
    new = tuple(row for row in stand_in.capacitances if row[0] not in known)
    return Parasitics((*laid.capacitances, *new), {**stand_in.loop_inductances, **laid.loop_inductances})


def _reaching(netlist: Netlist) -> Iterator[str]:
    """Conductors that reach further than others: the output's, and those at the chokes of a feed."""
    for port in netlist.ports:
        if port.strip == OUTPUT:
            yield from (net for net in (port.centre, port.braid) if net not in BUS)
    for component in netlist.components:
        kind = kind_of(component.part)
        if component.fitted and kind.is_wound and kind.carries_feed:
            yield from netlist.pin_nets[component.ref].values()


def _contacts(netlist: Netlist, strips: int) -> Iterator[tuple[str, Figure]]:
    bus = BUS_COPPER
    whole = replace(bus, value=strips * bus.value, low=strips * bus.least, high=strips * bus.most)
    for contact in netlist.contacts:
        if netlist.component[contact.ref].fitted:
            for net in (contact.common, contact.closed, contact.opened):
                yield net, whole if net in BUS else STRIP_COPPER

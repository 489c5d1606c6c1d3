"""What a layout will add, assumed, so that values are refined towards what the laid board will do."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from boardgen.model.figure import Figure
from boardgen.model.netlist import Netlist
from boardgen.model.parasitics import Parasitics
from boardgen.rf import assumed
from boardgen.rf.elements import BUS
from boardgen.rf.quantities import OUTPUT
from boardgen.rf_network.element import GROUND


def before_layout(netlist: Netlist, held: frozenset[str]) -> Parasitics:
    """Capacitances to 0V of every conductor of the signal path, and the run of each antenna. Nets in `held` are 0V."""
    ports = [p for p in netlist.ports if netlist.component[p.ref].fitted]
    found = {net: figure for net, figure in _contacts(netlist, len(ports)) if net and net not in held}
    found |= {net: assumed.PORT_COPPER for p in ports for net in (p.centre, p.braid) if net not in held}
    found |= {net: assumed.LONG_COPPER for net in _reaching(netlist) if net not in held}
    runs = {p.strip: assumed.RUN_COPPER for p in ports if p.strip != OUTPUT}
    return Parasitics(tuple((net, GROUND, figure) for net, figure in found.items()), runs)


def _reaching(netlist: Netlist) -> Iterator[str]:
    """Conductors that reach further than others: the output's, and those at the chokes of a feed."""
    for port in netlist.ports:
        if port.strip == OUTPUT:
            yield from (net for net in (port.centre, port.braid) if net not in BUS)
    for choke in netlist.of_kind("choke", "bifilar choke"):
        if choke.fitted:
            yield from netlist.joins[choke.ref].values()


def _contacts(netlist: Netlist, strips: int) -> Iterator[tuple[str, Figure]]:
    bus = assumed.BUS_COPPER
    whole = replace(bus, value=strips * bus.value, low=strips * bus.least, high=strips * bus.most)
    for contact in netlist.contacts:
        if netlist.component[contact.ref].fitted:
            for net in (contact.common, contact.closed, contact.opened):
                yield net, whole if net in BUS else assumed.STRIP_COPPER

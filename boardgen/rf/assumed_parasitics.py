"""Assumed parasitics of the copper, so that values are refined towards what the laid board will do."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.kinds import kind_of
from boardgen.model.figure import Figure
from boardgen.model.netlist import Netlist
from boardgen.model.parasitics import Parasitics
from boardgen.model.wiring import BUS
from boardgen.rf.quantities import OUTPUT
from boardgen.rf_network.element import GROUND
from boardgen.sizing.assumed_copper import (
    LONG_COPPER,
    PORT_COPPER,
    PORT_PAIR,
    STRIP_COPPER,
    STRIP_PAIR,
    bus_between,
    bus_to_0v,
    copper_loop,
)


def assumed_parasitics(netlist: Netlist, ac_grounds: frozenset[str]) -> Parasitics:
    """Capacitances to 0V of every conductor of the signal path, and the loop of each antenna.

    Nets in `ac_grounds` count as 0V.
    """
    ports = [p for p in netlist.ports if netlist.component[p.ref].fitted]
    antennas = [p.strip for p in netlist.ports if p.strip != OUTPUT]
    found = {net: figure for net, figure in _contacts(netlist, len(antennas)) if net and net not in ac_grounds}
    found |= {net: PORT_COPPER for p in ports for net in (p.centre, p.braid) if net not in ac_grounds}
    found |= {net: LONG_COPPER for net in _reaching(netlist) if net not in ac_grounds}
    fitted = {p.strip for p in ports}
    # the output has no other relays than those of an attenuator's steps
    steps = sum(relay.subject.strip == OUTPUT and relay.fitted for relay in netlist.of_kind("relay"))
    beyond = {strip: copper_loop(number, steps) for number, strip in enumerate(reversed(antennas))}
    to_0v = tuple((net, GROUND, figure) for net, figure in found.items())
    between = [(*BUS, bus_between(len(antennas)))]
    between += [(p.centre, p.braid, PORT_PAIR) for p in ports]
    between += [(*pair, STRIP_PAIR) for pair in _poles(netlist)]
    pairs = tuple(row for row in between if set(row[:2]) <= found.keys() and row[0] != row[1])
    return Parasitics((*to_0v, *pairs), {strip: beyond[strip] for strip in antennas if strip in fitted})


def laid_or_assumed(laid: Parasitics, netlist: Netlist, ac_grounds: frozenset[str]) -> Parasitics:
    """The copper of a board that was laid out before a few parts changed; what it had not is assumed."""
    stand_in = assumed_parasitics(netlist, ac_grounds)
    known = {net for one, two, _ in laid.capacitances for net in (one, two)}
    new = tuple(row for row in stand_in.capacitances if row[0] not in known)
    return Parasitics((*laid.capacitances, *new), {**stand_in.loops, **laid.loops})


def _reaching(netlist: Netlist) -> Iterator[str]:
    """Conductors that reach further than others: the output's, and those at the chokes of a feed."""
    for port in netlist.ports:
        if port.strip == OUTPUT:
            yield from (net for net in (port.centre, port.braid) if net not in BUS)
    for component in netlist.components:
        kind = kind_of(component.part)
        if component.fitted and kind.is_wound and kind.carries_feed:
            yield from netlist.pin_nets[component.ref].values()


def _poles(netlist: Netlist) -> Iterator[tuple[str, str]]:
    """What the common contacts of each relay's two poles lie on."""
    commons: dict[str, list[str]] = {}
    for contact in netlist.contacts:
        if netlist.component[contact.ref].fitted:
            commons.setdefault(contact.ref, []).append(contact.common)
    for nets in commons.values():
        if len(set(nets)) == 2:
            yield nets[0], nets[1]


def _contacts(netlist: Netlist, antennas: int) -> Iterator[tuple[str, Figure]]:
    for contact in netlist.contacts:
        if netlist.component[contact.ref].fitted:
            for net in (contact.common, contact.closed, contact.opened):
                yield net, bus_to_0v(antennas) if net in BUS else STRIP_COPPER

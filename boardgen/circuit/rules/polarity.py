"""Drivers of coils, and parts that must stand the right way round."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.model.netlist import Netlist
from boardgen.request import Request
from boardgen.stages.lines import lines
from boardgen.stages.relays import FLYBACK_DIODE


def one_driver_a_coil(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """A coil hangs on the line of its own stage or strip and on no other, and its far end on 0V or the coil supply."""
    stages = {(line.strip, line.stage) for line in netlist.control_lines}
    common, wanted = ("coil +", "coil supply") if request.low_side else ("coil -", "0V")
    for relay in netlist.of_kind("relay"):
        drivers = [line for line in netlist.control_lines if relay.ref in line.relays]
        own = (relay.subject.strip, relay.subject.stage)
        if [(d.strip, d.stage) for d in drivers] != [own if own in stages else (relay.subject.strip, "")]:
            nets = ", ".join(d.net for d in drivers) or "none"
            yield relay.ref, f"the coil of {relay.ref} has {len(drivers)} drivers: {nets}"
        end = netlist.pin_nets[relay.ref][common]
        if end != wanted:
            yield relay.ref, f'the coil of {relay.ref} ends on "{end}", not on "{wanted}"'
    for line, worked in zip((ln for ln in lines(request) if ln.works_relays), netlist.control_lines, strict=True):
        if line.coils != len(worked.relays):
            yield line.net, f'"{line.net}" is sized for a number of coils, {line.coils}, but works {len(worked.relays)}'


def right_way_round(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """A flyback diode across each coil with its cathode on the positive pin, and lamps in the coil's direction."""
    diodes = [netlist.pin_nets[d.ref] for d in netlist.of_kind("diode") if d.subject.slot == FLYBACK_DIODE]
    for relay in netlist.of_kind("relay"):
        pin_nets = netlist.pin_nets[relay.ref]
        wanted = {"cathode": pin_nets["coil +"], "anode": pin_nets["coil -"]}
        if wanted not in diodes:
            yield relay.ref, f"no flyback diode stands across {relay.ref} with its cathode on the coil's positive pin"
        reversed_one = {"cathode": pin_nets["coil -"], "anode": pin_nets["coil +"]}
        if reversed_one in diodes:
            yield relay.ref, f"a diode across {relay.ref} shorts its supply: it stands the wrong way round"
    for lamp in netlist.of_kind("indicator"):
        pin_nets = netlist.pin_nets[lamp.ref]
        coils = [netlist.pin_nets[r.ref] for r in netlist.of_kind("relay") if r.subject.strip == lamp.subject.strip]
        if pin_nets["cathode"] not in {c["coil -"] for c in coils}:
            yield lamp.ref, f"{lamp.ref} stands the wrong way round or beside no coil"


def tubes_to_earth(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """Each tube at a port joins that port's own conductors to earth."""
    ports = {p.strip: p for p in netlist.ports}
    for tube in netlist.of_kind("gas tube"):
        if tube.subject.stage != "surge":
            continue
        pin_nets = netlist.pin_nets[tube.ref]
        port = ports[tube.subject.strip]
        lines = set(pin_nets.values()) - {"earth"}
        earthed = "earth" in pin_nets.values() and pin_nets.get("earth", "earth") == "earth"
        if not earthed or not lines or not lines <= {port.centre, port.braid}:
            yield tube.ref, f"{tube.ref} does not lie from the conductors of its own port to earth"
        if tube.part.attributes.get("electrodes") == "3" and len(lines) != 2:
            yield tube.ref, f"{tube.ref} does not guard both conductors"

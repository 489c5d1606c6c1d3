"""In every selection state the selected antenna reaches the output, and idle ones reach neither bus conductor.

With nothing energised a port at rest is the selected one.
"""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.circuit.walk import STOPS, Walk, reached
from boardgen.model.netlist import Netlist, Port
from boardgen.model.wiring import BUS
from boardgen.request import Request


def _antenna_ports(netlist: Netlist) -> list[Port]:
    return [p for p in netlist.ports if p.strip != "output" and netlist.component[p.ref].fitted]


def selected_reaches_output(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """Centre to centre and braid to braid."""
    output = next(p for p in netlist.ports if p.strip == "output")
    ports = {p.strip: p for p in _antenna_ports(netlist)}
    for selection in netlist.selections:
        if selection.antenna is None:
            continue
        port, edges = ports[selection.antenna], Walk(netlist, selection.operated).signal
        for name, start, end in (("centre", port.centre, output.centre), ("braid", port.braid, output.braid)):
            if end not in reached(edges, start, STOPS):
                yield port.strip, f"with {selection} its {name} does not reach the output"
        if output.braid in reached(edges, port.centre, STOPS):
            yield port.strip, f"with {selection} its centre is joined to the braid of the output"


def idle_reach_nothing(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """No conductor of an idle antenna is joined to a conductor of the bus."""
    for selection in netlist.selections:
        edges, chosen = Walk(netlist, selection.operated).signal, selection.antenna or request.spec.switching.rest
        for port in _antenna_ports(netlist):
            if port.strip == chosen:
                continue
            for name, net in (("centre", port.centre), ("braid", port.braid)):
                if reached(edges, net, STOPS) & set(BUS):
                    yield port.strip, f'with {selection} the {name} of idle "{port.strip}" reaches the bus'

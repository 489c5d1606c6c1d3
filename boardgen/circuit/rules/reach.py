"""In every selection state the selected antenna reaches the output, and idle ones reach neither bus conductor.

With nothing energised a port at rest is the selected one.
"""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.circuit.walk import STOPS, Walk, reached
from boardgen.model.netlist import Netlist, Port
from boardgen.request import Request

BUS = ("bus centre", "bus braid")


def _antenna_ports(netlist: Netlist) -> list[Port]:
    return [p for p in netlist.ports if p.strip != "output" and netlist.component[p.ref].fitted]


def states(netlist: Netlist) -> list[str | None]:
    """No antenna selected, then each fitted one."""
    return [None, *(p.strip for p in _antenna_ports(netlist))]


def selected_reaches_output(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """Centre to centre and braid to braid."""
    output = next(p for p in netlist.ports if p.strip == "output")
    for port in _antenna_ports(netlist):
        edges = Walk(netlist, port.strip).signal
        for name, start, end in (("centre", port.centre, output.centre), ("braid", port.braid, output.braid)):
            if end not in reached(edges, start, STOPS):
                yield port.strip, f'with "{port.strip}" selected its {name} does not reach the output'
        if output.braid in reached(edges, port.centre, STOPS):
            yield port.strip, f'with "{port.strip}" selected its centre is joined to the braid of the output'


def idle_reach_nothing(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """No conductor of an idle antenna is joined to a conductor of the bus."""
    for selected in states(netlist):
        edges = Walk(netlist, selected).signal
        for port in _antenna_ports(netlist):
            if port.strip == selected or (selected is None and port.strip == request.spec.switching.rest):
                continue
            for name, net in (("centre", port.centre), ("braid", port.braid)):
                if reached(edges, net, STOPS) & set(BUS):
                    state = f'"{selected}" selected' if selected else "nothing selected"
                    yield port.strip, f'with {state} the {name} of idle "{port.strip}" reaches the bus'

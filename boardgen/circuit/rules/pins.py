"""Every pin on a net or free on purpose; every name once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from boardgen.kinds import kind_of
from boardgen.model.netlist import Netlist
from boardgen.request import Request


def every_pin_on_a_net(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """Pins that are free though their part needs them, and nets that end nowhere."""
    for node in netlist.free:
        if node.role not in kind_of(netlist.component[node.ref].part).may_be_free:
            yield node.ref, f"{node.role} of {node.ref} is on no net"
    for net in netlist.nets:
        if len(net.nodes) < 2:
            yield net.name, f'net "{net.name}" has a single pin, {net.nodes[0].ref} {net.nodes[0].role}'


def names_are_unique(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """Designators and net names that occur twice, and net names outside plain ASCII."""
    for name, count in Counter(c.ref for c in netlist.components).items():
        if count > 1:
            yield name, f"designator {name} is given to {count} parts"
    for name, count in Counter(n.name for n in netlist.nets).items():
        if count > 1:
            yield name, f'net name "{name}" is given to {count} nets'
        if not name.isascii() or any(letter in name for letter in '"\\/'):
            yield name, f'net name "{name}" has letters that other programs misread'

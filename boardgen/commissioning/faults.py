"""Common faults of a freshly built board, one strip and the board's own parts, as changes of its network."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.commissioning.bench import Bench, pin_node
from boardgen.direct_current.elements import Resistor
from boardgen.kinds import kind_of
from boardgen.kinds.fault import Fault, WholePart
from boardgen.model.netlist import Component
from boardgen.spec.strip import Strip

DRY_OHM = 1000.0
"""A dry joint that still conducts a little: an assumed figure; a worse one reads open."""


def strip_faults(bench: Bench, strip: Strip) -> tuple[Fault, ...]:
    """What can be wrong with the parts of one port."""
    parts = [c for c in bench.fitted if c.subject.strip == strip.label]
    return tuple(fault for part in parts for fault in of_part(bench, part))


def board_faults(bench: Bench) -> tuple[Fault, ...]:
    """What can be wrong with the parts that no antenna has to itself."""
    parts = [c for c in bench.fitted if c.subject.strip in ("", bench.request.output.label)]
    return tuple(fault for part in parts for fault in of_part(bench, part))


def of_part(bench: Bench, component: Component) -> Iterator[Fault]:
    """The common faults of one part, a dry joint at each pin that is reached from outside among them."""
    kind, joins = kind_of(component.part), bench.netlist.joins[component.ref]
    part = WholePart(component, joins, tuple(bench.of_part(component)))
    yield from kind.faults(part)
    if kind.outside:
        for role, net in joins.items():
            node = pin_node(component.ref, role)
            at_pin = f" at its {role}" if kind.outside == "port" else f" at pin {role}"
            words = f"dry joint{at_pin if len(joins) > 1 else ''}"
            yield part.fault(words, Resistor(f"{node} joint", node, net, DRY_OHM))

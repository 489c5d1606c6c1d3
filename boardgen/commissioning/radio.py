"""What a fault does to loss and isolation at the band's edges: all faults of a strip as copies of one board."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.direct_current.elements import OPEN, Element, Resistor
from boardgen.kinds.core import BOARD_WINDING, PORT_WINDING, TOUCH, TURN_SHORT
from boardgen.kinds.fault import Fault
from boardgen.rf_network.element import Element as RadioElement
from boardgen.stages.lines import ac_ground_nets

if TYPE_CHECKING:
    from boardgen.commissioning.bench import Bench
    from boardgen.rf.network import Network
    from boardgen.rf_network.device_models import Array

BIG_OHM, BIG_H, BIG_F, SMALL_OHM, SMALL_H, SMALL_F = 1e9, 1e3, 1e-4, 1e-3, 1e-12, 1e-18
"""What stands for open and short; a capacitance of a milliohm, for much less is lost in the digits of the rest."""
SMALL_TURNS = 1e-3
"""What stands for none."""
LOSS_SEEN_DB, ISOLATION_SEEN_DB = 0.5, 6.0
"""Changes that simple instruments show: common practice, no source."""
CONVERSION_SEEN_DB = 1.0
"""What is told of a fault that no instrument on the bench shows."""
CLOSED: Mapping[str, Mapping[str, float]] = {
    "resistor": {"resistance": SMALL_OHM},
    "conductor": {"resistance": SMALL_OHM, "inductance": SMALL_H},
    "contact and tracks": {"resistance": SMALL_OHM, "track resistance": SMALL_OHM, "inductance": SMALL_H},
    "choke": {"inductance": SMALL_H, "dc resistance": SMALL_OHM},
    "capacitor": {"capacitance": BIG_F, "series resistance": SMALL_OHM, "series inductance": SMALL_H},
    "capacitance": {"capacitance": BIG_F},
    "starts": {"interwinding capacitance": BIG_F},
}
CLOSED_CONTACT = ("conductor", "contact and tracks")
"""Laws of one, by itself and with the copper behind it."""
OPENED: Mapping[str, Mapping[str, float]] = {
    "resistor": {"resistance": BIG_OHM},
    "conductor": {"resistance": BIG_OHM},
    "contact and tracks": {"resistance": BIG_OHM},
    "choke": {"inductance": BIG_H, "dc resistance": BIG_OHM},
    "capacitor": {"capacitance": SMALL_F},
    "capacitance": {"capacitance": SMALL_F},
}


class RadioChange(Struct, frozen=True):
    """A loss, an isolation or a mode conversion, decibels, as it should be and as the fault makes it."""

    quantity: str
    at_hz: float
    selected: str
    port: str
    expected_db: float
    found_db: float


def radio_changes(
    bench: Bench, network: Network, strip: str, faults: Sequence[Fault], edges_hz: tuple[float, float]
) -> tuple[tuple[RadioChange, ...], ...]:
    """For each fault what it does to that antenna's loss when selected and isolation when idle, at both edges.

    Of a fault that a bridge tells before it is built in, also what it does to common mode.
    """
    import numpy as np

    from boardgen.rf.quantities import read

    boards = len(faults) + 1
    other = next((a for a in network.antennas if a != strip), None)
    draws = {edge: fault_draws(bench, network, faults, edge) for edge in edges_hz}
    found: list[list[RadioChange]] = [[] for _ in faults]
    asked = [("insertion loss", strip, LOSS_SEEN_DB)]
    if any(fault.mistake for fault in faults):
        asked.append(("mode conversion", strip, CONVERSION_SEEN_DB))
    if other is not None:
        asked.append(("isolation", other, ISOLATION_SEEN_DB))
    for quantity, selected, seen in asked:
        operated = network.operated(selected)
        values = np.empty((boards, len(edges_hz)))
        for column, edge in enumerate(edges_hz):
            state = network.state(operated, np.array([edge]), draws[edge], boards)
            values[:, column] = read(network.solve(operated, state), quantity, strip)[..., 0]
        for row, (fault, fault_changes) in enumerate(zip(faults, found, strict=True), 1):
            if quantity == "mode conversion" and not fault.mistake:
                continue
            for column, edge in enumerate(edges_hz):
                good, bad = float(values[0, column]), float(values[row, column])
                worse = bad - good if quantity == "insertion loss" else good - bad
                if worse > seen:
                    fault_changes.append(RadioChange(quantity, edge, selected, strip, good, bad))
    return tuple(map(tuple, found))


def fault_draws(bench: Bench, network: Network, faults: Sequence[Fault], at_hz: float) -> dict[tuple[int, str], Array]:
    """The values that any fault alters at a frequency: those of a whole board, then of a board with each fault."""
    import numpy as np

    linked = bench.request.spec.protection.earth_to_0v == "linked"
    # on the bench no stake is joined: what is shorted to earth alone floats with it
    grounds = ac_ground_nets(bench.request) - (frozenset() if linked else {"earth"})
    of_part: dict[str, dict[int, RadioElement]] = {}
    for at, element in enumerate(network.elements):
        of_part.setdefault(element.ref, {})[at] = element
    draws: dict[tuple[int, str], Array] = {}
    for number, fault in enumerate(faults, 1):
        own = {at: e for ref in fault.refs for at, e in of_part.get(ref, {}).items()}
        for at, name, value in _drawn(bench, own, grounds, fault, at_hz):
            if (at, name) not in draws:
                whole = next(p.value for p in network.elements[at].parameters if p.name == name)
                draws[at, name] = np.full(len(faults) + 1, whole)
            draws[at, name][number] = value
    return draws


Drawn = Iterator[tuple[int, str, float]]
"""Position of an element, its parameter, and the value that stands for the fault."""


def _drawn(bench: Bench, own: Mapping[int, RadioElement], grounds: frozenset[str], fault: Fault, at_hz: float) -> Drawn:
    """Everything that the fault alters in its parts' own elements for radio frequencies; `grounds` count as 0V."""
    if fault.parted:
        yield from _set(own, OPENED)
    if fault.mistake == TURN_SHORT:
        yield from _turn_short(own)
    windings = {f"{ref} {name}": (ref, name) for ref in fault.refs for name in (PORT_WINDING, BOARD_WINDING, TOUCH)}
    for change in fault.change:
        closed = isinstance(change, Resistor) and change.ohm < 1.0
        opened = isinstance(change, Resistor) and change.ohm == OPEN
        ref, winding = windings.get(change.name, ("", ""))
        if winding == TOUCH:
            yield from _set({n: e for n, e in own.items() if e.law == "starts"}, CLOSED)
        elif winding:
            yield from _winding(own, winding, change, bench.netlist.pin_nets[ref], opened)
        elif closed or opened:
            ends = {"0V" if end in grounds else end for end in change.ends}
            between = {n: e for n, e in own.items() if set(e.nets) == ends}
            yield from _apart(between, at_hz) if opened and fault.apart else _set(between, CLOSED if closed else OPENED)


def _turn_short(own: Mapping[int, RadioElement]) -> Drawn:
    for at, element in own.items():
        if element.law == "transformer":
            turns = next(p.value for p in element.parameters if p.name == "first turns")
            yield at, "first turns", max(turns - 1, SMALL_TURNS)


def _apart(contact: Mapping[int, RadioElement], at_hz: float) -> Drawn:
    """A contact that stays open: where it would be closed, what it has in its open state stands.

    At one frequency a capacitance is a negative inductance, which the law of a closed contact has a place for.
    """
    gap = next(p.value for e in contact.values() if e.law == "capacitance" for p in e.parameters)
    for at, element in contact.items():
        if element.law in CLOSED_CONTACT:
            yield from ((at, name, value) for name, value in CLOSED[element.law].items() if name != "inductance")
            yield at, "inductance", -1 / ((2 * math.pi * at_hz) ** 2 * gap)


def _set(elements: Mapping[int, RadioElement], table: Mapping[str, Mapping[str, float]]) -> Drawn:
    for at, element in elements.items():
        yield from ((at, name, value) for name, value in table.get(element.law, {}).items())


def _winding(
    own: Mapping[int, RadioElement], winding: str, change: Element, pin_nets: Mapping[str, str], opened: bool
) -> Drawn:
    place, end = ("first", "primary") if winding == PORT_WINDING else ("second", "secondary")
    for at, element in own.items():
        if element.law == "transformer":
            if opened:
                yield at, f"{place} resistance", BIG_OHM
            elif change.ends == (pin_nets[f"{end} end"], pin_nets[f"{end} start"]):
                yield at, f"{place} turns", -next(p.value for p in element.parameters if p.name == f"{place} turns")

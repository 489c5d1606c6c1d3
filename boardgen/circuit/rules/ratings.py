"""Each part is worked within its ratings in the circuit that was built."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.model.netlist import Component, Netlist
from boardgen.request import Request
from boardgen.sizing import rules


def within_ratings(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """Rated voltage of capacitors and diodes, rated current of chokes."""
    supply = request.spec.control.supply.high
    surged = {s.label for s in request.strips if s.surge}
    for capacitor in netlist.of_kind("capacitor"):
        behind_tube = capacitor.subject.slot.startswith("blocking") and capacitor.subject.strip in surged
        needed = rules.SURGE_CAPACITOR_V if behind_tube else supply
        yield from _at_least(capacitor, "rated voltage", needed, "V")
    for diode in netlist.of_kind("diode"):
        yield from _at_least(diode, "reverse voltage", supply, "V")
    currents = {s.label: s.feed.current for s in request.strips if s.feed}
    for choke in netlist.of_kind("choke", "bifilar choke"):
        yield from _at_least(choke, "rated current", currents[choke.subject.strip], "A")


def _at_least(component: Component, figure: str, needed: float, unit: str) -> Iterator[tuple[str, str]]:
    rated = component.part.figure(figure)
    if rated is None:
        yield component.ref, f"the {figure} of {component.ref} ({component.part.number}) is not known"
    elif rated.value < needed:
        yield component.ref, f"{component.ref} is rated {rated.value:g} {unit} and meets {needed:g} {unit}"

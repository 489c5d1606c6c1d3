"""Each part is worked within its ratings in the circuit that was built."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.kinds import kind_of
from boardgen.model.netlist import Component, Netlist
from boardgen.request import Request
from boardgen.sizing import rules


def within_ratings(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """What a kind names as its rating bears the supply or a surge where it is a voltage, the feed where a current."""
    surged = {s.label for s in request.strips if s.surge}
    currents = {s.label: s.feed.current for s in request.strips if s.feed}
    for component in netlist.components:
        kind = kind_of(component.part)
        if not kind.rating:
            continue
        unit = kind.figures[kind.rating].unit
        if unit == "A":
            needed = currents[component.subject.strip]
        elif component.in_series and component.subject.strip in surged:
            needed = rules.SURGE_CAPACITOR_V
        else:
            needed = request.spec.control.supply.high
        yield from _at_least(component, kind.rating, needed, unit)


def _at_least(component: Component, figure: str, needed: float, unit: str) -> Iterator[tuple[str, str]]:
    rated = component.part.figure(figure)
    if rated is None:
        yield component.ref, f"the {figure} of {component.ref} ({component.part.number}) is not known"
    elif rated.value < needed:
        yield component.ref, f"{component.ref} is rated {rated.value:g} {unit} and meets {needed:g} {unit}"

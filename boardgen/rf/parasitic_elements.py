"""What a layout adds to the network: capacitors inside strips, and those that couple one strip to another."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from boardgen.model.figure import Figure, weakest
from boardgen.model.netlist import Port
from boardgen.model.parasitics import Parasitics
from boardgen.rf.coupling import Coupling
from boardgen.rf_network.element import COPPER, GROUND, Element, parameter


class Added(Struct, frozen=True):
    """Capacitors whose nets one owner has, or all share, and couplings, which join nets of two different strips.

    Each end of a coupling is a capacitor to 0V too, which is what the coupling does to either strip by itself.
    """

    elements: tuple[Element, ...] = ()
    couplings: tuple[Coupling, ...] = ()

    def probes(self, strip: str) -> tuple[str, ...]:
        """The nets of a strip that couplings reach."""
        ends = (end for coupling in self.couplings for end in coupling.ends)
        return tuple(dict.fromkeys(net for owner, net in ends if owner == strip))


def added(parasitics: Parasitics, elements: Sequence[Element], ports: Sequence[Port]) -> Added:
    """What the layout's capacitances are to the network.

    Copper that no element touches, such as that of an antenna which is not fitted, is left out.
    """
    owners = _owners(elements, ports)
    with_port = {port.strip for port in ports}
    alike: dict[tuple[str, str, str], list[Figure]] = {}
    couplings: list[Coupling] = []
    for one, two, farads in parasitics.capacitances:
        if one not in owners or (two not in owners and two != GROUND):
            continue
        own = [next(iter(owners[net])) if len(owners[net]) == 1 else "" for net in (one, two) if net != GROUND]
        if "" in own or len(set(own)) < 2:
            alike.setdefault((max(own), one, two), []).append(farads)
            continue
        for strip, net in zip(own, (one, two), strict=True):
            alike.setdefault((strip, net, GROUND), []).append(farads)
        if with_port.issuperset(own):
            couplings.append(Coupling(((own[0], one), (own[1], two)), farads.value, farads.least, farads.most))
    capacitors = (_capacitor(*place, figures) for place, figures in alike.items())
    return Added(tuple(capacitors), tuple(couplings))


def _capacitor(owner: str, one: str, two: str, figures: Sequence[Figure]) -> Element:
    """Capacitances in parallel as one."""
    whole = Figure(
        sum(f.value for f in figures),
        "F",
        weakest(*(f.standing for f in figures)),
        "; ".join(dict.fromkeys(f.source for f in figures)),
        sum(f.least for f in figures),
        sum(f.most for f in figures),
    )
    label = f"{one} to {two} capacitance"
    return Element(owner, COPPER, "capacitance", ((one, two),), (parameter("capacitance", whole, label=label),))


def _owners(elements: Sequence[Element], ports: Sequence[Port]) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for element in elements:
        for net in element.nets:
            found.setdefault(net, set()).add(element.owner)
    for port in ports:
        for net in (port.centre, port.braid):
            found.setdefault(net, set()).add(port.strip)
    return found

"""The elements of a built board: what each kind says of its parts, contacts by the state, parasitics of the copper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from boardgen.handbook.coplanar import pair_crowding
from boardgen.kinds import kind_of
from boardgen.kinds.kind import Without
from boardgen.kinds.radio import MEASURED, RadioPart
from boardgen.kinds.relay import contact_parameters
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component, Contact, Netlist
from boardgen.model.parasitics import CopperLoop
from boardgen.model.selection import SelectionState
from boardgen.model.wiring import BUS
from boardgen.request import Request
from boardgen.rf_network.element import GROUND, Element, Parameter, exact, parameter
from boardgen.sizing.rules import COPPER_M
from boardgen.stages.lines import ac_ground_nets

NO_LOOPS: Mapping[str, CopperLoop] = {}


class Elements:
    """Makes the elements of a netlist. Only fitted parts count; nets held by their source become the reference.

    `loops` are the copper from each port to the output, which lies in a selected antenna's path.
    """

    def __init__(
        self, request: Request, choices: Choices, netlist: Netlist, loops: Mapping[str, CopperLoop] = NO_LOOPS
    ) -> None:
        self.choices, self.loops = choices, loops
        self.netlist = netlist
        self.grounds = ac_ground_nets(request)
        self._curves = {key: MEASURED + key for key in request.measured}

    def fixed(self) -> tuple[Element, ...]:
        """Everything that no selection changes."""
        return tuple(
            element
            for component in self.netlist.components
            if component.fitted and not isinstance(law := kind_of(component.part).radio, Without)
            for element in law(self._part(component))
            if any(one != other for one, other in element.pairs)
        )

    def contacts(self, strip: str, operated: SelectionState) -> tuple[Element, ...]:
        """The contacts of a strip's relays with these operated, closed one way and open the other."""
        return tuple(
            element
            for contact in self.netlist.contacts
            if contact.strip == strip and self.netlist.component[contact.ref].fitted
            for element in self._contact(contact, contact.ref in operated)
        )

    def net(self, name: str) -> str:
        """The net, or the reference where its source holds it."""
        return GROUND if name in self.grounds else name

    def _part(self, component: Component) -> RadioPart:
        kind = kind_of(component.part)
        nodes = {role: self.net(net) for role, net in self.netlist.pin_nets[component.ref].items()}
        return RadioPart(component, nodes, self.choices, kind.assumed, self._curves.get(kind.name, ""))

    def _contact(self, contact: Contact, operated: bool) -> Iterator[Element]:
        resistance, inductance, opened = contact_parameters(self._part(self.netlist.component[contact.ref]))
        touching, apart = (contact.opened, contact.closed) if operated else (contact.closed, contact.opened)
        loop = self.loops.get(contact.strip)
        law, closed = "conductor", [resistance, inductance]
        if loop is not None and operated and {contact.common, contact.opened} & set(BUS):
            law, closed = "contact and tracks", [resistance, *_with_half(loop, inductance)]
        for end, own_law, parameters in ((touching, law, closed), (apart, "capacitance", [opened])):
            if end:
                pair = (self.net(contact.common), self.net(end))
                yield Element(contact.strip, contact.ref, own_law, (pair,), tuple(parameters))


def _with_half(loop: CopperLoop, own: Parameter) -> tuple[Parameter, ...]:
    """A contact that a selected antenna closes to the bus, with half of the copper's loop.

    The contact of the other pole has the rest.
    """
    half = parameter("inductance", loop.inductance, 0.5)
    both = (own.value + half.value, own.low + half.low, own.high + half.high)
    source = f"{own.source}; and {half.source}"
    crowding = pair_crowding(loop.width_m, loop.gap_m)
    return (
        Parameter("inductance", *both, own.unit, own.standing, source, "contact and copper inductance"),
        parameter("track resistance", loop.resistance, 0.5),
        exact("track thickness", COPPER_M, "m", "choice"),
        exact("crowding", float(crowding.slope), "1", half.source),
        exact("crowding reach", float(crowding.reach_m), "m", half.source),
    )

"""The elements of a built board: what each kind says of its parts, contacts by the state, parasitics of the copper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from boardgen.kinds import kind_of
from boardgen.kinds.kind import Without
from boardgen.kinds.radio import MEASURED, RadioPart
from boardgen.kinds.relay import contact_parameters
from boardgen.model.choices import Choices
from boardgen.model.figure import Figure
from boardgen.model.netlist import Component, Contact, Netlist
from boardgen.model.selection import SelectionState
from boardgen.model.wiring import BUS
from boardgen.request import Request
from boardgen.rf_network.element import GROUND, Element, Parameter, parameter
from boardgen.stages.lines import ac_ground_nets

NO_RUNS: Mapping[str, Figure] = {}


class Elements:
    """Makes the elements of a netlist. Only fitted parts count; nets held by their source become the reference.

    `runs` gives the inductance of the copper from each port to the output, which lies in a selected antenna's path.
    """

    def __init__(
        self, request: Request, choices: Choices, netlist: Netlist, runs: Mapping[str, Figure] = NO_RUNS
    ) -> None:
        self.choices, self.runs = choices, runs
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
        closed = (resistance, self._with_run(contact, inductance) if operated else inductance)
        touching, apart = (contact.opened, contact.closed) if operated else (contact.closed, contact.opened)
        for end, law, parameters in ((touching, "conductor", closed), (apart, "capacitance", (opened,))):
            if end:
                pair = (self.net(contact.common), self.net(end))
                yield Element(contact.strip, contact.ref, law, (pair,), parameters)

    def _with_run(self, contact: Contact, own: Parameter) -> Parameter:
        """The inductance of a contact that a selected antenna closes to the bus, with half that of the copper's loop.

        The contact of the other pole has the rest.
        """
        run = self.runs.get(contact.strip)
        if run is None or not {contact.common, contact.opened} & set(BUS):
            return own
        half = parameter("inductance", run, 0.5)
        both = (own.value + half.value, own.low + half.low, own.high + half.high)
        source = f"{own.source}; and {half.source}"
        return Parameter("inductance", *both, own.unit, own.standing, source, "contact and copper inductance")

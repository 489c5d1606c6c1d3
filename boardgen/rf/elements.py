"""The elements of a built board in one selection state: one model for each kind of part, strays included."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping

from msgspec.structs import replace

from boardgen.handbook import leakage, reactance, wire
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.figure import Figure
from boardgen.model.netlist import Component, Contact, Netlist
from boardgen.model.part import Part
from boardgen.model.selection import SelectionState
from boardgen.request import Request
from boardgen.rf import assumed
from boardgen.rf.curves import MEASURED
from boardgen.rf_network.element import GROUND, Element, Parameter, exact, parameter
from boardgen.sizing.wire import LEAD_M
from boardgen.stages.lines import held

NO_RUNS: Mapping[str, Figure] = {}
BUS = ("bus centre", "bus braid")


class Elements:
    """Makes the elements of a netlist. Only fitted parts count; nets held by their source become the reference.

    `runs` gives the inductance of the copper from each port to the output, which lies in a selected antenna's path.
    """

    def __init__(
        self, request: Request, choices: Choices, netlist: Netlist, runs: Mapping[str, Figure] = NO_RUNS
    ) -> None:
        self.choices, self.runs = choices, runs
        self.measured = request.measured
        self.relay = request.spec.measured.relay
        self.netlist = netlist
        self.held = held(request)
        self._models: Mapping[str, Callable[[Component], Iterator[Element]]] = {
            "resistor": self._resistor,
            "fuse": self._resistor,
            "capacitor": self._capacitor,
            "choke": self._choke,
            "bifilar choke": self._bifilar,
            "core": self._transformer,
            "relay": self._relay,
            "gas tube": self._tube,
            "diode": self._diode,
            "indicator": self._diode,
            "link": self._link,
        }

    def fixed(self) -> tuple[Element, ...]:
        """Everything that no selection changes."""
        return tuple(
            element
            for component in self.netlist.components
            if component.fitted
            for element in self._models.get(component.part.kind, _nothing)(component)
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
        return GROUND if name in self.held else name

    def _between(
        self, component: Component, law: str, roles: tuple[str, str], *parameters: Parameter
    ) -> Iterator[Element]:
        joins = self.netlist.joins[component.ref]
        if all(role in joins for role in roles):
            pair = (self.net(joins[roles[0]]), self.net(joins[roles[1]]))
            yield Element(component.subject.strip, component.ref, law, (pair,), parameters)

    def _two(self, component: Component, law: str, *parameters: Parameter) -> Iterator[Element]:
        first, second = component.part.pins
        return self._between(component, law, (first, second), *parameters)

    def _resistor(self, component: Component) -> Iterator[Element]:
        return self._two(component, "resistor", _of(component, "resistance"))

    def _capacitor(self, component: Component) -> Iterator[Element]:
        names = ("capacitance", "series resistance", "series inductance")
        return self._two(component, "capacitor", *(_of(component, name) for name in names))

    def _choke(self, component: Component) -> Iterator[Element]:
        if "choke" in self.measured:
            own = self._two(component, "measured", exact("scale", 1.0, "own measurement"))
            return (replace(element, material=MEASURED + "choke") for element in own)
        part = component.part
        stray = reactance.resonant_capacitance(part.figures["inductance"].value, part.figures["self resonance"].value)
        # a typical self resonance: the capacitance of a sample may lie a quarter off
        across = Figure(stray, "F", "computed", "self resonance and inductance", 0.75 * stray, 1.25 * stray)
        names = ("inductance", "dc resistance", "quality")
        return self._two(
            component, "choke", *(_of(component, name) for name in names), parameter("parallel capacitance", across)
        )

    def _bifilar(self, component: Component) -> Iterator[Element]:
        windings = tuple((f"winding {letter} start", f"winding {letter} end") for letter in "AB")
        names = ("inductance", "dc resistance", "quality", "parallel capacitance", "leakage inductance")
        yield self._windings(component, "bifilar", windings, tuple(_of(component, name) for name in names))
        half = _stray(component.part, "interwinding capacitance", 0.5)
        for end in ("start", "end"):
            yield from self._between(component, "capacitance", (f"winding A {end}", f"winding B {end}"), half)

    def _windings(
        self,
        component: Component,
        law: str,
        windings: tuple[tuple[str, str], ...],
        parameters: tuple[Parameter, ...],
        material: str = "",
    ) -> Element:
        joins = self.netlist.joins[component.ref]
        pairs = tuple((self.net(joins[start]), self.net(joins[end])) for start, end in windings)
        return Element(component.subject.strip, component.ref, law, pairs, parameters, material)

    def _transformer(self, component: Component) -> Iterator[Element]:
        """Primary is the port's winding; the leakage of the choice is seen from the board's and shared evenly."""
        choices, subject, part = self.choices, component.subject, component.part
        turns, port_turns = (choices.choice(role, subject).chosen for role in ("turns", "port turns"))
        wound = choices.windings[subject]
        low, high = assumed.LEAKAGE_SPREAD
        mu = Figure(1.0, "1", "read", "maker's tolerance (recalled)", 1 - assumed.CORE_SPREAD, 1 + assumed.CORE_SPREAD)
        constant = part.figures["path constant"]
        # the least is a guaranteed minimum; the spread is taken as equal to both sides
        area = Figure(
            constant.value,
            "m",
            constant.standing,
            constant.source,
            constant.least,
            max(constant.most, 2 * constant.value - constant.least),
        )
        windings = (("primary start", "primary end"), ("secondary start", "secondary end"))
        values: list[Parameter] = [parameter("path constant", area), parameter("permeability scale", mu)]
        for place, count, slot in (("first", port_turns, "port winding"), ("second", turns, "board winding")):
            own = 0.5 * wound.leakage_h * (count / turns) ** 2
            ohm = self._copper_ohm(subject, slot)
            values += [
                exact(f"{place} turns", count, "choice"),
                Parameter(f"{place} leakage", own, low * own, high * own, "assumed", leakage.SOURCE),
                exact(f"{place} resistance", ohm, "copper at 20 degC"),
            ]
        material = MEASURED + "core" if "core" in self.measured else part.attributes["material"]
        yield self._windings(component, "transformer", windings, tuple(values), material)
        length_m = min(
            self.choices.choice("wire length", Subject(subject.strip, subject.stage, slot)).chosen - 2 * LEAD_M
            for slot in ("board winding", "port winding")
        )
        whole = parameter("interwinding capacitance", assumed.INTERWINDING_F_PER_M[wound.style], length_m)
        yield from self._interwinding(component, whole)

    def _interwinding(self, component: Component, whole: Parameter) -> Iterator[Element]:
        """Shared between the starts and the ends by a split that nobody knows."""
        split = parameter("split", assumed.SPLIT)
        for end in ("start", "end"):
            roles = (f"primary {end}", f"secondary {end}")
            yield from self._between(component, f"{end}s", roles, whole, split)

    def _copper_ohm(self, subject: Subject, slot: str) -> float:
        length_m = self.choices.choice("wire length", Subject(subject.strip, subject.stage, slot)).chosen
        diameter_m = self.choices.part("winding wire", subject).figures["diameter"].value
        return wire.resistance_ohm_per_m(math.pi * diameter_m**2 / 4) * length_m

    def _relay(self, component: Component) -> Iterator[Element]:
        """Coil, and the capacitance from pole to pole and from each contact to the coil's two pins."""
        between = self._between
        yield from between(
            component,
            "resistor",
            ("coil +", "coil -"),
            parameter("resistance", component.part.figures["coil resistance"], label="coil resistance"),
        )
        part = self._as_measured(component.part)
        poles = _stray(part, "pole to pole capacitance")
        yield from between(component, "capacitance", ("pole A common", "pole B common"), poles)
        moving = _stray(part, "coil to contact capacitance", 0.5)
        still = _stray(part, "coil to fixed contact capacitance", 0.5)
        for pole in "AB":
            for coil in ("coil +", "coil -"):
                yield from between(component, "capacitance", (f"pole {pole} common", coil), moving)
                for end in ("normally closed", "normally open"):
                    yield from between(component, "capacitance", (f"pole {pole} {end}", coil), still)

    def _as_measured(self, relay: Part) -> Part:
        """The relay with the user's own figures."""
        own = {name.replace("_", " "): value for name, value in self.relay if value is not None}
        figures = {name: Figure(value, _unit(name), "measured", "own measurement") for name, value in own.items()}
        return replace(relay, figures={**relay.figures, **figures}) if own else relay

    def _contact(self, contact: Contact, operated: bool) -> Iterator[Element]:
        part = self._as_measured(self.netlist.component[contact.ref].part)
        inductance = parameter("inductance", assumed.figure(part, "contact inductance"), label="contact inductance")
        closed = (
            parameter("resistance", assumed.figure(part, "contact resistance"), label="contact resistance"),
            self._with_run(contact, inductance) if operated else inductance,
        )
        opened = (_stray(part, "open contact capacitance"),)
        touching, apart = (contact.opened, contact.closed) if operated else (contact.closed, contact.opened)
        for end, law, parameters in ((touching, "conductor", closed), (apart, "capacitance", opened)):
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
        return Parameter("inductance", *both, own.standing, source, "contact and copper inductance")

    def _tube(self, component: Component) -> Iterator[Element]:
        value = _stray(component.part, "capacitance")
        if "earth" not in component.part.pins:
            yield from self._two(component, "capacitance", value)
        for line in ("line A", "line B"):
            yield from self._between(component, "capacitance", (line, "earth"), value)

    def _diode(self, component: Component) -> Iterator[Element]:
        """Not conducting: a conducting one would only hold its net better."""
        value = _stray(component.part, "capacitance")
        return self._between(component, "capacitance", ("anode", "cathode"), value)

    def _link(self, component: Component) -> Iterator[Element]:
        return self._two(component, "conductor", _of(component, "resistance"), _of(component, "inductance"))


def _of(component: Component, name: str) -> Parameter:
    return parameter(name, assumed.figure(component.part, name))


def _stray(part: Part, name: str, share: float = 1.0) -> Parameter:
    """A capacitance that its law calls by that word alone."""
    return parameter("capacitance", assumed.figure(part, name), share, name)


def _unit(name: str) -> str:
    return {"resistance": "ohm", "inductance": "H", "capacitance": "F"}[name.split()[-1]]


def _nothing(component: Component) -> Iterator[Element]:
    yield from ()

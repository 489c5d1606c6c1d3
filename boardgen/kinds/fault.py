"""Common faults of a part on a freshly built board, as changes of its direct-current network."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from boardgen.direct_current.elements import OPEN, Curve, Element, Resistor
from boardgen.kinds.direct_current import JOINT_OHM
from boardgen.model.netlist import Component
from boardgen.model.transformer import Mistake

DRY_JOINT = "open, or a dry joint"


class Fault(Struct, frozen=True):
    """What is wrong, in which parts, and the elements that stand in the place of the whole ones.

    `parted` is a part that at radio frequencies is gone, but for what the change puts in its place. `mistake` is one of
    winding, which a bridge tells before the part is soldered in. `apart` is one whose open contacts keep their
    capacitance, `at_rest` one with which the relay does not pull in.
    """

    name: str
    refs: tuple[str, ...]
    change: tuple[Element, ...]
    parted: bool = False
    mistake: Mistake | None = None
    apart: bool = False
    at_rest: bool = False


class WholePart(Struct, frozen=True):
    """A part before anything is wrong: the nets at its pins by role, and its direct-current elements in order."""

    component: Component
    pin_nets: Mapping[str, str]
    elements: tuple[Element, ...]

    def fault(self, name: str, *change: Element) -> Fault:
        """A fault of this part alone."""
        return Fault(name, (self.component.ref,), change)

    def short(self, one: str, other: str, name: str = "short", element: str = "short") -> Fault:
        """A solder bridge or a dead short between two pins."""
        bridge = Resistor(f"{self.component.ref} {element}", self.pin_nets[one], self.pin_nets[other], JOINT_OHM)
        return self.fault(name, bridge)


FaultLaw = Callable[[WholePart], Iterator[Fault]]
"""The common faults of a part, beside a dry joint at a pin that is reached from outside."""


def opened(element: Element) -> Resistor:
    """The element parted."""
    return Resistor(element.name, *element.ends, OPEN)


def shorted(element: Element) -> Resistor:
    """The element bridged."""
    return Resistor(element.name, *element.ends, JOINT_OHM)


def none(part: WholePart) -> Iterator[Fault]:
    """Nothing beside its joints."""
    yield from ()


def open_only(part: WholePart) -> Iterator[Fault]:
    """Parted."""
    yield part.fault(DRY_JOINT, opened(part.elements[0]))


def open_or_short(part: WholePart) -> Iterator[Fault]:
    """Parted, or bridged."""
    yield from open_only(part)
    yield part.fault("short", shorted(part.elements[0]))


def polarised(part: WholePart) -> Iterator[Fault]:
    """Parted, bridged, or put in the wrong way round."""
    yield from open_or_short(part)
    whole = part.elements[0]
    if not isinstance(whole, Curve):
        raise TypeError("only a part with a polarity can be turned round")
    yield part.fault("turned round", replace(whole, a=whole.b, b=whole.a))


def bridged(part: WholePart) -> Iterator[Fault]:
    """A part that passes no current when whole, bridged between its two pins."""
    one, other = list(part.pin_nets)[:2]
    yield part.short(one, other)


def open_or_bridged(part: WholePart) -> Iterator[Fault]:
    """A part that passes no current when whole: parted, which only radio frequencies notice, or bridged."""
    yield Fault(DRY_JOINT, (part.component.ref,), (), parted=True)
    yield from bridged(part)

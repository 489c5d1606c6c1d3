"""What a meter meets in each part: direct-current elements by designator, low, middle or high in tolerance."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Literal

from msgspec import Struct

from boardgen.direct_current.curves import diode, suppressor
from boardgen.direct_current.elements import OPEN, Element, Resistor
from boardgen.handbook import wire
from boardgen.kinds import figure
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.figure import Figure, Standing
from boardgen.model.netlist import Component

Grade = Literal["low", "middle", "high"]
GRADES: tuple[Grade, Grade, Grade] = ("low", "middle", "high")
CHOKE_LEAST = 0.5
"""Least resistance of a choke over the maker's most: assumed."""
WINDING_SPREAD = 0.2
"""Share by which a winding's wire may be longer or thinner than computed: assumed."""
JOINT_OHM = 1e-3
"""A good solder joint or clamp: assumed."""
DIODE_A = 10e-3
"""The current at which the catalogue gives forward voltages."""
KNEE_SHARE = 0.9
"""Share of the forward voltage at which the straight line of a diode begins: assumed."""
FORWARD_SPREAD_V = 0.1
SUPPRESSOR_OHM = 1.0


class Ohms(Struct, frozen=True):
    """A resistance with its range, and how it is known."""

    low: float
    middle: float
    high: float
    standing: Standing

    def at(self, grade: Grade) -> float:
        """The resistance at that end of its range."""
        return {"low": self.low, "middle": self.middle, "high": self.high}[grade]


def _of(figure: Figure) -> Ohms:
    return Ohms(figure.least, figure.value, figure.most, figure.standing)


def contact_ohm(component: Component) -> Ohms:
    """A closed contact of a relay; a maker gives the most."""
    known = figure(component.part, "contact resistance")
    return Ohms(min(known.least, 0.02), known.value, known.most, known.standing)


def winding_ohm(choices: Choices, at: Subject, slot: str) -> Ohms:
    """The wire of one winding of a core, from its length and gauge."""
    length_m = choices.choice("wire length", Subject(at.strip, at.stage, slot)).chosen
    bare_m = choices.part("winding wire", at).figures["diameter"].value
    ohm = length_m * wire.resistance_ohm_per_m(math.pi * bare_m**2 / 4)
    return Ohms(ohm * (1 - WINDING_SPREAD), ohm, ohm * (1 + WINDING_SPREAD), "computed")


def copper_ohm(component: Component, name: str) -> Ohms:
    """Chokes, of which makers give the most."""
    known = _of(component.part.figures[name])
    return Ohms(min(known.low, CHOKE_LEAST * known.middle), known.middle, known.high, known.standing)


def elements(
    component: Component, joins: Mapping[str, str], choices: Choices, grade: Grade, operated: bool
) -> Iterator[Element]:
    """The part between its nets; capacitors and gas tubes pass no direct current and give nothing."""
    kind, ref = component.part.kind, component.ref
    if kind == "relay":
        yield from _relay(component, joins, grade, operated)
    elif kind == "core":
        for name, end, slot in (
            ("port winding", "primary", "port winding"),
            ("board winding", "secondary", "board winding"),
        ):
            ohm = winding_ohm(choices, component.subject, slot).at(grade)
            yield Resistor(f"{ref} {name}", joins[f"{end} start"], joins[f"{end} end"], ohm)
    elif kind == "bifilar choke":
        for letter in "AB":
            ends = (joins[f"winding {letter} start"], joins[f"winding {letter} end"])
            yield Resistor(f"{ref} winding {letter}", *ends, copper_ohm(component, "dc resistance").at(grade))
    elif kind in ("diode", "indicator"):
        yield _diode(component, joins, grade)
    elif kind == "suppressor":
        yield suppressor(ref, joins["1"], joins["2"], component.part.figures["stand-off voltage"].value, SUPPRESSOR_OHM)
    elif kind in _PLAIN:
        yield _PLAIN[kind](component, joins, grade)


def _relay(component: Component, joins: Mapping[str, str], grade: Grade, operated: bool) -> Iterator[Element]:
    ref = component.ref
    coil = _of(component.part.figures["coil resistance"]).at(grade)
    yield Resistor(f"{ref} coil", joins["coil +"], joins["coil -"], coil)
    ohm = contact_ohm(component).at(grade)
    for pole in "AB":
        common = joins[f"pole {pole} common"]
        for throw, made in (("normally closed", not operated), ("normally open", operated)):
            if f"pole {pole} {throw}" in joins:
                yield Resistor(f"{ref} {pole} {throw}", common, joins[f"pole {pole} {throw}"], ohm if made else OPEN)


def _diode(component: Component, joins: Mapping[str, str], grade: Grade) -> Element:
    forward = component.part.figures["forward voltage"].value
    shift = {"low": -FORWARD_SPREAD_V, "middle": 0.0, "high": FORWARD_SPREAD_V}[grade]
    volts = forward + shift
    return diode(
        component.ref, joins["anode"], joins["cathode"], KNEE_SHARE * volts, (1 - KNEE_SHARE) * volts / DIODE_A
    )


def _resistor(component: Component, joins: Mapping[str, str], grade: Grade) -> Element:
    return Resistor(component.ref, *_pair(joins), _of(component.part.figures["resistance"]).at(grade))


def _choke(component: Component, joins: Mapping[str, str], grade: Grade) -> Element:
    return Resistor(component.ref, *_pair(joins), copper_ohm(component, "dc resistance").at(grade))


def _link(component: Component, joins: Mapping[str, str], grade: Grade) -> Element:
    return Resistor(component.ref, *_pair(joins), JOINT_OHM)


def _pair(joins: Mapping[str, str]) -> tuple[str, str]:
    one, other = joins.values()
    return one, other


_PLAIN = {"resistor": _resistor, "fuse": _resistor, "choke": _choke, "link": _link}

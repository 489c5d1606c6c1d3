"""What is not known of a board to a number: assumed strays and tolerances, each with its range.

Decided here for the drawn boards and for the bounds of every figure. What is assumed, or computed of how a part is
made, is the same for all equal parts, as is the permeability of a lot of cores: one unknown for all of them. A maker's
tolerance is each part's own. Copper is good or bad as a whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from boardgen.rf.network import COUPLINGS, Draws, Network
from boardgen.rf_network.device_models import Array
from boardgen.rf_network.element import COPPER, Element, Parameter

Place = tuple[int, str]
"""An element by its position, and the name of a parameter of it."""
OF_A_LOT: Final = frozenset({"permeability scale"})
"""Tolerances that all parts of one lot share."""
ONE_LAW: Final = {"starts": "interwinding", "ends": "interwinding"}
STRAYS: Final = frozenset({
    "interwinding capacitance", "parallel capacitance", "leakage inductance", "first leakage", "second leakage",
    "first proximity", "second proximity",
})  # fmt: skip
"""What nobody winds more of on purpose, beside all that is assumed and every capacitance that is no capacitor."""
COPPER_NAME: Final = "copper capacitance"
COUPLING_NAME: Final = "coupling from strip to strip"


class Unknown(Struct, frozen=True):
    """A number that may lie anywhere in its range, and all places of the network that have it.

    `least` and `most` are its ends at each place, SI; all places lie at the same share of their ranges. `value`,
    `low` and `high` are one place's where all are equal, else shares of what is stated, with the unit "1".
    `part` is the key of the part, "" for copper.
    """

    name: str
    part: str
    refs: tuple[str, ...]
    places: tuple[Place, ...]
    least: tuple[float, ...]
    most: tuple[float, ...]
    value: float
    low: float
    high: float
    unit: str
    assumed: bool

    @property
    def stated(self) -> float:
        """The share of the range at which the stated value lies."""
        return (self.value - self.low) / (self.high - self.low)

    @property
    def is_stray(self) -> bool:
        """Whether it is what nobody wants, and no part's own tolerance."""
        return self.assumed or any(name in STRAYS for _, name in self.places)

    @property
    def is_copper(self) -> bool:
        """Whether a layout decides it."""
        return not self.part

    def at(self, share: float) -> float:
        """The number at that share of its range."""
        return self.low + share * (self.high - self.low)


def unknowns(network: Network) -> tuple[Unknown, ...]:
    """Every unknown of a board, in the order in which the network has them."""
    found: dict[tuple[str, ...], list[tuple[int, Element, Parameter]]] = {}
    for at, element in enumerate(network.elements):
        for p in element.parameters:
            if p.low != p.high:
                found.setdefault(_key(network, element, p), []).append((at, element, p))
    own = tuple(_unknown(network, places) for places in found.values())
    return (*own, _coupling(network)) if network.couplings else own


def drawn(unknown: Sequence[Unknown], shares: Array) -> Draws:
    """Values for boards whose unknowns lie at these shares, (boards, unknowns), of their ranges."""
    return {
        place: least + share * (most - least)
        for one, share in zip(unknown, shares.T, strict=True)
        for place, least, most in zip(one.places, one.least, one.most, strict=True)
    }


def _key(network: Network, element: Element, p: Parameter) -> tuple[str, ...]:
    if element.ref == COPPER:
        return (COPPER, element.law)
    part, law = network.parts[element.ref], ONE_LAW.get(element.law, element.law)
    shared = p.standing in ("assumed", "computed") or p.name in OF_A_LOT
    return (part, law, p.name, p.shown) if shared else (part, law, p.name, p.shown, element.ref)


def _coupling(network: Network) -> Unknown:
    """The couplings between strips, all of them by one factor."""
    low, high = (
        _share(network, [c.least for c in network.couplings]),
        _share(network, [c.most for c in network.couplings]),
    )
    return Unknown(
        name=COUPLING_NAME, part="", refs=(COPPER,), places=(COUPLINGS,), least=(low,), most=(high,),
        value=1.0, low=low, high=high, unit="1", assumed=True,
    )  # fmt: skip


def _share(network: Network, farads: Sequence[float]) -> float:
    """Of all couplings as they are stated."""
    return sum(farads) / sum(c.farads for c in network.couplings)


def _unknown(network: Network, places: Sequence[tuple[int, Element, Parameter]]) -> Unknown:
    _, element, first = places[0]
    figures = [p for _, _, p in places]
    copper = element.ref == COPPER
    value, low, high, unit = first.value, first.low, first.high, first.unit
    if len({(p.value, p.low, p.high) for p in figures}) > 1:
        whole = sum(p.value for p in figures)
        value, low, high, unit = 1.0, sum(p.low for p in figures) / whole, sum(p.high for p in figures) / whole, "1"
    return Unknown(
        name=COPPER_NAME if copper else first.shown,
        part="" if copper else network.parts[element.ref],
        refs=tuple(dict.fromkeys(e.ref for _, e, _ in places)),
        places=tuple((at, p.name) for at, _, p in places),
        least=tuple(p.low for p in figures),
        most=tuple(p.high for p in figures),
        value=value,
        low=low,
        high=high,
        unit=unit,
        assumed=copper or any(p.standing == "assumed" for p in figures),
    )

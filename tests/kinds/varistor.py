"""A kind that no board has: varistors, which clamp what lies across them and are a capacitance until they do."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.direct_current.curves import suppressor
from boardgen.direct_current.elements import Element as DirectElement
from boardgen.kinds import fault
from boardgen.kinds.direct_current import DirectPart
from boardgen.kinds.kind import TWO, Appearance, Assembly, Kind, KnownFigure, needed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import ACROSS, LEADS, Symbol
from boardgen.rf_network.element import Element

SLOPE_OHM = 1.0
"""Beyond the working voltage: assumed."""


def _radio(part: RadioPart) -> Iterator[Element]:
    return part.across("capacitance", part.capacitance("capacitance"))


def _direct_current(part: DirectPart) -> Iterator[DirectElement]:
    one, other = (part.nodes[role] for role in TWO)
    working_v = part.component.part.figures["working voltage"].least
    yield suppressor(part.name, one, other, working_v, SLOPE_OHM)


VARISTOR = Kind(
    name="varistor",
    figures={"working voltage": needed("V"), "capacitance": needed("F"), "surge current": KnownFigure("A")},
    letter="RV",
    pins=TWO,
    symbols={"varistor": Symbol(ACROSS, LEADS, "M1 -0.4L3 -0.4L3 0.4L1 0.4ZM1 0.8L1.4 0.8L2.6 -0.8")},
    radio=_radio,
    direct_current=_direct_current,
    faults=fault.open_or_bridged,
    assembly=Assembly("Varistors", assumed_height_nm=7_000_000, note="A varistor that fired often leaks: test it."),
    appearance=Appearance(colour="#7A8CA0"),
)

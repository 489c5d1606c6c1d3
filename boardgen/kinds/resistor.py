"""Resistors."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.direct_current.elements import Element as DirectElement
from boardgen.kinds import fault
from boardgen.kinds.direct_current import DirectPart
from boardgen.kinds.kind import TWO, Appearance, Assembly, Kind, KnownFigure, Paths, in_series, needed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import ACROSS, BOX, LEADS, Symbol
from boardgen.rf_network.element import Element


def _radio(part: RadioPart) -> Iterator[Element]:
    return part.across("resistor", part.parameter("resistance"))


def _direct_current(part: DirectPart) -> Iterator[DirectElement]:
    return part.across(part.figure("resistance"))


RESISTOR = Kind(
    name="resistor",
    figures={"resistance": needed("ohm"), "power": KnownFigure("W"), "rated voltage": KnownFigure("V")},
    letter="R",
    pins=TWO,
    symbols={"resistor": Symbol(ACROSS, LEADS, BOX)},
    paths=Paths(signal=in_series, resistive=(TWO,)),
    radio=_radio,
    direct_current=_direct_current,
    faults=fault.open_or_short,
    assembly=Assembly("Resistors", assumed_height_nm=2_500_000),
    appearance=Appearance(colour="#B9A88A"),
)

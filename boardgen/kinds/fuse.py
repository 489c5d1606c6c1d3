"""Resettable fuses in the feeds of antennas."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.direct_current.elements import Element as DirectElement
from boardgen.kinds import fault
from boardgen.kinds.direct_current import DirectPart
from boardgen.kinds.kind import TWO, Appearance, Assembly, Kind, KnownFigure, Paths, needed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import ACROSS, BOX, THROUGH, Symbol
from boardgen.rf_network.element import Element


def _radio(part: RadioPart) -> Iterator[Element]:
    return part.across("resistor", part.parameter("resistance"))


def _direct_current(part: DirectPart) -> Iterator[DirectElement]:
    return part.across(part.figure("resistance"))


FUSE = Kind(
    name="fuse",
    figures={
        "hold current": needed("A"),
        "trip current": KnownFigure("A"),
        "rated voltage": KnownFigure("V"),
        "resistance": needed("ohm"),
        "largest fault current": KnownFigure("A"),
    },
    letter="F",
    pins=TWO,
    symbols={"fuse": Symbol(ACROSS, THROUGH, BOX)},
    paths=Paths(low_resistance=(TWO,)),
    carries_feed=True,
    radio=_radio,
    direct_current=_direct_current,
    faults=fault.open_only,
    assembly=Assembly("Resettable fuses"),
    appearance=Appearance(colour="#C09A55"),
)

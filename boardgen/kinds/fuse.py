"""Resettable fuses in the feeds of antennas."""

from __future__ import annotations

from boardgen.kinds.kind import TWO, Appearance, Assembly, Kind, KnownFigure, Paths, needed
from boardgen.kinds.symbol import ACROSS, BOX, THROUGH, Symbol

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
    assembly=Assembly("Resettable fuses"),
    appearance=Appearance(colour="#C09A55"),
)

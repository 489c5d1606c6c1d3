"""Resistors."""

from __future__ import annotations

from boardgen.kinds.kind import TWO, Appearance, Assembly, Kind, KnownFigure, Paths, needed
from boardgen.kinds.symbol import ACROSS, BOX, LEADS, Symbol

RESISTOR = Kind(
    name="resistor",
    figures={"resistance": needed("ohm"), "power": KnownFigure("W"), "rated voltage": KnownFigure("V")},
    letter="R",
    pins=TWO,
    symbols={"resistor": Symbol(ACROSS, LEADS, BOX)},
    paths=Paths(resistive=(TWO,)),
    assembly=Assembly("Resistors", assumed_height_nm=2_500_000),
    appearance=Appearance(colour="#B9A88A"),
)

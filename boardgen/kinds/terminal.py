"""Screw terminals for the control cable."""

from __future__ import annotations

from boardgen.kinds.kind import Appearance, Assembly, Kind, KnownFigure, Without, needed
from boardgen.kinds.symbol import Symbol, ring

MOST_WAYS = 12

TERMINAL = Kind(
    name="terminal",
    figures={
        "ways": needed("1"),
        "pitch": needed("m"),
        "rated current": KnownFigure("A"),
        "rated voltage": KnownFigure("V"),
    },
    letter="TB",
    pins=tuple(str(way) for way in range(1, MOST_WAYS + 1)),
    symbols={"terminal": Symbol(((1, 0),), "M0.4 0L1 0", ring(0, 0, 0.4), box=(-0.4, -0.4, 0.4, 0.4))},
    outside="line",
    bears_surge=True,
    radio=Without("a contact to a line that the far end of the control cable holds"),
    direct_current=Without("its pins are the points at which a meter or a cable meets the board"),
    ruined_by="drawing",
    assembly=Assembly("Terminals", assumed_height_nm=10_000_000, way_round="wire entry towards the edge of the board"),
    appearance=Appearance(colour="#87998D", names_each_pin=True),
)

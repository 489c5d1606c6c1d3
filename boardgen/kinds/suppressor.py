"""Suppressors: diodes that clamp a line of the control cable in both directions."""

from __future__ import annotations

from boardgen.kinds.kind import TWO, Appearance, Assembly, Kind, KnownFigure, Without, needed
from boardgen.kinds.symbol import ACROSS, THROUGH, Symbol

SUPPRESSOR = Kind(
    name="suppressor",
    figures={"stand-off voltage": needed("V"), "clamping voltage": KnownFigure("V")},
    letter="D",
    pins=TWO,
    symbols={
        "suppressor": Symbol(
            ACROSS,
            "M0 0L0.9 0M3.1 0L4 0",
            "M0.9 -0.55L2 0L0.9 0.55ZM3.1 -0.55L2 0L3.1 0.55ZM2.35 -0.85L2 -0.6L2 0.6L1.65 0.85",
            box=(0.9, -0.85, 3.1, 0.85),
        ),
        # anode, cathode
        "suppressor, one way": Symbol(ACROSS, THROUGH, "M1.4 -0.6L2.6 0L1.4 0.6ZM3 -0.8L2.6 -0.6L2.6 0.6L2.2 0.8"),
    },
    symbol_for=lambda part: "suppressor, one way" if "cathode" in part.pins else "suppressor",
    radio=Without("it lies between lines that the far end of the control cable holds"),
    assembly=Assembly("Suppressors", assumed_height_nm=3_500_000),
    appearance=Appearance(colour="#4B4B4B", dark=True),
)

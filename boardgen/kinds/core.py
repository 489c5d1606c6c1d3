"""Cores that are wound as transformers: the primary is the port's winding, the secondary the board's."""

from __future__ import annotations

from boardgen.kinds.kind import Appearance, Assembly, Kind, KnownFigure, Paths, RolePair, needed
from boardgen.kinds.symbol import PAIR_STEPS, Symbol, arcs, ring
from boardgen.model.netlist import Component

PRIMARY = ("primary start", "primary end")
SECONDARY = ("secondary start", "secondary end")


def _signal(component: Component) -> tuple[RolePair, ...]:
    """From start to start and end to end."""
    return tuple(zip(PRIMARY, SECONDARY, strict=True))


CORE = Kind(
    name="core",
    figures={
        "path constant": needed("m"),
        "length": needed("m"),
        "hole spacing": needed("m"),
        "hole diameter": needed("m"),
        "width": KnownFigure("m"),
        "height": KnownFigure("m"),
        "inductance factor": KnownFigure("H"),
    },
    letter="T",
    pins=(*PRIMARY, *SECONDARY),
    symbols={
        # primary start and end, secondary start and end
        "transformer": Symbol(
            ((0, 0), (0, PAIR_STEPS), (3, 0), (3, PAIR_STEPS)),
            f"M0 0L0 4M0 8L0 {PAIR_STEPS}M3 0L3 4M3 8L3 {PAIR_STEPS}",
            arcs(0, 4, 4, 0.5, "right") + arcs(3, 4, 4, 0.5, "left") + "M1.3 4L1.3 8M1.7 4L1.7 8",
            ring(-0.5, 4, 0.2) + ring(3.5, 4, 0.2),
            box=(-0.7, 3.8, 3.7, 8),
        )
    },
    paths=Paths(signal=_signal, low_resistance=(PRIMARY, SECONDARY)),
    is_wound=True,
    assembly=Assembly(
        "Wound cores",
        assumed_height_nm=8_000_000,
        is_late=True,
        note="Tie each core down before its leads are soldered; a core that swings breaks its own wire.",
        starts=((PRIMARY[0], "port winding's start"), (SECONDARY[0], "board winding's start")),
    ),
    appearance=Appearance(colour="#4A4F52", dark=True, marked="pin 1"),
)

"""Suppressors: diodes that clamp a line of the control cable in both directions."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.direct_current.curves import suppressor
from boardgen.direct_current.elements import Element as DirectElement
from boardgen.kinds.direct_current import DirectPart
from boardgen.kinds.fault import Fault, WholePart, shorted
from boardgen.kinds.kind import TWO, Appearance, Assembly, Kind, KnownFigure, Without, needed
from boardgen.kinds.symbol import ACROSS, THROUGH, Symbol

SLOPE_OHM = 1.0
"""Of a suppressor beyond its stand-off voltage: assumed."""
LEAK_OHM = 10e6
"""Of a suppressor at its worst, whose reverse current is not known: assumed."""
SAMPLE_LEAK_OHM = 1e9
"""Of one sample on the bench: assumed."""


def _direct_current(part: DirectPart) -> Iterator[DirectElement]:
    """It leaks up to its least stand-off voltage, and conducts beyond."""
    one, other = (part.nodes.get(role, "") for role in TWO)
    if one and other and one != other:
        stand_off_v = part.component.part.figures["stand-off voltage"].least
        yield suppressor(part.name, one, other, stand_off_v, SLOPE_OHM, SAMPLE_LEAK_OHM if part.on_bench else LEAK_OHM)


def _faults(part: WholePart) -> Iterator[Fault]:
    yield part.fault("short", shorted(part.elements[0]))


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
    direct_current=_direct_current,
    faults=_faults,
    assembly=Assembly("Suppressors", assumed_height_nm=3_500_000),
    appearance=Appearance(colour="#4B4B4B", dark=True),
)

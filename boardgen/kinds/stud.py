"""Threaded studs: the stake's, and those of a control entry by studs."""

from __future__ import annotations

from boardgen.kinds.kind import Appearance, Assembly, Kind, KnownFigure, Without
from boardgen.kinds.symbol import Symbol, ring

STUD = Kind(
    name="stud",
    figures={"thread diameter": KnownFigure("m"), "rated current": KnownFigure("A")},
    letter="TB",
    pins=("1",),
    symbols={"stud": Symbol(((1, 0),), "M0.6 0L1 0", ring(0, 0, 0.6), ring(0, 0, 0.25), box=(-0.6, -0.6, 0.6, 0.6))},
    outside="line",
    side_by_side=2,
    bears_surge=True,
    bolted=True,
    radio=Without("a contact to a line that the far end of the control cable, or the stake, holds"),
    direct_current=Without("its pins are the points at which a meter or a cable meets the board"),
    assembly=Assembly(
        "Studs",
        assumed_height_nm=15_000_000,
        late_since="it is bolted, and stands in the way of an iron",
        note="Toothed washer against the copper, two nuts locked against each other.",
        way_round="head below, nut above",
    ),
    appearance=Appearance(colour=""),
)

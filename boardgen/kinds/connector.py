"""Coax ports: a pigtail or a connector."""

from __future__ import annotations

from boardgen.kinds.kind import Appearance, Assembly, Kind, KnownFigure, Without
from boardgen.kinds.symbol import Symbol, ring

CONNECTOR = Kind(
    name="connector",
    figures={"impedance": KnownFigure("ohm")},
    letter="J",
    pins=("centre", "braid"),
    signal_pins=("centre", "braid"),
    symbols={
        # centre, braid
        "coax": Symbol(((3, 0), (1, 2)), "M1 0L3 0M1 1L1 2", ring(1, 0, 1), ring(1, 0, 0.25), box=(0, -1, 2, 1))
    },
    outside="port",
    bears_surge=True,
    instead='Or take connector = "pigtail", which needs no drawing',
    radio=Without("its cable and load are joined to its nets as the port"),
    direct_current=Without("its pins are the points at which a meter or a cable meets the board"),
    assembly=Assembly("Ports", in_the_box=True),
    appearance=Appearance(colour="", letters=(("C", ("centre",)), ("B", ("braid",)))),
)

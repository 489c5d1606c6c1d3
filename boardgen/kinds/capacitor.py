"""Capacitors: blocking ones in the signal path, and those that hold a line quiet."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.kinds import fault
from boardgen.kinds.kind import (
    TWO,
    Appearance,
    Assembly,
    Kind,
    KnownFigure,
    Paths,
    Without,
    assumed,
    in_series,
    needed,
)
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import ACROSS, Symbol
from boardgen.rf_network.element import Element


def _radio(part: RadioPart) -> Iterator[Element]:
    names = ("capacitance", "series resistance", "series inductance")
    return part.across("capacitor", *map(part.parameter, names))


CAPACITOR = Kind(
    name="capacitor",
    figures={
        "capacitance": needed("F"),
        "rated voltage": needed("V"),
        "series resistance": KnownFigure("ohm"),
        "series inductance": KnownFigure("H"),
    },
    letter="C",
    pins=TWO,
    symbols={
        "capacitor": Symbol(
            ACROSS, "M0 0L1.8 0M2.2 0L4 0", "M1.8 -0.8L1.8 0.8M2.2 -0.8L2.2 0.8", box=(1.8, -0.8, 2.2, 0.8)
        )
    },
    paths=Paths(signal=in_series),
    assumed={
        "series resistance": assumed(50e-3, "ohm", 10e-3, 200e-3, "small leaded ceramic or film type"),
        "series inductance": assumed(6e-9, "H", 4e-9, 10e-9, "body and two short leads"),
    },
    radio=_radio,
    direct_current=Without("it passes no direct current"),
    faults=fault.open_or_bridged,
    rating="rated voltage",
    assembly=Assembly("Capacitors", assumed_height_nm=7_000_000),
    appearance=Appearance(colour="#B48C5A"),
)

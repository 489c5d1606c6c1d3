"""Diodes: across the coils of relays and in series with them."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.kinds import fault, junction
from boardgen.kinds.kind import Appearance, Assembly, Kind, KnownFigure, Mark, Paths, assumed, needed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import ACROSS, ARROW, THROUGH, Symbol
from boardgen.rf_network.element import Element

ENDS = ("anode", "cathode")


def _radio(part: RadioPart) -> Iterator[Element]:
    """Not conducting: a conducting one would only hold its net better."""
    return part.between("capacitance", ENDS, part.capacitance("capacitance"))


DIODE = Kind(
    name="diode",
    figures={
        "forward voltage": needed("V"),
        "rated current": needed("A"),
        "reverse voltage": needed("V"),
        "surge current": KnownFigure("A"),
        "capacitance": KnownFigure("F"),
        "reverse current": KnownFigure("A"),
        "emission coefficient": KnownFigure("1"),
        "series resistance": KnownFigure("ohm"),
    },
    letter="D",
    pins=ENDS,
    symbols={"diode": Symbol(ACROSS, THROUGH, ARROW)},
    paths=Paths(resistive=(ENDS,)),
    assumed={"capacitance": assumed(20e-12, "F", 2e-12, 110e-12, "not conducting, near zero volts")},
    radio=_radio,
    direct_current=junction.direct_current,
    faults=fault.polarised,
    rating="reverse voltage",
    assembly=Assembly("Diodes", assumed_height_nm=2_500_000, mark=Mark("cathode", "band", "cathode")),
    appearance=Appearance(colour="#5B4A40", dark=True, marked="cathode"),
)

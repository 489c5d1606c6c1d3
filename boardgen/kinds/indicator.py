"""Indicator lamps beside the coils of relays: light-emitting diodes."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.kinds import fault, junction
from boardgen.kinds.kind import Appearance, Assembly, Kind, KnownFigure, Mark, Paths, assumed, needed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import ACROSS, ARROW, THROUGH, Symbol
from boardgen.rf_network.element import Element

ENDS = ("anode", "cathode")


def _radio(part: RadioPart) -> Iterator[Element]:
    """Not lit."""
    return part.between("capacitance", ENDS, part.capacitance("capacitance"))


INDICATOR = Kind(
    name="indicator",
    figures={"forward voltage": needed("V"), "rated current": KnownFigure("A"), "capacitance": KnownFigure("F")},
    # IEEE 315 has DS for a lamp; D by custom
    letter="D",
    pins=ENDS,
    symbols={
        "indicator": Symbol(
            ACROSS,
            THROUGH,
            ARROW + "M1.7 -0.9L2.3 -1.5M2.3 -0.9L2.9 -1.5",
            "M2.45 -1.65L2.05 -1.5L2.3 -1.25ZM3.05 -1.65L2.65 -1.5L2.9 -1.25Z",
            box=(1.4, -1.65, 3.05, 0.6),
        )
    },
    paths=Paths(resistive=(ENDS,)),
    assumed={"capacitance": assumed(30e-12, "F", 10e-12, 100e-12, "not lit")},
    radio=_radio,
    direct_current=junction.direct_current,
    faults=fault.polarised,
    assembly=Assembly(
        "Lamps",
        assumed_height_nm=8_000_000,
        mark=Mark("cathode", "cathode: the flat, the shorter lead", "cathode"),
    ),
    appearance=Appearance(colour="#B98A81", is_round=True, marked="cathode"),
)

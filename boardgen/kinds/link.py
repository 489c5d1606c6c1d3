"""Wire links."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.direct_current.elements import Element as DirectElement
from boardgen.kinds import fault
from boardgen.kinds.direct_current import JOINT_OHM, DirectPart, Ohms
from boardgen.kinds.kind import TWO, Appearance, Assembly, Kind, KnownFigure, Paths, assumed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import ACROSS, LEADS, Symbol, ring
from boardgen.rf_network.element import Element


def _radio(part: RadioPart) -> Iterator[Element]:
    return part.across("conductor", part.parameter("resistance"), part.parameter("inductance"))


def _direct_current(part: DirectPart) -> Iterator[DirectElement]:
    return part.across(Ohms(JOINT_OHM, JOINT_OHM, JOINT_OHM, "assumed"))


LINK = Kind(
    name="link",
    figures={"pitch": KnownFigure("m"), "resistance": KnownFigure("ohm"), "inductance": KnownFigure("H")},
    # W by custom
    letter="W",
    bears_surge=True,
    pins=TWO,
    symbols={
        "link": Symbol(ACROSS, LEADS, "M1.4 0L2.6 0" + ring(1.2, 0, 0.2) + ring(2.8, 0, 0.2), box=(1, -0.3, 3, 0.3))
    },
    paths=Paths(low_resistance=(TWO,)),
    assumed={
        "resistance": assumed(1e-3, "ohm", 0.5e-3, 2e-3, "5 mm of tinned wire"),
        "inductance": assumed(4e-9, "H", 2e-9, 6e-9, "5 mm of wire"),
    },
    radio=_radio,
    direct_current=_direct_current,
    faults=fault.open_only,
    assembly=Assembly(
        "Wire links",
        assumed_height_nm=1_000_000,
        note="Bend each link flat on the board; it joins nets that the table of resistances will check.",
    ),
    appearance=Appearance(colour="#C9CCC8"),
)

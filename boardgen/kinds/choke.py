"""Chokes with one winding on a drum, through which an antenna is fed or its static charge leaves."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.direct_current.elements import Element as DirectElement
from boardgen.handbook import reactance
from boardgen.kinds import fault
from boardgen.kinds.direct_current import DirectPart
from boardgen.kinds.kind import Appearance, Assembly, Kind, KnownFigure, Paths, assumed, needed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import ACROSS, Symbol, arcs
from boardgen.model.figure import Figure
from boardgen.rf_network.element import Element, exact, parameter

ENDS = ("start", "end")


def _radio(part: RadioPart) -> Iterator[Element]:
    """The user's own curve where there is one, else inductance, loss and the capacitance of the self resonance."""
    if part.curve:
        return part.across("measured", exact("scale", 1.0, "1", "own measurement"), material=part.curve)
    figures = part.component.part.figures
    farad = reactance.resonant_capacitance(figures["inductance"].value, figures["self resonance"].value)
    # a typical self resonance: the capacitance of a sample may lie a quarter off
    across = Figure(farad, "F", "computed", "self resonance and inductance", 0.75 * farad, 1.25 * farad)
    names = ("inductance", "dc resistance", "quality")
    return part.across("choke", *map(part.parameter, names), parameter("parallel capacitance", across))


def _direct_current(part: DirectPart) -> Iterator[DirectElement]:
    return part.across(part.copper("dc resistance"))


CHOKE = Kind(
    name="choke",
    figures={
        "inductance": needed("H"),
        "dc resistance": needed("ohm"),
        "self resonance": needed("Hz"),
        "rated current": needed("A"),
        "quality": KnownFigure("1"),
    },
    letter="L",
    pins=ENDS,
    symbols={
        # the line is the magnetic core
        "choke": Symbol(
            ACROSS,
            "M0 0L0.8 0M3.2 0L4 0",
            arcs(0.8, 0, 4, 0.3, "up") + "M0.8 -0.65L3.2 -0.65",
            box=(0.8, -0.65, 3.2, 0.2),
        )
    },
    paths=Paths(low_resistance=(ENDS,)),
    assumed={"quality": assumed(30.0, "1", 15.0, 60.0, "low end of the drum chokes in the catalogue")},
    radio=_radio,
    direct_current=_direct_current,
    faults=fault.open_or_short,
    rating="rated current",
    carries_feed=True,
    is_wound=True,
    open_core=True,
    assembly=Assembly(
        "Feed chokes", note="Press the choke down; a tall one is torn off by its own weight when the box is dropped."
    ),
    appearance=Appearance(colour="#3E4346", dark=True, is_round=True),
)

"""Bifilar chokes: two equal windings on one core, one for each conductor of a feed."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.direct_current.elements import Element as DirectElement
from boardgen.kinds.direct_current import DirectPart
from boardgen.kinds.fault import DRY_JOINT, Fault, WholePart, opened
from boardgen.kinds.kind import Appearance, Assembly, Kind, KnownFigure, Mark, Paths, assumed, needed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import Symbol, arcs, ring
from boardgen.rf_network.element import Element

WINDINGS = {letter: (f"winding {letter} start", f"winding {letter} end") for letter in "AB"}


def _radio(part: RadioPart) -> Iterator[Element]:
    """Two coupled windings, and the capacitance between them shared by their starts and their ends."""
    names = ("inductance", "dc resistance", "quality", "parallel capacitance", "leakage inductance")
    yield part.coupled("bifilar", tuple(WINDINGS.values()), tuple(map(part.parameter, names)))
    half = part.capacitance("interwinding capacitance", 0.5)
    for roles in zip(*WINDINGS.values(), strict=True):
        yield from part.between("capacitance", roles, half)


def _direct_current(part: DirectPart) -> Iterator[DirectElement]:
    for letter, roles in WINDINGS.items():
        yield from part.resistance(roles, part.copper("dc resistance"), f"winding {letter}")


def _faults(part: WholePart) -> Iterator[Fault]:
    for letter, winding in zip(WINDINGS, part.elements, strict=True):
        yield part.fault(f"winding {letter} {DRY_JOINT}", opened(winding))


BIFILAR_CHOKE = Kind(
    name="bifilar choke",
    figures={
        "inductance": needed("H"),
        "dc resistance": needed("ohm"),
        "rated current": needed("A"),
        "parallel capacitance": needed("F"),
        "leakage inductance": KnownFigure("H"),
        "quality": KnownFigure("1"),
        "interwinding capacitance": KnownFigure("F"),
        "rated voltage": KnownFigure("V"),
    },
    letter="L",
    pins=(*WINDINGS["A"], *WINDINGS["B"]),
    symbols={
        # winding A start and end, winding B start and end
        "bifilar choke": Symbol(
            ((0, 0), (4, 0), (0, 3), (4, 3)),
            "M0 0L0.4 0M3.6 0L4 0M0 3L0.4 3M3.6 3L4 3",
            arcs(0.4, 0, 4, 0.4, "down") + arcs(0.4, 3, 4, 0.4, "up") + "M0.4 1.3L3.6 1.3M0.4 1.7L3.6 1.7",
            ring(0.2, 0.6, 0.2) + ring(0.2, 2.4, 0.2),
            box=(0, 0, 4, 3),
        )
    },
    paths=Paths(low_resistance=tuple(WINDINGS.values())),
    assumed={
        "leakage inductance": assumed(300e-9, "H", 100e-9, 1e-6, "as small bifilar types in the catalogue"),
        "quality": assumed(30.0, "1", 10.0, 60.0, "as a drum choke"),
        "interwinding capacitance": assumed(50e-12, "F", 20e-12, 150e-12, "two wires wound as a pair"),
    },
    radio=_radio,
    direct_current=_direct_current,
    faults=_faults,
    rating="rated current",
    carries_feed=True,
    is_wound=True,
    assembly=Assembly("Bifilar chokes", mark=Mark("winding A start", "", "start of winding A")),
    appearance=Appearance(colour="#3E4346", dark=True, marked="pin 1"),
)

"""Gas discharge tubes, of two electrodes or of three with earth in the middle."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.kinds.fault import Fault, WholePart, bridged
from boardgen.kinds.kind import TWO, Appearance, Assembly, Kind, KnownFigure, Without, assumed, needed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import ACROSS, Symbol, ring
from boardgen.rf_network.element import Element

LINES, EARTH = ("line A", "line B"), "earth"
_LEADS = "M0 0L1.5 0M2.5 0L4 0"
_TUBE = f"M1.5 -0.45L1.5 0.45M2.5 -0.45L2.5 0.45{ring(2, 0, 1.1)}"


def _radio(part: RadioPart) -> Iterator[Element]:
    """The capacitance across it, or from each line to earth."""
    value = part.capacitance("capacitance")
    if EARTH not in part.component.part.pins:
        yield from part.across("capacitance", value)
    for line in LINES:
        yield from part.between("capacitance", (line, EARTH), value)


def _faults(part: WholePart) -> Iterator[Fault]:
    """Bridged; a tube of three electrodes may fail to either line."""
    if EARTH not in part.pin_nets:
        yield from bridged(part)
        return
    for line in (role for role in part.pin_nets if role != EARTH):
        words = "short" if len(part.pin_nets) == 2 else f"short from {line} to {EARTH}"
        yield part.short(line, EARTH, words)


GAS_TUBE = Kind(
    name="gas tube",
    figures={
        "spark-over voltage": needed("V"),
        "surge current": KnownFigure("A"),
        "holdover voltage": KnownFigure("V"),
        "capacitance": KnownFigure("F"),
    },
    letter="E",
    bears_surge=True,
    pins=(*TWO, *LINES, EARTH),
    signal_pins=LINES,
    symbols={
        "gas tube": Symbol(ACROSS, _LEADS, _TUBE, ring(2, 0.7, 0.15), box=(0.9, -1.1, 3.1, 1.1)),
        # line A, line B, earth
        "gas tube of three": Symbol(
            (*ACROSS, (2, 2)),
            _LEADS + "M2 2L2 0.6",
            _TUBE + "M1.75 0.6L2.25 0.6",
            ring(2, -0.7, 0.15),
            box=(0.9, -1.1, 3.1, 1.1),
        ),
    },
    assumed={"capacitance": assumed(1e-12, "F", 0.5e-12, 2e-12, "makers state at most 1 to 1.5 pF (recalled)")},
    ruined_by="leads",
    radio=_radio,
    direct_current=Without("it passes no direct current below its spark-over voltage"),
    faults=_faults,
    assembly=Assembly("Gas tubes", note="Leave a millimetre of air under the tube: it gets hot when it fires."),
    appearance=Appearance(colour="#B7BCBD"),
)

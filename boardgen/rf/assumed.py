"""Strays that no sheet in the catalogue gives: each assumed, with the range it may take, until it is measured.

A figure of the same name in the catalogue, or in a user's own folder of parts, always wins.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from boardgen.model.figure import Figure
from boardgen.model.part import Part
from boardgen.model.transformer import WindingStyle


def _assumed(value: float, unit: str, low: float, high: float, why: str) -> Figure:
    return Figure(value, unit, "assumed", f"assumed: {why}", low, high)


_RELAY: Final[Mapping[str, Figure]] = {
    "contact resistance": _assumed(80e-3, "ohm", 20e-3, 150e-3, "between the 50 and 100 mohm that makers allow"),
    "contact inductance": _assumed(8e-9, "H", 5e-9, 12e-9, "about 10 mm of lead and spring"),
    "open contact capacitance": _assumed(1e-12, "F", 0.4e-12, 2e-12, "other makers of this size say 0.4 to 2 pF"),
    "pole to pole capacitance": _assumed(1e-12, "F", 0.2e-12, 2e-12, "other makers of this size say 0.2 to 2 pF"),
    "coil to contact capacitance": _assumed(1e-12, "F", 0.9e-12, 4e-12, "other makers of this size say 0.9 to 4 pF"),
    "coil to fixed contact capacitance": _assumed(0.5e-12, "F", 0.2e-12, 2e-12, "half of the moving contact's"),
}
_CAPACITOR: Final[Mapping[str, Figure]] = {
    "series resistance": _assumed(50e-3, "ohm", 10e-3, 200e-3, "small leaded ceramic or film type"),
    "series inductance": _assumed(6e-9, "H", 4e-9, 10e-9, "body and two short leads"),
}

ASSUMED: Final[Mapping[str, Mapping[str, Figure]]] = {
    "relay": _RELAY,
    "capacitor": _CAPACITOR,
    "choke": {"quality": _assumed(30.0, "1", 15.0, 60.0, "low end of the drum chokes in the catalogue")},
    "bifilar choke": {
        "leakage inductance": _assumed(300e-9, "H", 100e-9, 1e-6, "as small bifilar types in the catalogue"),
        "quality": _assumed(30.0, "1", 10.0, 60.0, "as a drum choke"),
        "interwinding capacitance": _assumed(50e-12, "F", 20e-12, 150e-12, "two wires wound as a pair"),
    },
    "gas tube": {"capacitance": _assumed(1e-12, "F", 0.5e-12, 2e-12, "makers state at most 1 to 1.5 pF (recalled)")},
    "diode": {"capacitance": _assumed(20e-12, "F", 2e-12, 110e-12, "not conducting, near zero volts")},
    "indicator": {"capacitance": _assumed(30e-12, "F", 10e-12, 100e-12, "not lit")},
    "link": {
        "resistance": _assumed(1e-3, "ohm", 0.5e-3, 2e-3, "5 mm of tinned wire"),
        "inductance": _assumed(4e-9, "H", 2e-9, 6e-9, "5 mm of wire"),
    },
}
"""Kind of part, then name of the figure."""

INTERWINDING_F_PER_M: Final[Mapping[WindingStyle, Figure]] = {
    "apart": _assumed(60e-12, "F/m", 20e-12, 120e-12, "per metre of winding, side by side in the same holes"),
    "pair": _assumed(125e-12, "F/m", 80e-12, 180e-12, "per metre of two touching enamelled wires"),
}
LEAKAGE_SPREAD: Final = (0.4, 2.0)
"""Lowest and highest true leakage over the estimate from geometry: assumed."""
SPLIT: Final = _assumed(0.5, "1", 0.0, 1.0, "share of the interwinding capacitance between the starts; unknown")
CORE_SPREAD: Final = 0.25
"""Permeability may lie this share off its table, either way: the makers' 20 to 25 % (recalled)."""

_LAID: Final = "as on boards of the two-layer layout, until the board itself is laid out"
PORT_COPPER: Final = _assumed(1.5e-12, "F", 0.7e-12, 3e-12, f"each conductor of an antenna's port to 0V, {_LAID}")
LONG_COPPER: Final = _assumed(2.6e-12, "F", 1e-12, 5e-12, f"each conductor of the output or a feed to 0V, {_LAID}")
STRIP_COPPER: Final = _assumed(0.5e-12, "F", 0.2e-12, 1.5e-12, f"each conductor at a relay's contact to 0V, {_LAID}")
BUS_COPPER: Final = _assumed(2e-12, "F", 1e-12, 4e-12, f"each conductor of the bus to 0V, a strip, {_LAID}")
RUN_COPPER: Final = _assumed(100e-9, "H", 40e-9, 200e-9, f"loop of copper from a port to the output, {_LAID}")


def figure(part: Part, name: str) -> Figure:
    """The catalogue's figure, else the assumed one; KeyError where there is neither."""
    return part.figures[name] if name in part.figures else ASSUMED[part.kind][name]

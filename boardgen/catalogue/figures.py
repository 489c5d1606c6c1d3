"""The closed table of figures a part of each kind may have."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple


class Known(NamedTuple):
    """Unit of a figure, and whether a part without it cannot be sized."""

    unit: str
    needed: bool = False


def _needed(unit: str) -> Known:
    return Known(unit, needed=True)


_LARGEST = {"largest x": _needed("m"), "largest y": _needed("m")}

FIGURES: Final[Mapping[str, Mapping[str, Known]]] = {
    "relay": {
        "coil voltage": _needed("V"),
        "coil resistance": _needed("ohm"),
        "must operate": _needed("V"),
        "must release": Known("V"),
        "maximum coil voltage": _needed("V"),
        "coil power": Known("W"),
        "thermal resistance": Known("K/W"),
        "open contact capacitance": Known("F"),
        "pole to pole capacitance": Known("F"),
        "coil to contact capacitance": Known("F"),
        "coil to fixed contact capacitance": Known("F"),
        "contact resistance": Known("ohm"),
        "contact inductance": Known("H"),
        "operate time": Known("s"),
        "release time": Known("s"),
        "lowest temperature": Known("degC"),
        "highest temperature": Known("degC"),
    },
    "choke": {
        "inductance": _needed("H"),
        "dc resistance": _needed("ohm"),
        "self resonance": _needed("Hz"),
        "rated current": _needed("A"),
        "quality": Known("1"),
    },
    "bifilar choke": {
        "inductance": _needed("H"),
        "dc resistance": _needed("ohm"),
        "rated current": _needed("A"),
        "parallel capacitance": _needed("F"),
        "leakage inductance": Known("H"),
        "quality": Known("1"),
        "interwinding capacitance": Known("F"),
        "rated voltage": Known("V"),
    },
    "capacitor": {
        "capacitance": _needed("F"),
        "rated voltage": _needed("V"),
        "series resistance": Known("ohm"),
        "series inductance": Known("H"),
    },
    "core": {
        "path constant": _needed("m"),
        "length": _needed("m"),
        "hole spacing": _needed("m"),
        "hole diameter": _needed("m"),
        "width": Known("m"),
        "height": Known("m"),
        "inductance factor": Known("H"),
    },
    "winding wire": {"diameter": Known("m"), "insulated diameter": _needed("m")},
    "cable": {"diameter": Known("m"), "outer diameter": Known("m"), "impedance": Known("ohm")},
    "resistor": {"resistance": _needed("ohm"), "power": Known("W"), "rated voltage": Known("V")},
    "diode": {
        "forward voltage": _needed("V"),
        "rated current": _needed("A"),
        "reverse voltage": _needed("V"),
        "surge current": Known("A"),
        "capacitance": Known("F"),
        "reverse current": Known("A"),
        "emission coefficient": Known("1"),
        "series resistance": Known("ohm"),
    },
    "suppressor": {"stand-off voltage": _needed("V"), "clamping voltage": Known("V")},
    "gas tube": {
        "spark-over voltage": _needed("V"),
        "surge current": Known("A"),
        "holdover voltage": Known("V"),
        "capacitance": Known("F"),
    },
    "terminal": {
        "ways": _needed("1"),
        "pitch": _needed("m"),
        "rated current": Known("A"),
        "rated voltage": Known("V"),
    },
    "stud": {"thread diameter": Known("m"), "rated current": Known("A")},
    "jack": {"ways": _needed("1"), "rated current": Known("A")},
    "connector": {"impedance": Known("ohm")},
    "indicator": {"forward voltage": _needed("V"), "rated current": Known("A"), "capacitance": Known("F")},
    "fuse": {
        "hold current": _needed("A"),
        "trip current": Known("A"),
        "rated voltage": _needed("V"),
        "resistance": _needed("ohm"),
        "largest fault current": Known("A"),
    },
    "cable fuse": {"rated current": _needed("A"), "rated voltage": Known("V")},
    "switch": {"poles": _needed("1"), "positions": _needed("1"), "rated current": Known("A")},
    "link": {"pitch": Known("m"), "resistance": Known("ohm"), "inductance": Known("H")},
    "enclosure": {"length": Known("m"), "width": Known("m"), "height": Known("m"), **_LARGEST},
    "hardware": {},
    "bare board": _LARGEST,
    "board rate": {},
}
"""Kind, then name of the figure."""

_POLES = tuple(f"pole {pole} {end}" for pole in "AB" for end in ("common", "normally closed", "normally open"))
_WAYS = tuple(str(way) for way in range(1, 13))
_TWO = ("1", "2")

PINS: Final[Mapping[str, tuple[str, ...]]] = {
    "relay": ("coil +", "coil -", *_POLES),
    "choke": ("start", "end"),
    "bifilar choke": ("winding A start", "winding A end", "winding B start", "winding B end"),
    "capacitor": _TWO,
    "core": ("primary start", "primary end", "secondary start", "secondary end"),
    "resistor": _TWO,
    "diode": ("anode", "cathode"),
    "suppressor": _TWO,
    "gas tube": (*_TWO, "line A", "line B", "earth"),
    "terminal": _WAYS,
    "stud": ("1",),
    "jack": _WAYS,
    "connector": ("centre", "braid"),
    "indicator": ("anode", "cathode"),
    "fuse": _TWO,
    "link": _TWO,
}
"""Pin roles a part of each kind may have; kinds that do not stand on the board are absent."""

"""The symbols of the schematic in the manner of IEC 60617 (shapes recalled), as plain data.

A symbol lies along x with its first terminal at the origin, in steps of the raster. Its strokes are SVG paths of
absolute lines, arcs and closed shapes; filled ones stand apart.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.model.sketch import Point

ACROSS: tuple[Point, ...] = ((0, 0), (4, 0))
PAIR_STEPS = 12
"""From the row of the centre conductor down to that of the braid."""
REST_STEPS = 2
"""From the row of a pole to that of its normally closed contact."""
JACK_PINS = 8
JACK_STEPS = 2


class Symbol(Struct, frozen=True):
    """`leads` run from the terminals to the body, whose left, top, right and bottom are `box`."""

    terminals: tuple[Point, ...]
    leads: str
    outline: str
    filled: str = ""
    box: tuple[float, float, float, float] = (1, -0.6, 3, 0.6)


def _arcs(x: float, y: float, count: int, radius: float, way: str) -> str:
    """Half circles in a row: along x bulging "up" or "down", along y bulging "left" or "right"."""
    step = 2 * radius
    if way in ("up", "down"):
        sweep = 1 if way == "up" else 0
        return f"M{x} {y}" + "".join(
            f"A{radius} {radius} 0 0 {sweep} {round(x + step * n, 3)} {y}" for n in range(1, count + 1)
        )
    sweep = 1 if way == "right" else 0
    return f"M{x} {y}" + "".join(
        f"A{radius} {radius} 0 0 {sweep} {x} {round(y + step * n, 3)}" for n in range(1, count + 1)
    )


def _ring(x: float, y: float, radius: float) -> str:
    return f"M{x - radius} {y}A{radius} {radius} 0 1 1 {x + radius} {y}A{radius} {radius} 0 1 1 {x - radius} {y}Z"


_LEADS = "M0 0L1 0M3 0L4 0"
_BOX = "M1 -0.4L3 -0.4L3 0.4L1 0.4Z"
_TUBE_LEADS = "M0 0L1.5 0M2.5 0L4 0"
_TUBE = f"M1.5 -0.45L1.5 0.45M2.5 -0.45L2.5 0.45{_ring(2, 0, 1.1)}"
_THROUGH = "M0 0L4 0"
_DIODE = "M1.4 -0.6L2.6 0L1.4 0.6ZM2.6 -0.6L2.6 0.6"
_JACK_END = JACK_STEPS * JACK_PINS - 0.8

SYMBOLS: Mapping[str, Symbol] = {
    "resistor": Symbol(ACROSS, _LEADS, _BOX),
    "fuse": Symbol(ACROSS, _THROUGH, _BOX),
    "capacitor": Symbol(
        ACROSS, "M0 0L1.8 0M2.2 0L4 0", "M1.8 -0.8L1.8 0.8M2.2 -0.8L2.2 0.8", box=(1.8, -0.8, 2.2, 0.8)
    ),
    # the line is the magnetic core
    "choke": Symbol(
        ACROSS,
        "M0 0L0.8 0M3.2 0L4 0",
        _arcs(0.8, 0, 4, 0.3, "up") + "M0.8 -0.65L3.2 -0.65",
        box=(0.8, -0.65, 3.2, 0.2),
    ),
    "diode": Symbol(ACROSS, _THROUGH, _DIODE),
    "indicator": Symbol(
        ACROSS,
        _THROUGH,
        _DIODE + "M1.7 -0.9L2.3 -1.5M2.3 -0.9L2.9 -1.5",
        "M2.45 -1.65L2.05 -1.5L2.3 -1.25ZM3.05 -1.65L2.65 -1.5L2.9 -1.25Z",
        box=(1.4, -1.65, 3.05, 0.6),
    ),
    # anode, cathode
    "suppressor, one way": Symbol(ACROSS, _THROUGH, "M1.4 -0.6L2.6 0L1.4 0.6ZM3 -0.8L2.6 -0.6L2.6 0.6L2.2 0.8"),
    "suppressor": Symbol(
        ACROSS,
        "M0 0L0.9 0M3.1 0L4 0",
        "M0.9 -0.55L2 0L0.9 0.55ZM3.1 -0.55L2 0L3.1 0.55ZM2.35 -0.85L2 -0.6L2 0.6L1.65 0.85",
        box=(0.9, -0.85, 3.1, 0.85),
    ),
    "gas tube": Symbol(ACROSS, _TUBE_LEADS, _TUBE, _ring(2, 0.7, 0.15), box=(0.9, -1.1, 3.1, 1.1)),
    # line A, line B, earth
    "gas tube of three": Symbol(
        (*ACROSS, (2, 2)),
        _TUBE_LEADS + "M2 2L2 0.6",
        _TUBE + "M1.75 0.6L2.25 0.6",
        _ring(2, -0.7, 0.15),
        box=(0.9, -1.1, 3.1, 1.1),
    ),
    "link": Symbol(ACROSS, _LEADS, "M1.4 0L2.6 0" + _ring(1.2, 0, 0.2) + _ring(2.8, 0, 0.2), box=(1, -0.3, 3, 0.3)),
    # positive, negative
    "coil": Symbol(ACROSS, "M0 0L1.3 0M2.7 0L4 0", "M1.3 -1.1L2.7 -1.1L2.7 1.1L1.3 1.1Z", box=(1.3, -1.1, 2.7, 1.1)),
    # common, normally open, normally closed; at rest
    "pole": Symbol(
        ((0, 0), (4, 0), (4, REST_STEPS)),
        "M0 0L1 0M4 0L3 0M4 2L3 2",
        "M1 0L3.2 2.2M3 0L3 0.4M3 2L3 2.4",
        box=(0.8, 0, 3.2, 2.4),
    ),
    # primary start and end, secondary start and end
    "transformer": Symbol(
        ((0, 0), (0, PAIR_STEPS), (3, 0), (3, PAIR_STEPS)),
        f"M0 0L0 4M0 8L0 {PAIR_STEPS}M3 0L3 4M3 8L3 {PAIR_STEPS}",
        _arcs(0, 4, 4, 0.5, "right") + _arcs(3, 4, 4, 0.5, "left") + "M1.3 4L1.3 8M1.7 4L1.7 8",
        _ring(-0.5, 4, 0.2) + _ring(3.5, 4, 0.2),
        box=(-0.7, 3.8, 3.7, 8),
    ),
    # winding A start and end, winding B start and end
    "bifilar choke": Symbol(
        ((0, 0), (4, 0), (0, 3), (4, 3)),
        "M0 0L0.4 0M3.6 0L4 0M0 3L0.4 3M3.6 3L4 3",
        _arcs(0.4, 0, 4, 0.4, "down") + _arcs(0.4, 3, 4, 0.4, "up") + "M0.4 1.3L3.6 1.3M0.4 1.7L3.6 1.7",
        _ring(0.2, 0.6, 0.2) + _ring(0.2, 2.4, 0.2),
        box=(0, 0, 4, 3),
    ),
    # centre, braid
    "coax": Symbol(((3, 0), (1, 2)), "M1 0L3 0M1 1L1 2", _ring(1, 0, 1), _ring(1, 0, 0.25), box=(0, -1, 2, 1)),
    "terminal": Symbol(((1, 0),), "M0.4 0L1 0", _ring(0, 0, 0.4), box=(-0.4, -0.4, 0.4, 0.4)),
    "stud": Symbol(((1, 0),), "M0.6 0L1 0", _ring(0, 0, 0.6), _ring(0, 0, 0.25), box=(-0.6, -0.6, 0.6, 0.6)),
    # pins 1 to 8
    "jack": Symbol(
        tuple((4, JACK_STEPS * n) for n in range(JACK_PINS)),
        "".join(f"M3 {JACK_STEPS * n}L4 {JACK_STEPS * n}" for n in range(JACK_PINS)),
        f"M0 -1.2L3 -1.2L3 {_JACK_END}L0 {_JACK_END}Z",
        box=(0, -1.2, 3, _JACK_END),
    ),
}

MARKS: Mapping[str, str] = {
    "0V": "M0 0L0 1M-0.7 1L0.7 1",
    "earth": "M0 0L0 1M-0.9 1L0.9 1M-0.55 1.35L0.55 1.35M-0.2 1.7L0.2 1.7",
}
"""The signs of the common nets, from the wire's end downward."""

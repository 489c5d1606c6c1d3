"""Modular jacks of eight contacts for a data cable as control cable."""

from __future__ import annotations

from boardgen.kinds.kind import Assembly, Kind, KnownFigure, Without, needed
from boardgen.kinds.symbol import Symbol

PINS = 8
MOST_WAYS = 12
PIN_STEPS = 2
"""From one pin of the symbol to the next."""
_LOW = PIN_STEPS * PINS - 0.8

JACK = Kind(
    name="jack",
    figures={"ways": needed("1"), "rated current": KnownFigure("A")},
    letter="J",
    pins=tuple(str(way) for way in range(1, MOST_WAYS + 1)),
    may_be_free=tuple(str(pin) for pin in range(1, PINS + 1)),
    symbols={
        "jack": Symbol(
            tuple((4, PIN_STEPS * n) for n in range(PINS)),
            "".join(f"M3 {PIN_STEPS * n}L4 {PIN_STEPS * n}" for n in range(PINS)),
            f"M0 -1.2L3 -1.2L3 {_LOW}L0 {_LOW}Z",
            box=(0, -1.2, 3, _LOW),
        )
    },
    outside="line",
    instead='Or take entry = "terminals" or "studs" under [control]',
    radio=Without("a contact to lines that the far end of the control cable holds"),
    direct_current=Without("its pins are the points at which a meter or a cable meets the board"),
    assembly=Assembly("Jacks", assumed_height_nm=13_000_000, way_round="opening towards the edge of the board"),
)

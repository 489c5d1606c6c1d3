"""What a control cable's conductor is made of, as written: a gauge, an area, or a resistance per length."""

from __future__ import annotations

import re
from typing import Literal

from msgspec import Struct

from boardgen.spec import quantity
from boardgen.spec.quantity import refusal

_WANTED = 'write a gauge "24 AWG", an area "0.5 mm2" or a resistance "93.8 ohm/km" of one conductor at 20 degC'
_GAUGE = re.compile(r"(?:AWG ?#?([0-9]{1,2})|#?([0-9]{1,2}) ?AWG)", re.IGNORECASE)
_AREA = re.compile(r".*[0-9] ?(?:mm.?2|sq\.? mm|mm)")
_RESISTANCE = re.compile(r"(.+?) ?(?:/| per ) ?(.+)")

COARSEST_GAUGE = 4
FINEST_GAUGE = 40
SMALLEST_AREA_M2 = 0.004e-6
LARGEST_AREA_M2 = 25e-6
LOWEST_OHM_PER_M = 0.5e-3
HIGHEST_OHM_PER_M = 4.0


class Conductor(Struct, frozen=True):
    """One conductor of a cable as it was written; what was not written is None.

    Resistance in ohm per metre at 20 degC, gauge in AWG, area in square metres.
    """

    text: str
    kind: Literal["gauge", "area", "resistance"]
    ohm_per_m_20c: float | None = None
    gauge: int | None = None
    area_m2: float | None = None


def conductor(text: object) -> Conductor:
    """The conductor written as "24 AWG", "0.5 mm2", "93.8 ohm/km" or "28.6 ohm per 1000 ft".

    Raises FieldError where it is none of these, or no size of a control cable.
    """
    cleaned = quantity.short_text(text, _WANTED)
    if gauge := _GAUGE.fullmatch(cleaned):
        return _by_gauge(cleaned, int(gauge[1] or gauge[2]))
    if _AREA.fullmatch(cleaned):
        return _by_area(cleaned)
    if resistance := _RESISTANCE.fullmatch(cleaned):
        return _by_resistance(cleaned, resistance[1], resistance[2])
    raise refusal(cleaned, "is not a size of a conductor", _WANTED)


def _by_gauge(text: str, gauge: int) -> Conductor:
    if not COARSEST_GAUGE <= gauge <= FINEST_GAUGE:
        raise refusal(text, "is no gauge of a control cable", f"allowed is {COARSEST_GAUGE} to {FINEST_GAUGE} AWG")
    return Conductor(text, "gauge", gauge=gauge)


def _by_area(text: str) -> Conductor:
    area_m2 = quantity.parse(text, "m2")
    if not SMALLEST_AREA_M2 <= area_m2 <= LARGEST_AREA_M2:
        allowed = f"allowed is {SMALLEST_AREA_M2 * 1e6:g} to {LARGEST_AREA_M2 * 1e6:g} mm2"
        raise refusal(text, "is no area of a control cable's conductor", allowed)
    return Conductor(text, "area", area_m2=area_m2)


def _by_resistance(text: str, resistance: str, length: str) -> Conductor:
    if re.search(r"\b(loop|pair)\b", text, re.IGNORECASE):
        raise refusal(text, "counts both conductors", f"halve it: {_WANTED}")
    length_m = quantity.parse(length if length[0].isdigit() else f"1 {length}", "m")
    if length_m <= 0.0:
        raise refusal(text, "is for no length", _WANTED)
    ohm_per_m = quantity.parse(resistance, "ohm") / length_m
    if not LOWEST_OHM_PER_M <= ohm_per_m <= HIGHEST_OHM_PER_M:
        allowed = f"allowed is {LOWEST_OHM_PER_M * 1e3:g} to {HIGHEST_OHM_PER_M * 1e3:g} ohm/km"
        raise refusal(text, "is no resistance of a copper conductor", allowed)
    return Conductor(text, "resistance", ohm_per_m_20c=ohm_per_m)

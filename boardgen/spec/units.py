"""Units a specification may use: their spellings, and the spellings that are refused with a reason.

Factors are exact by definition (International System of Units; foot 0.3048 m, inch 0.0254 m).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal

from msgspec import Struct

from boardgen.tables.shown import shown

_POWER = {"": 0, "p": -12, "n": -9, "u": -6, "m": -3, "k": 3, "K": 3, "M": 6, "G": 9, "g": 9}


class Unit(Struct, frozen=True):
    """A unit: `kind` and `example` for messages, factors to SI by spelling, reasons by refused spelling."""

    kind: str
    example: str
    factors: Mapping[str, Decimal]
    refused: Mapping[str, str]

    @property
    def wanted(self) -> str:
        """What to write instead, as part of a sentence."""
        return f'write {self.kind} such as "{self.example}"'


def _spellings(bases: str, prefixes: str) -> dict[str, Decimal]:
    return {p + base: Decimal(1).scaleb(_POWER[p]) for p in ("", *prefixes) for base in bases.split()}


def _same(reason: str, spellings: str) -> dict[str, str]:
    return dict.fromkeys(spellings.split(), reason)


_KILOHMS = {"kilohm": "1e3", "kilohms": "1e3", "megohm": "1e6", "megohms": "1e6", "k": "1e3", "K": "1e3", "M": "1e6"}
_LENGTHS = {"cm": "0.01", "ft": "0.3048", "foot": "0.3048", "feet": "0.3048"}
_INCHES = dict.fromkeys(("in", "inch", "inches"), "0.0254")


def _exact(factors: Mapping[str, str]) -> dict[str, Decimal]:
    return {spelling: Decimal(factor) for spelling, factor in factors.items()}


UNITS: Mapping[str, Unit] = {
    "Hz": Unit(
        "a frequency with its unit,",
        "1.8 MHz",
        _spellings("Hz hz HZ", "kKMGg"),
        _same("a small m is milli, a thousandth: write MHz for a million", "mHz mhz mHZ"),
    ),
    "ohm": Unit(
        "a resistance with its unit,",
        "75 ohm",
        _spellings("ohm ohms Ohm Ohms OHM OHMS \u03a9", "mkKMG") | _spellings("R r", "") | _exact(_KILOHMS),
        _same("m alone is unclear: write mohm for a thousandth, Mohm for a million", "m"),
    ),
    "F": Unit(
        "a capacitance with its unit,",
        "100 nF",
        _spellings("F f", "pnu"),
        _same("a capital M is a million: write uF for a millionth", "MF Mf MFD Mfd")
        | _same("a thousandth of a farad is far beyond this board: write uF for a millionth", "mF mf mfd mFD"),
    ),
    "H": Unit(
        "an inductance with its unit,",
        "100 uH",
        _spellings("H h", "pnum"),
        _same("a capital M is a million: write mH for a thousandth, uH for a millionth", "MH Mh"),
    ),
    "V": Unit(
        "a voltage with its unit,",
        "12 V",
        _spellings("V v volt volts", "umkK"),
        _same("a capital M is a million: write mV for a thousandth", "MV Mv"),
    ),
    "A": Unit(
        "a current with its unit,",
        "60 mA",
        _spellings("A a amp amps", "umkK"),
        _same("a capital M is a million: write mA for a thousandth", "MA Ma"),
    ),
    "W": Unit(
        "a power with its unit,",
        "250 mW",
        _spellings("W w watt watts", "umkK"),
        _same("a capital M is a million: write mW for a thousandth", "MW Mw"),
    ),
    "m": Unit(
        "a length with its unit,",
        "180 m",
        _spellings("m metre metres meter meters", "umkK") | _exact(_LENGTHS) | _exact(_INCHES),
        _same("a metre is a small m", "M") | _same("a capital M is a million: write mm for a thousandth", "Mm MM"),
    ),
    "m2": Unit(
        "an area with its unit,",
        "0.5 mm2",
        _exact(dict.fromkeys(("mm2", "mm^2", "sq mm", "sq. mm"), "1e-6")),
        _same("a diameter or an area? Write mm2 for an area", "mm"),
    ),
    "degC": Unit(
        "a temperature with its unit,",
        "50 degC",
        _spellings("degC degc DEGC °C °c C celsius Celsius", "") | {"deg C": Decimal(1), "° C": Decimal(1)},
        _same("Fahrenheit is not read: subtract 32, divide by 1.8 and write degC", "F f degF degf °F °f fahrenheit")
        | _same("kelvin is not read: subtract 273.15 and write degC", "K kelvin degK"),
    ),
    "deg": Unit("a bearing in degrees,", "45 deg", _exact(dict.fromkeys(("deg", "degrees", "\u00b0"), "1")), {}),
    "dB": Unit(
        "a ratio in decibels,",
        "18 dB",
        _spellings("dB db DB Db", ""),
        _same("dBm is a power, not a ratio", "dBm dbm DBM"),
    ),
    "dBm": Unit(
        "a power in decibels over a milliwatt,",
        "36 dBm",
        _spellings("dBm dbm DBM", ""),
        _same("dB is a ratio, not a power", "dB db DB Db"),
    ),
    "%": Unit("a share in per cent,", "10 %", _exact({"%": "0.01", "percent": "0.01", "per cent": "0.01"}), {}),
    "s": Unit("a time with its unit,", "3 ms", _spellings("s", "num"), {}),
    "K/W": Unit("a thermal resistance with its unit,", "150 K/W", _exact({"K/W": "1"}), {}),
    "1": Unit("a number without a unit,", "50", {"": Decimal(1)}, {}),
    "count": Unit("a whole number,", "4", {"": Decimal(1)}, {}),
}


def unit_fault(spelling: str, unit: str) -> str:
    """Why `spelling` is not read as the unit `unit`, as part of a sentence."""
    known = UNITS[unit]
    if not spelling:
        return "the unit is missing"
    if spelling in known.refused:
        return known.refused[spelling]
    if spelling[0] in "_'" or spelling[0].isdigit():
        return "write the digits of a number together"
    if re.match(r"x[0-9a-f]", spelling, re.IGNORECASE):
        return "only decimal numbers are read"
    if unit == "count":
        return f"{shown(spelling)} follows the number"
    near = [other for other in known.factors if other.casefold() == spelling.casefold()]
    if near:
        return f'capital and small letters differ in meaning: "{spelling}" may be {near[0]}'
    for other in UNITS.values():
        if spelling in other.factors:
            return f"{shown(spelling)} is not a unit of what is wanted here"
    return f"{shown(spelling)} is not a unit that is known"

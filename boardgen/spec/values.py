"""Frozen values of several quantities, and readers that hold a quantity to its allowed range."""

from __future__ import annotations

import re
from collections.abc import Callable

from msgspec import Struct

from boardgen.handbook import bands
from boardgen.spec import quantity
from boardgen.spec.quantity import refusal
from boardgen.tables.fault import FieldError

LOWEST_HZ = 100e3
HIGHEST_HZ = 30e6
LOWEST_FEED_V = 1.0
HIGHEST_FEED_V = 60.0
LOWEST_FEED_A = 1e-3
HIGHEST_FEED_A = 2.0

_FEED = re.compile(r"(?P<voltage>.*[0-9] ?(?:[mk]?[Vv]|volts?))[ ,]+(?P<current>.*)")
_UP_TO = re.compile(r" (?:up )?to ")
_TURNS = re.compile(r"([0-9]{1,3}) ?: ?([0-9]{1,3})")
_BAND = re.compile(r"([0-9]+) ?m")
LOWEST_STEP_DB, HIGHEST_STEP_DB = 2.0, 20.0
MOST_STEPS = 3
_NEXT_STEP = re.compile(r"(?<=[A-Za-z]) *,")
"""A comma behind a unit; one between digits may be a decimal comma."""


class Range(Struct, frozen=True):
    """The lowest and highest value of a quantity, SI."""

    low: float
    high: float


class Feed(Struct, frozen=True):
    """Direct voltage (V) and current (A) wanted at the far end of a coax."""

    voltage: float
    current: float


class Turns(Struct, frozen=True):
    """Turns of the two windings of a transformer."""

    port: int
    board: int


class Target(Struct, frozen=True):
    """A wanted performance in `unit`, judged up to `to_hz`, or over the whole band where that is None."""

    value: float
    unit: str
    to_hz: float | None = None


def measure(unit: str, low: float, high: float) -> Callable[[object], float]:
    """A reader of one quantity that must lie in low..high (SI); it raises FieldError."""

    def read(text: object) -> float:
        return _within(text, quantity.parse(text, unit), unit, low, high)

    return read


def span(unit: str, low: float, high: float) -> Callable[[object], Range]:
    """A reader of a range, both ends of which must lie in low..high (SI); it raises FieldError."""

    def read(text: object) -> Range:
        ends = quantity.parse_range(text, unit)
        return Range(*(_within(text, end, unit, low, high) for end in ends))

    return read


def target(unit: str, low: float, high: float) -> Callable[[object], Target]:
    """A reader of a target in low..high, such as "3 kohm to 3.5 MHz"; it raises FieldError."""
    read_value = measure(unit, low, high)
    read_limit = measure("Hz", LOWEST_HZ, HIGHEST_HZ)

    def read(text: object) -> Target:
        if not isinstance(text, str):
            return Target(read_value(text), unit)
        value, *limit = _UP_TO.split(text, maxsplit=1)
        return Target(read_value(value), unit, read_limit(limit[0]) if limit else None)

    return read


def feed(text: object) -> Feed:
    """The feed written as "12 V 60 mA". Raises FieldError."""
    wanted = 'write a voltage and a current, such as "12 V 60 mA"'
    parts = _FEED.fullmatch(quantity.short_text(text, wanted))
    if parts is None:
        raise refusal(text, "is not a voltage followed by a current", wanted)
    return Feed(
        measure("V", LOWEST_FEED_V, HIGHEST_FEED_V)(parts["voltage"]),
        measure("A", LOWEST_FEED_A, HIGHEST_FEED_A)(parts["current"]),
    )


def attenuator(text: object) -> tuple[float, ...]:
    """The losses in dB of an attenuator's steps, written as "6 dB, 10 dB". Raises FieldError."""
    wanted = f'write one to {MOST_STEPS} losses with commas between them, such as "6 dB, 10 dB"'
    steps = _NEXT_STEP.split(quantity.short_text(text, wanted))
    if len(steps) > MOST_STEPS:
        raise refusal(text, "has too many steps", wanted)
    read = measure("dB", LOWEST_STEP_DB, HIGHEST_STEP_DB)
    return tuple(read(step.strip(" ")) for step in steps)


def band_edge(text: object, region: int, *, upper: bool) -> float:
    """A frequency in Hz, or an edge of an amateur band such as "160 m" in that region. Raises FieldError."""
    if isinstance(text, str) and (band := _BAND.fullmatch(text.strip(" "))):
        name = f"{band[1]} m"
        try:
            low_hz, high_hz = bands.edges(name, region)
        except ValueError:
            names = ", ".join(bands.NAMES)
            raise refusal(text, f"is not a band of region {region}", f"known are {names}") from None
        return _within(text, float(high_hz if upper else low_hz), "Hz", LOWEST_HZ, HIGHEST_HZ)
    return measure("Hz", LOWEST_HZ, HIGHEST_HZ)(text)


def whole(low: int, high: int) -> Callable[[object], int]:
    """A reader of a whole number, not text, in low..high; it raises FieldError."""
    wanted = f"allowed is a whole number from {low} to {high}, without quotes"

    def read(value: object) -> int:
        if not isinstance(value, int) or isinstance(value, bool):
            raise refusal(value, "is not a whole number", wanted)
        if not low <= value <= high:
            raise refusal(value, "is out of range", wanted)
        return value

    return read


def turns(low: int, high: int) -> Callable[[object], Turns]:
    """A reader of the turns of two windings in low..high, written as "4:4"; it raises FieldError."""
    wanted = f'write both with a colon between them, such as "4:4", each from {low} to {high}'

    def read(text: object) -> Turns:
        parts = _TURNS.fullmatch(quantity.short_text(text, wanted))
        if parts is None or not all(low <= int(count) <= high for count in parts.groups()):
            raise refusal(text, "is not the turns of two windings", wanted)
        return Turns(*map(int, parts.groups()))

    return read


def list_of_tables(most: int, name: str = "antenna", least: int = 1) -> Callable[[object], tuple[object, ...]]:
    """A reader of a list of `least` to `most` tables of that name, as a tuple; it raises FieldError."""
    wanted = f"write [[{name}]] in two brackets once for each {name}, {least} to {most}"

    def read(value: object) -> tuple[object, ...]:
        if isinstance(value, dict):
            found = f"{name} is one table, not a list of tables"
            raise FieldError(found, wanted)
        if not isinstance(value, list):
            raise refusal(value, "is not a list of tables", wanted)
        if not least <= len(value) <= most:
            raise refusal(
                len(value), f"{name}s are asked for" if name == "antenna" else f"{name} tables are written", wanted
            )
        return tuple(value)

    return read


def _within(text: object, value: float, unit: str, low: float, high: float) -> float:
    if value < low:
        raise refusal(text, "is too low", _allowed(unit, low, high))
    if value > high:
        raise refusal(text, "is too high", _allowed(unit, low, high))
    return value


def _allowed(unit: str, low: float, high: float) -> str:
    return f"allowed is {quantity.format(low, unit)} to {quantity.format(high, unit)}"

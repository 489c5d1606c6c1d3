"""Readings as a person writes them down."""

from __future__ import annotations

from boardgen.commissioning.readings import OPEN_OHM, ZERO_OHM, Reading
from boardgen.documents.identity import named
from boardgen.documents.text import Value
from boardgen.model.selection import Selection
from boardgen.spec import quantity


def value(reading: Reading, figure: float) -> str:
    """One figure: open and short in words."""
    if reading.unit == "ohm":
        if figure > OPEN_OHM:
            return "open"
        return "under 1 ohm" if figure < ZERO_OHM else quantity.format(figure, "ohm", 3)
    if reading.unit == "A":
        if figure >= reading.limit_a:
            return "supply at its limit"
        return "no current" if abs(figure) < 20e-6 else quantity.format(figure, "A", 3)
    return f"{abs(figure):.1f} V"


def worked(state: Selection) -> str:
    """What is live, at the head of a column."""
    return ", ".join(
        (*([f"{state.antenna} selected"] if state.antenna else []), *(f"{net} live" for net in state.live))
    )


def expected(reading: Reading) -> Value:
    """What should be read; where it hangs on the meter, its range."""
    return Value(_named(reading), _expected(reading))


def _expected(reading: Reading) -> str:
    if not reading.by_meter:
        return value(reading, reading.middle)
    low = quantity.format(reading.low, "ohm", 2)
    return f"over {low}" if reading.high > OPEN_OHM else f"{low} to {quantity.format(reading.high, 'ohm', 2)}"


def span(reading: Reading) -> Value | None:
    """Its range over the tolerances; nothing where the word says it all."""
    low, high = value(reading, reading.low), value(reading, reading.high)
    if low == high or reading.by_meter:
        return None
    return Value(f"{_named(reading)}.range", f"{low} to {high}")


def _named(reading: Reading) -> str:
    """Where it is read and what is live then."""
    state = reading.selection
    return named("reading", reading.name, reading.where, state.antenna or "", *state.live)

"""Data cable used for control: resistance, and the order of its colours."""

from collections.abc import Mapping
from typing import Final

from msgspec import Struct

from boardgen.handbook import require, wire

CONDUCTOR_LIMIT_OHM_PER_M: Final = 0.0938
"""Most a conductor of 24 AWG horizontal cable may have at 20 C: 28.6 ohm per 305 m.

Source: ANSI/TIA/EIA-568 cable as listed on a cabling reference page, "Standard Materials for Structured Cabling
(568) Systems" (read). ISO/IEC 11801 allows 9.5 ohm per 100 m (recalled)."""

LIMIT_ALLOWANCE: Final = CONDUCTOR_LIMIT_OHM_PER_M / wire.awg_resistance_ohm_per_m(24)
"""How far that limit lies above a solid 24 AWG conductor by computation."""


class Pin(Struct, frozen=True):
    """One position of an eight-way jack: its number, wire colour and cable pair."""

    number: int
    colour: str
    pair: int


PINS: Final[Mapping[str, tuple[Pin, ...]]] = {
    "T568A": (
        Pin(1, "white/green", 3),
        Pin(2, "green", 3),
        Pin(3, "white/orange", 2),
        Pin(4, "blue", 1),
        Pin(5, "white/blue", 1),
        Pin(6, "orange", 2),
        Pin(7, "white/brown", 4),
        Pin(8, "brown", 4),
    ),
    "T568B": (
        Pin(1, "white/orange", 2),
        Pin(2, "orange", 2),
        Pin(3, "white/green", 3),
        Pin(4, "blue", 1),
        Pin(5, "white/blue", 1),
        Pin(6, "green", 3),
        Pin(7, "white/brown", 4),
        Pin(8, "brown", 4),
    ),
}
"""Both pin orders. Source: TIA/EIA-568-B.1, in a copy of the encyclopaedia article on it (read)."""


def at_temperature(ohm_at_20c: float, temperature_c: float) -> float:
    """Resistance in ohms (or ohms per metre) of a copper cable at `temperature_c`, degrees Celsius.

    Raises ValueError when the resistance is negative or not finite, or for the temperature as
    `wire.temperature_factor` does.

    Source: IEC 60028, 1 + 0.00393 (T - 20) (recalled).
    """
    require.not_negative(ohm_at_20c=ohm_at_20c)
    return ohm_at_20c * wire.temperature_factor(temperature_c)

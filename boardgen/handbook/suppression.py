"""Coil suppression and drivers: how long the current lasts, base resistor, typical drops."""

import math
from typing import Final

from msgspec import Struct

from boardgen.handbook import require

FORCED_GAIN: Final = 10.0
"""Collector over base current of a saturated switch. Source: transistor makers' sheets (recalled)."""


class Drop(Struct, frozen=True):
    """Typical voltage across a part while it carries current, volts, at the amperes stated."""

    part: str
    low_v: float
    high_v: float
    low_a: float
    high_a: float
    standing: str


DROPS: Final = (
    Drop("silicon diode", 0.65, 0.75, 0.01, 0.01, "recalled"),
    Drop("Schottky diode", 0.2, 0.3, 0.01, 0.01, "recalled"),
    Drop("saturated NPN transistor", 0.1, 0.2, 0.01, 0.01, "recalled"),
    Drop("Darlington driver", 0.75, 0.9, 0.01, 0.1, "recalled"),
    Drop("base of an NPN transistor", 0.65, 0.85, 0.01, 0.01, "recalled"),
)
"""Source: makers' sheets of 2N3904, ULN2003A, 1N4148 and 1N4007 (recalled)."""


def decay_current_a(t_s: float, start_a: float, resistance_ohm: float, inductance_h: float, forward_v: float) -> float:
    """Amperes in a coil `t_s` seconds after switch-off, with a plain diode of `forward_v` volts across it.

    (I0 + V/R) exp(-t R/L) - V/R, and zero once the diode no longer conducts. Raises ValueError when the start
    current, resistance or inductance is not a finite number above zero, or the time or voltage is negative or
    not finite.

    Source: circuit textbook (recalled).
    """
    require.not_negative(t_s=t_s, forward_v=forward_v)
    require.positive(start_a=start_a, resistance_ohm=resistance_ohm, inductance_h=inductance_h)
    diode_a = forward_v / resistance_ohm
    return max(0.0, (start_a + diode_a) * math.exp(-t_s * resistance_ohm / inductance_h) - diode_a)


def decay_time_s(end_a: float, start_a: float, resistance_ohm: float, inductance_h: float, forward_v: float) -> float:
    """Seconds until the current of a coil with a plain diode has fallen from `start_a` to `end_a` amperes.

    L/R ln((I0 + V/R)/(I1 + V/R)). Raises ValueError when a current, the resistance or the inductance is not a
    finite number above zero, the voltage is negative or not finite, or the end lies above the start.

    Source: circuit textbook (recalled).
    """
    require.not_negative(forward_v=forward_v)
    require.positive(end_a=end_a, start_a=start_a, resistance_ohm=resistance_ohm, inductance_h=inductance_h)
    if end_a > start_a:
        message = f"end_a of {end_a} lies above start_a of {start_a}: the current only falls"
        raise ValueError(message)
    diode_a = forward_v / resistance_ohm
    return inductance_h / resistance_ohm * math.log((start_a + diode_a) / (end_a + diode_a))


def base_resistor_ohm(
    drive_v: float, base_emitter_v: float, collector_a: float, forced_gain: float = FORCED_GAIN
) -> float:
    """Most ohms between a drive voltage and the base of a transistor that must saturate.

    (V_drive - V_BE)/(I_C/gain). Raises ValueError when an argument is not a finite number above zero, or the
    drive does not exceed the base voltage.

    Source: transistor makers' sheets (recalled).
    """
    require.positive(drive_v=drive_v, base_emitter_v=base_emitter_v, collector_a=collector_a, forced_gain=forced_gain)
    if drive_v <= base_emitter_v:
        message = f"drive_v of {drive_v} must exceed base_emitter_v of {base_emitter_v}"
        raise ValueError(message)
    return (drive_v - base_emitter_v) * forced_gain / collector_a

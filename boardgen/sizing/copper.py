"""Track widths by current, and clearances by voltage.

Rules: a track warms by 10 K at its current, and is at least what board houses make; surge copper bears 5 kA 8/20 us;
clearances are those of external conductors, twice as much for surge copper at the highest spark-over.
Source: IPC-2221 (handbook/track.py, handbook/clearance.py), Onderdonk's formula (handbook/surge.py, recalled).
"""

from __future__ import annotations

import math

from boardgen.handbook import clearance, surge, track
from boardgen.model.choice import Choice, Subject
from boardgen.model.outcome import Outcome, choice
from boardgen.request import Request
from boardgen.sizing import rules
from boardgen.sizing.cable import feed_currents
from boardgen.sizing.relay import Drawn

STEP_M = 0.1e-3
LEAST_MADE_M = 0.15e-3
"""Narrowest track that any board house makes: recalled."""
SIGNAL_TRACK_M = 0.6e-3
"""Signal tracks carry microamperes; the width keeps them low in inductance and easy to mend: assumed."""
EDITION, COLUMN = "B", "B2"
"""IPC-2221 edition B, external conductors without coating, below 3050 m."""
SURGE_CLEARANCE_RATIO = 2.0
"""Clearance of surge copper over the table's at the tube's highest spark-over: a project rule, assumed."""
SURGE_HOLDS = "; held by earth and by the wide copper from port to tube, not by the thin tracks behind it"


def copper(request: Request, surge_spark_v: float, coils: Drawn) -> Outcome:
    """Widths of signal, control, feed and surge tracks, and clearances of control and surge copper, in metres.

    `coils` are the most that the coils draw: through a line, and through the coil supply of them all.
    """
    feeds = max(c.through_0v for c in feed_currents(request).values())
    control_a = coils.whole if request.low_side else coils.line
    values = [_width("signal", 1e-3, SIGNAL_TRACK_M), _width("control", control_a, rules.LEAST_TRACK_M)]
    if feeds:
        values.append(_width("feed", feeds + coils.line, rules.LEAST_TRACK_M))
    values.append(_clearance("control", request.spec.control.supply.high, 1.0, ""))
    if request.has_earth:
        values += [_surge_width(), _clearance("surge", surge_spark_v, SURGE_CLEARANCE_RATIO, SURGE_HOLDS)]
    return Outcome(tuple(values))


def _up(metres: float) -> float:
    """The next whole step."""
    return math.ceil(metres / STEP_M - 1e-9) * STEP_M


def _width(slot: str, current_a: float, least_m: float) -> Choice:
    by_current = track.width_m(current_a, rules.TRACK_RISE_K, rules.COPPER_M, "external")
    required = max(by_current, LEAST_MADE_M)
    limit = f"{rules.TRACK_RISE_K:g} K, {rules.COPPER_M * 1e6:g} um, external"
    if by_current < LEAST_MADE_M:
        limit = "what a board house makes"
    return choice(
        "track width",
        Subject("", "copper", slot),
        "at least",
        required,
        max(least_m, _up(required)),
        basis=f"{current_a * 1e3:.3g} mA; {limit}",
        formula=f"I = 0.048 dT^0.44 A^0.725, and at least {LEAST_MADE_M * 1e3:g} mm",
        source=f"IPC-2221 (read at second hand); {LEAST_MADE_M * 1e3:g} mm recalled as board houses' limit",
        standing="read",
    )


def _surge_width() -> Choice:
    required = surge.track_width_m(rules.SURGE_CURRENT_A, rules.COPPER_M)
    return choice(
        "track width",
        Subject("", "copper", "surge"),
        "at least",
        required,
        _up(required),
        basis=f"{rules.SURGE_CURRENT_A / 1e3:g} kA 8/20 us, to 260 degC, {rules.COPPER_M * 1e6:g} um",
        formula="adiabatic: Onderdonk with the action integral of the wave",
        source="Onderdonk's equation, wave of IEEE C62.41 (recalled)",
        standing="recalled",
    )


def _clearance(slot: str, volts: float, ratio: float, holds: str) -> Choice:
    required = ratio * clearance.spacing_m(volts, EDITION, COLUMN)
    return choice(
        "clearance",
        Subject("", "copper", slot),
        "at least",
        required,
        max(rules.LEAST_CLEARANCE_M, required),
        basis=f"{volts:.0f} V" + (f", x {ratio:g}" if ratio != 1 else "") + holds,
        formula=f"table 6-1, edition {EDITION}, column {COLUMN}",
        source="IPC-2221 (read at second hand)",
        standing="read",
    )

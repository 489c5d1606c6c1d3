"""response.csv: the prediction over frequency, the antennas one after another.

What is better than can be believed stands as the best that can: 90 dB of isolation, 80 dB of mode conversion.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import hypot, log10

import numpy as np

from boardgen.formats.csv_text import csv_bytes, harmless
from boardgen.rf.prediction import Prediction
from boardgen.rf.response import Curve, credited

Cells = Sequence[str] | Sequence[float] | Sequence[None]
"""A column: words, numbers, or nothing where the quantity does not exist."""
LOOP_OHM = 100.0
"""Resistance of the common-mode loop in which the current that a braid breaker leaves is stated."""


def response_csv(prediction: Prediction) -> bytes:
    """The file: numbers with six digits."""
    tables = list(_tables(prediction))
    rows = [row for table in tables for row in zip(*map(_written, table.values()), strict=True)]
    return csv_bytes(tuple(tables[0]), rows)


def _written(cells: Cells) -> list[str]:
    if not cells or cells[0] is None:
        return [""] * len(cells)
    return [harmless(cell) if isinstance(cell, str) else f"{cell:.6g}" for cell in cells]


def _tables(prediction: Prediction) -> Iterator[Mapping[str, Cells]]:
    """For each selected antenna its columns by name, a cell for each frequency."""
    response = prediction.response
    points = response.frequency_hz.size
    bounds = np.array([response.loss_bound(at) for at in range(points)])
    for selected in prediction.network.antennas:
        own = {(c.quantity, c.port): c for c in response.curves if c.selected == selected}
        loss = own["insertion loss", selected].values
        isolation, idle = (_least(own, name, points) for name in ("isolation", "idle common mode"))
        antenna_ohm = own["common-mode impedance", selected].values.tolist()
        conversion = own["mode conversion", selected]
        yield {
            "frequency_hz": response.frequency_hz.tolist(),
            "selected": [selected] * points,
            "insertion_loss_db": loss.tolist(),
            "loss_bound_db": (loss * bounds).tolist(),
            "return_loss_antenna_db": own["return loss", selected].values.tolist(),
            "return_loss_output_db": own["return loss", "output"].values.tolist(),
            "isolation_db": isolation[0],
            "isolation_of": isolation[1],
            "idle_common_mode_db": idle[0],
            "idle_common_mode_of": idle[1],
            "common_mode_antenna_ohm": antenna_ohm,
            "common_mode_output_ohm": own["common-mode impedance", "output"].values.tolist(),
            "residual_current_db": [residual_db(ohm) for ohm in antenna_ohm],
            "mode_conversion_db": credited("mode conversion", conversion.values).tolist(),
            "mode_conversion_low_db": credited("mode conversion", conversion.low).tolist(),
            "mode_conversion_high_db": credited("mode conversion", conversion.high).tolist(),
        }


def _least(own: Mapping[tuple[str, str], Curve], name: str, points: int) -> tuple[Cells, Sequence[str]]:
    """At each point the least of a quantity and its port, the first by name where two are alike."""
    found = {port: curve.values for (quantity, port), curve in own.items() if quantity == name}
    if not found:
        return [None] * points, [""] * points
    ports = sorted(found)
    values = [found[port] for port in ports]
    least = np.argmin(values, axis=0)
    return credited(name, np.min(values, axis=0)).tolist(), [ports[number] for number in least.tolist()]


def residual_db(common_mode_ohm: float) -> float:
    """Common-mode current with the breaker in the loop, in dB below that without it: 20 log|1 + j |Z|/loop|.

    The impedance is taken as a reactance, which is the least it can do; a resistance would do up to 3 dB more.
    """
    return 20 * log10(hypot(1.0, common_mode_ohm / LOOP_OHM))

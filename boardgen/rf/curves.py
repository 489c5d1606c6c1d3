"""Curves over frequency: complex permeability at many frequencies at once."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from boardgen.catalogue import Permeability
from boardgen.kinds.radio import MEASURED
from boardgen.rf_network.device_models import Array


def with_measured(
    tables: Mapping[str, Permeability], measured: Mapping[str, tuple[tuple[float, complex], ...]]
) -> dict[str, Permeability]:
    """The catalogue's tables and the user's own curves, a choke's impedance among them."""
    own = {}
    for key, curve in ((k, c) for k, c in measured.items() if k in ("core", "choke")):
        frequencies, values = zip(*curve, strict=True)
        own[MEASURED + key] = Permeability(MEASURED + key, 1.0, frequencies, values, "own measurement", "measured")
    return dict(tables) | own


def complex_permeability(table: Permeability, frequency_hz: Array) -> Array:
    """Relative permeability mu' - j mu'', linear over log f between the points of the table.

    Parameters
    ----------
    frequency_hz : (points,) Hz

    Returns
    -------
    (points,) complex

    Raises
    ------
    ValueError
        Where a frequency lies outside the table.

    """
    first, last = table.frequencies_hz[0], table.frequencies_hz[-1]
    if frequency_hz.min() < first or frequency_hz.max() > last:
        message = f"the table of mix {table.material} covers {first:g} Hz to {last:g} Hz only"
        raise ValueError(message)
    at, points = np.log(frequency_hz), np.log(table.frequencies_hz)
    values = np.array(table.values)
    result: Array = np.interp(at, points, values.real) + 1j * np.interp(at, points, values.imag)
    return result

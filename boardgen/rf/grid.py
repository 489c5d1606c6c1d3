"""The frequencies at which a board is predicted."""

from __future__ import annotations

import numpy as np

from boardgen.handbook import bands
from boardgen.rf.network import Network
from boardgen.rf_network.device_models import Array
from boardgen.spec.keys import Spec
from boardgen.spec.values import HIGHEST_HZ, LOWEST_HZ

POINTS = 201
BEYOND = 2.0
"""The prediction goes this far below and above the band, as far as the permeability tables do."""


def grid(spec: Spec, network: Network, points: int = POINTS) -> Array:
    """Log-spaced from below the band to above it, with both edges, each target's limit and the amateur bands' edges.

    Returns (points,) rising, Hz; none lies outside what the permeability tables of the cores cover.
    """
    low, high = covered(network)
    first = max(low, LOWEST_HZ, spec.band.lowest / BEYOND)
    last = min(high, HIGHEST_HZ, spec.band.highest * BEYOND)
    wanted = [spec.band.lowest, spec.band.highest, *(t.to_hz for _, t in spec.targets if t.to_hz)]
    wanted += [float(edge) for name in bands.NAMES for edge in _edges(name, spec.band.region)]
    inside = [f for f in wanted if first <= f <= last]
    return np.unique(np.concatenate([np.geomspace(first, last, points)[1:-1], [first, last], inside]))


def within(frequency_hz: Array, lowest_hz: float, highest_hz: float) -> Array:
    """Which of these frequencies lie in a band, its edges among them however they were rounded."""
    result: Array = (frequency_hz >= lowest_hz * (1 - 1e-12)) & (frequency_hz <= highest_hz * (1 + 1e-12))
    return result


def covered(network: Network) -> tuple[float, float]:
    """Where every core's permeability is known, Hz."""
    tables = [network.permeability[name] for name in {e.material for e in network.elements if e.material}]
    low = max((t.frequencies_hz[0] for t in tables), default=0.0)
    return low, min((t.frequencies_hz[-1] for t in tables), default=np.inf)


def _edges(name: str, region: int) -> tuple[float, ...]:
    try:
        return tuple(float(edge) for edge in bands.edges(name, region))
    except ValueError:
        return ()

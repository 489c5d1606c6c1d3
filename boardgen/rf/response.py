"""The predicted response of a board: every quantity over frequency, with its range over the unknown split."""

from __future__ import annotations

from collections.abc import Collection
from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from boardgen.catalogue import Permeability
from boardgen.rf.grid import grid, within
from boardgen.rf.model_coverage import FROM_HZ, TIMES_OFF
from boardgen.rf.network import Draws, Network
from boardgen.rf.quantities import QUANTITIES, readings
from boardgen.rf_network.device_models import Array
from boardgen.spec.keys import Spec

SPLITS = (0.5, 0.0, 1.0)
"""Shares of the interwinding capacitance between the starts; the first is the one that is shown."""
CREDIBLE_DB = {"isolation": 90.0, "idle common mode": 90.0, "mode conversion": 80.0}
"""Beyond these a figure is a claim about the layout: 0.05 pF between neighbours undoes it."""
SPLIT_MATTERS_DB = 0.5
LOSS_BOUND, LOW_ANGLE_BOUND, LOW_ANGLE = 0.35, 0.55, 0.25
"""Share by which the power lost in a core may be off, and where the loss angle mu''/mu' is smaller than the last."""

ALMOST_NONE = 1e-6
LOSS = frozenset({"insertion loss"})


def credited(quantity: str, values: Array) -> Array:
    """Figures of that quantity, those beyond what can be believed as the best that can."""
    return np.minimum(values, CREDIBLE_DB.get(quantity, np.inf))


class Curve(Struct, frozen=True):
    """A quantity over the frequencies of its response; `low` and `high` span the split."""

    quantity: str
    selected: str
    port: str
    values: Array
    low: Array
    high: Array

    @property
    def split_matters(self) -> bool:
        """Whether the unknown split moves it by more than half a decibel, or that share of an impedance."""
        if QUANTITIES[self.quantity].unit == "dB":
            return bool((self.high - self.low).max() > SPLIT_MATTERS_DB)
        return bool((self.high / self.low).max() > 10 ** (SPLIT_MATTERS_DB / 20))


class Response(Struct, frozen=True, dict=True):
    """All curves over one grid of frequencies."""

    frequency_hz: Array
    curves: tuple[Curve, ...]
    network: Network

    @cached_property
    def by_place(self) -> dict[tuple[str, str, str], Curve]:
        """Curves by quantity, selected antenna and port."""
        return {(c.quantity, c.selected, c.port): c for c in self.curves}

    def of(self, quantity: str) -> tuple[Curve, ...]:
        """The curves of one quantity."""
        return tuple(c for c in self.curves if c.quantity == quantity)

    def at(self, frequency_hz: float) -> int:
        """The point nearest to that frequency."""
        return int(np.abs(self.frequency_hz / frequency_hz - 1).argmin())

    def nearest_hz(self, frequency_hz: float) -> float:
        """The frequency of that point."""
        return float(self.frequency_hz[self.at(frequency_hz)])

    def loss_bound(self, at: int) -> float:
        """How far an insertion loss may be off, as a share of it: what is lost in cores, by as much as published
        measurements have differed from their model; 0 on a board without a core.
        """
        return self._loss_bounds[at]

    def most_lost(self, lowest_hz: float, highest_hz: float) -> float:
        """The worst insertion loss in a band, dB, with as much more lost in cores as a model of them may be off."""
        inside = within(self.frequency_hz, lowest_hz, highest_hz)
        whole = np.max([curve.high for curve in self.of("insertion loss")], axis=0)
        return float((whole * (1 + np.array(self._loss_bounds)))[inside].max())

    @cached_property
    def _loss_bounds(self) -> tuple[float, ...]:
        """At every point."""
        materials = {e.material for e in self.network.elements if e.law == "transformer"}
        if not materials:
            return (0.0,) * self.frequency_hz.size
        tables = [self.network.permeability[name] for name in materials]

        def bound(point: float, in_cores: float) -> float:
            if self.network.large_cores and point > FROM_HZ:
                return TIMES_OFF - 1
            values = [table.at(point) for table in tables]
            low_angle = any(-mu.imag < LOW_ANGLE * abs(mu.real) for mu in values)
            return in_cores * (LOW_ANGLE_BOUND if low_angle else LOSS_BOUND)

        return tuple(map(bound, self.frequency_hz.tolist(), self._share_in_cores(materials).tolist()))

    def _share_in_cores(self, materials: Collection[str]) -> Array:
        """The share of the worst insertion loss that goes away with the loss of the cores, at every point."""
        known = self.network.permeability
        lossless = {name: _without_loss(known[name]) for name in materials}
        ideal = replace(self.network, permeability={**known, **lossless})
        whole = np.max([curve.values for curve in self.of("insertion loss")], axis=0)
        rest = np.max([one.values[0] for one in readings(ideal, ideal.blocks(self.frequency_hz), LOSS)], axis=0)
        share: Array = np.clip(1 - rest / np.maximum(whole, 1e-9), 0.0, 1.0)
        return share


def _without_loss(table: Permeability) -> Permeability:
    """The same with next to no loss: none at all would let a winding resonate without end."""
    return replace(table, values=tuple(complex(mu.real, -ALMOST_NONE * abs(mu)) for mu in table.values))


def predict(
    spec: Spec,
    network: Network,
    frequency_hz: Array | None = None,
    quantities: Collection[str] = QUANTITIES,
    states: Collection[str] = (),
) -> Response:
    """The response of a board, with its range over the unknown split of interwinding capacitances.

    Parameters
    ----------
    frequency_hz : (points,) rising, Hz; by default the grid over the band and beyond
    quantities : names out of QUANTITIES; every one by default
    states : the antennas that are selected, one a state; every one by default

    Raises
    ------
    ValueError
        Where a frequency lies outside the permeability table of a core.

    """
    points = grid(spec, network) if frequency_hz is None else frequency_hz
    blocks = network.blocks(points, split_draws(network), len(SPLITS))
    curves, spans = [], dict[int, tuple[Array, Array, Array]]()
    for one in readings(network, blocks, quantities, states):
        # equal readings share their array, see `readings`
        if id(one.values) not in spans:
            spans[id(one.values)] = (one.values[0], one.values.min(axis=0), one.values.max(axis=0))
        curves.append(Curve(one.quantity, one.selected, one.port, *spans[id(one.values)]))
    return Response(points, tuple(curves), network)


def split_draws(network: Network) -> Draws:
    """Every transformer with each of the splits in turn."""
    splits = np.array(SPLITS)
    return {
        (n, "split"): splits for n, e in enumerate(network.elements) if any(p.name == "split" for p in e.parameters)
    }

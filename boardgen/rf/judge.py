"""Targets judged at their worst frequency, state and port."""

from __future__ import annotations

from typing import Literal

import numpy as np
from msgspec import Struct

from boardgen.rf.grid import within
from boardgen.rf.quantities import QUANTITIES, Quantity, judged_at
from boardgen.rf.response import Curve, Response
from boardgen.rf_network.device_models import Array
from boardgen.spec.keys import Spec
from boardgen.spec.values import Target

State = Literal["met", "falls short", "not judged"]
JUDGED = frozenset(q.name for q in QUANTITIES.values() if q.target)
"""The quantities that have a target."""


Unjudged = Literal["limit below the band", "nothing there"]


class Judged(Struct, frozen=True):
    """One target against the worst figure there is, the unknown split taken at its worst.

    `holds_to_hz` is how far up from the bottom of the band it holds in every state, None where it never does.
    `unjudged` is why it is not judged, None where it is.
    """

    quantity: str
    target: str
    wanted: float
    unit: str
    to_hz: float | None
    state: State
    achieved: float | None = None
    at_hz: float | None = None
    selected: str = ""
    port: str = ""
    holds_to_hz: float | None = None
    at_rest: bool = False
    unjudged: Unjudged | None = None

    @property
    def way(self) -> str:
        """How the antenna of the worst figure came to be through."""
        return "at rest" if self.at_rest else "selected"

    @property
    def margin(self) -> float | None:
        """Achieved over wanted, or wanted over achieved where less is better; 1 is just met."""
        if self.achieved is None:
            return None
        better = QUANTITIES[self.quantity].larger_is_better
        return self.achieved / self.wanted if better else self.wanted / max(self.achieved, 1e-9)


def judge(spec: Spec, response: Response) -> tuple[Judged, ...]:
    """Every target against the worst figure in the band up to the target's limit, in the order of the quantities.

    A figure is taken at the worst frequency, state and port, with the unknown split at its worst.
    """
    targets = dict(spec.targets)
    return tuple(
        _judge(spec, response, quantity, targets[quantity.target])
        for quantity in QUANTITIES.values()
        if quantity.target
    )


def _judge(spec: Spec, response: Response, quantity: Quantity, target: Target) -> Judged:
    bare = (quantity.name, quantity.target, target.value, target.unit, target.to_hz)
    top = min(spec.band.highest, target.to_hz or spec.band.highest)
    curves = judged_curves(response, quantity)
    # a fed path of one antenna alone has nothing idle, and a limit below the band judges nothing
    if top < spec.band.lowest:
        return Judged(*bare, "not judged", unjudged="limit below the band")
    if not curves:
        return Judged(*bare, "not judged", unjudged="nothing there")
    frequencies = response.frequency_hz
    whole = within(frequencies, spec.band.lowest, spec.band.highest)
    inside = within(frequencies, spec.band.lowest, top)
    values = np.stack([worst(quantity, curve) for curve in curves])
    sign = 1 if quantity.larger_is_better else -1
    at = int(np.argmin(np.where(inside, sign * values, np.inf)))
    row, column = divmod(at, frequencies.size)
    achieved, curve = float(values[row, column]), curves[row]
    meets: Array = np.all(sign * (values - target.value) >= 0, axis=0)
    holds_to = _holds_to(frequencies, whole, meets)
    state: State = "met" if meets[inside].all() else "falls short"
    return Judged(
        *bare,
        state,
        achieved,
        float(frequencies[column]),
        curve.selected,
        curve.port,
        holds_to,
        curve.selected == spec.switching.rest,
    )


def judged_curves(response: Response, quantity: Quantity) -> tuple[Curve, ...]:
    """Those of a quantity whose worst figure counts."""
    return tuple(c for c in response.of(quantity.name) if judged_at(response.network, c.quantity, c.port))


def worst(quantity: Quantity, curve: Curve) -> Array:
    """The end of the split's range that is worse."""
    return curve.low if quantity.larger_is_better else curve.high


def _holds_to(frequencies: Array, whole: Array, meets: Array) -> float | None:
    points = frequencies[whole]
    fails = np.flatnonzero(~meets[whole])
    if not fails.size:
        return float(points[-1])
    return float(points[fails[0] - 1]) if fails[0] else None

"""The targets' figures of a board with its strays at the ends of their ranges.

What must not decide a change of parts, and whether copper that is only assumed may decide a target.

Strays are all that is assumed, and what is computed of windings and copper. All of them lie at one end together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from boardgen.rf.judge import JUDGED, Judged
from boardgen.rf.network import Draws, Network
from boardgen.rf.quantities import QUANTITIES, judged_at, readings
from boardgen.rf.unknowns import Unknown, drawn
from boardgen.spec.keys import Spec

POINTS: Final = 21
COPPER_LAID: Final = (0.05, 0.5)
"""Shares of the assumed range of copper between which boards have it when they are laid: 0.15 to 0.47 on sixteen."""
COUPLED_DB: Final = 60.0
"""So much isolation is left by what couples strips of a laid board, where parts alone give far more: 67 dB at least."""
UNCOUPLED_DB: Final = 80.0
"""And the most, over the bounds of the same boards."""
COUPLING_DB: Final = 20.0
"""So much it takes at most from parts that give less: 18 dB on one of sixteen boards."""
Ends = Mapping[str, tuple[float, float]]
"""By quantity the worst figure with the strays at their least, and at their most."""


def figures_at_ends(
    spec: Spec, network: Network, moved: Sequence[Unknown], ends: tuple[float, float] = (0.0, 1.0)
) -> Ends:
    """The worst figure of each judged quantity, over all states and ports, up to its target's limit.

    Parameters
    ----------
    moved : what lies at one end, then at the other; all else is as stated
    ends : shares of their ranges, by default the least and the most

    """
    shares = np.tile(np.array(ends)[:, None], (1, len(moved)))
    return worst_figures(spec, network, drawn(moved, shares))


def worst_figures(spec: Spec, network: Network, draws: Draws) -> Ends:
    """The worst figure of each judged quantity on two boards with these draws, over all states and ports."""
    targets, top = dict(spec.targets), spec.band.highest
    tops = {q.name: min(top, targets[q.target].to_hz or top) for q in QUANTITIES.values() if q.target}
    limits = [limit for limit in tops.values() if limit >= spec.band.lowest]
    points = np.unique([*np.geomspace(spec.band.lowest, top, POINTS), *limits])
    found: dict[str, tuple[float, float]] = {}
    for one in readings(network, network.blocks(points, draws, 2), JUDGED):
        inside = points <= tops[one.quantity] * (1 + 1e-12)
        if not inside.any() or not judged_at(network, one.quantity, one.port):
            continue
        larger = QUANTITIES[one.quantity].larger_is_better
        values = np.broadcast_to(one.values, (2, points.size))[:, inside]
        each = (values.min(axis=1) if larger else values.max(axis=1)).tolist()
        worse = min if larger else max
        before = found.get(one.quantity, (each[0], each[1]))
        found[one.quantity] = worse(each[0], before[0]), worse(each[1], before[1])
    return found


def copper_decides(judged: Sequence[Judged], ends: Ends, *, coupled: bool) -> bool:
    """Whether a target's state may hang on copper that is only assumed.

    Parameters
    ----------
    ends : figures with the copper at its ends
    coupled : whether strips lie beside each other, which takes isolation from a laid board

    """
    for one in judged:
        if one.achieved is None:
            continue
        sign = 1 if QUANTITIES[one.quantity].larger_is_better else -1
        reached = [one.achieved, *ends[one.quantity]]
        if one.quantity == "isolation" and coupled:
            reached.append(min(one.achieved - COUPLING_DB, COUPLED_DB))
        if len({sign * (figure - one.wanted) >= 0 for figure in reached}) > 1:
            return True
    return False

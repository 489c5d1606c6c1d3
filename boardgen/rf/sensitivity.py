"""Which part limits a judged figure, and what change of it would meet the target."""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from msgspec import Struct

from boardgen.model.selection import SelectionState
from boardgen.rf.judge import Judged
from boardgen.rf.network import Draws, Network
from boardgen.rf.quantities import QUANTITIES, read
from boardgen.rf_network.device_models import Array
from boardgen.rf_network.element import COPPER

STEP: Final = 0.1
"""Each value is raised by this share to see what it does."""
FURTHEST: Final = 10.0
"""Changes by more than this factor are not proposed."""
FACTORS: Final = np.concatenate([np.geomspace(1, FURTHEST, 41), np.geomspace(1, 1 / FURTHEST, 41)[1:]])
Place = tuple[int, str]
"""An element by its position, and the name of a parameter of it."""
Group = tuple[str, str]
"""A law and a parameter of it: all parts of one kind changed alike."""
UNCHANGEABLE: Final = frozenset({"split", "permeability scale", "first turns", "second turns"})


class Influence(Struct, frozen=True):
    """What a rise of one value by a tenth does to the figure, in its unit."""

    ref: str
    name: str
    value: float
    unit: str
    change: float


class Remedy(Struct, frozen=True):
    """All values of one kind times a factor, at which the figure just meets the target."""

    law: str
    name: str
    refs: tuple[str, ...]
    factor: float


class Limit(Struct, frozen=True):
    """What limits one figure: the strongest influences first, and remedies, smallest change first."""

    judged: Judged
    influences: tuple[Influence, ...]
    remedies: tuple[Remedy, ...]


def limits(network: Network, judged: Sequence[Judged], most: int = 3) -> tuple[Limit, ...]:
    """The parts that decide each judged figure at its worst point.

    Every value of a strip is raised by STEP in a board of its own, all boards solved together; remedies scale all
    values of one kind by FACTORS alike.

    Parameters
    ----------
    judged : figures with a worst point, that is with `at_hz`
    most : how many influences and remedies are kept for each

    """
    values = {
        (at, p.name): (element.ref, p.shown, p.value, p.unit)
        for at, element in enumerate(network.elements)
        for p in element.parameters
        if _changeable(p.name, p.value)
    }
    changes = _changes(network, judged)
    return tuple(_limit(network, one, values, change, most) for one, change in zip(judged, changes, strict=True))


def _limit(
    network: Network,
    judged: Judged,
    values: Mapping[Place, tuple[str, str, float, str]],
    changes: Mapping[Place, float],
    most: int,
) -> Limit:
    """`values` have the designator, the shown name, the number and the unit of each."""
    totals: dict[tuple[str, str], float] = {}
    numbers: dict[tuple[str, str], tuple[float, str]] = {}
    for place, (ref, name, value, unit) in values.items():
        totals[ref, name] = changes.get(place, 0.0) + totals.get((ref, name), 0.0)
        numbers[ref, name] = value, unit
    ranked = heapq.nsmallest(most, totals, key=lambda named: (-abs(totals[named]), *named))
    influences = tuple(Influence(*named, *numbers[named], totals[named]) for named in ranked)
    remedies = _remedies(network, judged) if judged.state == "falls short" else ()
    return Limit(judged, influences, remedies[:most])


def _changes(network: Network, judged: Sequence[Judged]) -> list[dict[Place, float]]:
    """What a rise of each value by a tenth does to each figure. Values outside its state do nothing and are absent."""
    found: list[dict[Place, float]] = [{} for _ in judged]
    for selected in dict.fromkeys(one.selected for one in judged):
        alike = [(one, changes) for one, changes in zip(judged, found, strict=True) if one.selected == selected]
        points = np.unique([one.at_hz for one, _ in alike])
        operated = network.operated(selected)
        whole = network.state(operated, points)
        for owner in network.owners:
            places = _single(network, owner, operated)
            # the first board is changed in nothing
            boards = len(places) + 1
            draws = _draws(network, [[], *([place] for place in places)], 1 + STEP)
            blocks = network.with_draws(whole, owner, operated, points, draws, boards)
            solution = network.solve(operated, blocks)
            for one, changes in alike:
                figures = read(solution, one.quantity, selected, one.port)[:, np.searchsorted(points, one.at_hz or 0.0)]
                rises = np.broadcast_to(figures - figures[0], boards)[1:]
                changes.update(zip(places, rises.tolist(), strict=True))
    return found


def _single(network: Network, owner: str, operated: SelectionState) -> list[Place]:
    """The values of every element of a strip in one state of the board."""
    return [
        (at, p.name)
        for at in network.strips[network.own(owner, operated)].elements
        for p in network.elements[at].parameters
        if _changeable(p.name, p.value)
    ]


def _changeable(name: str, value: float) -> bool:
    return value != 0 and name not in UNCHANGEABLE


def _remedies(network: Network, judged: Judged) -> tuple[Remedy, ...]:
    groups: dict[Group, list[Place]] = {}
    for at, element in enumerate(network.elements):
        for p in element.parameters:
            if _changeable(p.name, p.value) and element.ref != COPPER:
                law = "interwinding" if element.law in ("starts", "ends") else element.law
                groups.setdefault((law, p.shown), []).append((at, p.name))
    sign = 1 if QUANTITIES[judged.quantity].larger_is_better else -1
    operated = network.operated(judged.selected)
    found = []
    for (law, name), places in groups.items():
        point = np.array([judged.at_hz])
        draws = _draws(network, [places] * len(FACTORS), FACTORS.tolist())
        solution = network.solve(operated, network.state(operated, point, draws, len(FACTORS)))
        figures = read(solution, judged.quantity, judged.selected, judged.port)[:, 0]
        meeting = [float(f) for f, v in zip(FACTORS, figures, strict=True) if sign * (v - judged.wanted) >= 0]
        if meeting:
            factor = min(meeting, key=lambda f: abs(np.log(f)))
            refs = tuple(dict.fromkeys(network.elements[at].ref for at, _ in places))
            found.append(Remedy(law, name, refs, factor))
    return tuple(sorted(found, key=lambda r: abs(np.log(r.factor))))


def _draws(network: Network, changed: Sequence[Sequence[Place]], factors: float | Sequence[float]) -> Draws:
    """Each set of values changed by its factor, a board a set."""
    boards = len(changed)
    draws: dict[Place, Array] = {}
    for number, (places, factor) in enumerate(zip(changed, np.broadcast_to(factors, boards).tolist(), strict=True)):
        for at, name in places:
            drawn = draws.get((at, name))
            if drawn is None:
                value = next(p.value for p in network.elements[at].parameters if p.name == name)
                drawn = draws[at, name] = np.full(boards, value)
            drawn[number] *= factor
    return draws

"""Which part limits a judged figure, and what change of it would meet the target."""

from __future__ import annotations

import heapq
from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import islice
from typing import Final

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.selection import SelectionState
from boardgen.rf.grid import grid
from boardgen.rf.judge import Judged, judge
from boardgen.rf.network import Draws, Network
from boardgen.rf.quantities import QUANTITIES, read
from boardgen.rf.response import predict
from boardgen.rf.unknowns import ONE_LAW, STRAYS, Place
from boardgen.rf_network.device_models import Array
from boardgen.rf_network.element import COPPER, Element, Parameter
from boardgen.spec.keys import Spec

STEP: Final = 0.1
"""Each value is raised by this share to see what it does."""
FURTHEST: Final = 10.0
"""Less than this share of a stray is not proposed. Other parts are tried themselves, by refinement."""
FACTORS: Final = np.geomspace(1, 1 / FURTHEST, 41)
Group = tuple[str, str]
"""A law and a parameter of it: all parts of one kind changed alike."""
UNCHANGEABLE: Final = frozenset({"split", "permeability scale", "first turns", "second turns"})
COARSE_POINTS: Final = 15
MOST_FACTORS: Final = 6


class Influence(Struct, frozen=True):
    """What a rise of one value by a tenth does to the figure, in its unit."""

    ref: str
    name: str
    value: float
    unit: str
    change: float


class Remedy(Struct, frozen=True):
    """All strays of one kind times a factor below 1, with which the target holds in the whole band, at every port."""

    law: str
    name: str
    refs: tuple[str, ...]
    factor: float


class Limit(Struct, frozen=True):
    """What limits one figure: the strongest influences first, and remedies, smallest change first."""

    judged: Judged
    influences: tuple[Influence, ...]
    remedies: tuple[Remedy, ...]


def limits(spec: Spec, network: Network, judged: Sequence[Judged], most: int = 3) -> tuple[Limit, ...]:
    """The parts that decide each judged figure at its worst point.

    Every value of a strip is raised by STEP in a board of its own, all boards solved together; remedies scale all
    values of one kind by FACTORS alike, and are kept where the target then holds over the band, in every state, at
    every port.

    Parameters
    ----------
    spec : has the targets
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
    return tuple(_limit(spec, network, one, values, change, most) for one, change in zip(judged, changes, strict=True))


def _limit(
    spec: Spec,
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
    remedies = islice(_remedies(spec, network, judged), most) if judged.state == "falls short" else ()
    return Limit(judged, influences, tuple(remedies))


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
                figures = read(solution, one.quantity, one.port)[:, np.searchsorted(points, one.at_hz or 0.0)]
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


def _remedies(spec: Spec, network: Network, judged: Judged) -> Iterator[Remedy]:
    """Those that hold, smallest change first; each is judged when it is asked for."""
    groups: dict[Group, list[Place]] = {}
    for at, element in enumerate(network.elements):
        for p in element.parameters:
            if _changeable(p.name, p.value) and element.ref != COPPER and _stray(element, p):
                groups.setdefault((ONE_LAW.get(element.law, element.law), p.shown), []).append((at, p.name))
    helping = [(group, factors) for group, places in groups.items() if (factors := _meeting(network, judged, places))]
    for group, factors in sorted(helping, key=lambda pair: abs(np.log(pair[1][0]))):
        for factor in factors[::2][:MOST_FACTORS]:
            if _holds(spec, network, judged, groups[group], factor):
                refs = tuple(dict.fromkeys(network.elements[at].ref for at, _ in groups[group]))
                yield Remedy(*group, refs, factor)
                break


def _stray(element: Element, parameter: Parameter) -> bool:
    return element.law == "capacitance" or parameter.name in STRAYS or parameter.standing == "assumed"


def _meeting(network: Network, judged: Judged, places: Sequence[Place]) -> list[float]:
    """Factors below 1 with which the figure meets the target where it was worst, smallest change first."""
    sign = 1 if QUANTITIES[judged.quantity].larger_is_better else -1
    operated, point = network.operated(judged.selected), np.array([judged.at_hz])
    draws = _draws(network, [places] * len(FACTORS), FACTORS.tolist())
    solution = network.solve(operated, network.state(operated, point, draws, len(FACTORS)))
    figures = read(solution, judged.quantity, judged.port)[:, 0]
    meeting = [float(f) for f, v in zip(FACTORS, figures, strict=True) if sign * (v - judged.wanted) >= 0]
    return sorted((f for f in meeting if f < 1), reverse=True)


def _holds(spec: Spec, network: Network, judged: Judged, places: Collection[Place], factor: float) -> bool:
    """Whether the target is met in the band, in every state and at every port: at a few frequencies, then at all."""
    changed = replace(network, elements=tuple(_scaled(network.elements, places, factor)))
    points = grid(spec, network)
    coarse = np.unique(points[np.linspace(0, points.size - 1, COARSE_POINTS).astype(int)])
    return all(
        one.state == "met"
        for frequencies in (coarse, points)
        for one in judge(spec, predict(spec, changed, frequencies, {judged.quantity}))
        if one.quantity == judged.quantity
    )


def _scaled(elements: Sequence[Element], places: Collection[Place], factor: float) -> Iterator[Element]:
    """The elements, the value in each of these places times the factor."""
    for at, element in enumerate(elements):
        parameters = tuple(
            replace(p, value=p.value * factor) if (at, p.name) in places else p for p in element.parameters
        )
        yield replace(element, parameters=parameters) if parameters != element.parameters else element


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

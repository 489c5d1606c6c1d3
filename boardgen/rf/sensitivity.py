"""Which part limits a judged figure, and what change of it would meet the target."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from boardgen.rf.element import COPPER
from boardgen.rf.judge import Judged
from boardgen.rf.laws import Array
from boardgen.rf.network import Draws, Network
from boardgen.rf.quantities import QUANTITIES, read

STEP: Final = 0.1
"""Each value is raised by this share to see what it does."""
FURTHEST: Final = 10.0
"""Changes by more than this factor are not proposed."""
FACTORS: Final = np.concatenate([np.geomspace(1, FURTHEST, 41), np.geomspace(1, 1 / FURTHEST, 41)[1:]])
Group = tuple[str, str]
"""A law and a parameter of it: all parts of one kind changed alike."""
UNCHANGEABLE: Final = frozenset({"split", "permeability scale"})


@dataclass(frozen=True, slots=True)
class Influence:
    """What a rise of one value by a tenth does to the figure, in its unit."""

    ref: str
    name: str
    value: float
    change: float


@dataclass(frozen=True, slots=True)
class Remedy:
    """All values of one kind times a factor, at which the figure just meets the target."""

    law: str
    name: str
    refs: tuple[str, ...]
    factor: float


@dataclass(frozen=True, slots=True)
class Limit:
    """What limits one figure: the strongest influences first, and remedies, smallest change first."""

    judged: Judged
    influences: tuple[Influence, ...]
    remedies: tuple[Remedy, ...]


def limit(network: Network, judged: Judged, most: int = 3) -> Limit:
    """The parts that decide a judged figure at its worst point."""
    single = _single(network)
    changes = _figures(network, judged, single, [1 + STEP] * len(single)) - _figures(network, judged, [[]], [1.0])[0]
    influences: dict[tuple[str, str], Influence] = {}
    for places, change in zip(single, changes, strict=True):
        (at, name), *_ = places
        element = network.elements[at]
        own = next(p for p in element.parameters if p.name == name)
        before = influences.get((element.ref, own.shown))
        total = float(change) + (before.change if before else 0.0)
        influences[element.ref, own.shown] = Influence(element.ref, own.shown, own.value, total)
    ranked = sorted(influences.values(), key=lambda i: (-abs(i.change), i.ref, i.name))[:most]
    remedies = _remedies(network, judged) if judged.state == "falls short" else ()
    return Limit(judged, tuple(ranked), remedies[:most])


def _single(network: Network) -> list[list[tuple[int, str]]]:
    return [
        [(at, p.name)]
        for at, element in enumerate(network.elements)
        for p in element.parameters
        if _changeable(p.name, p.value)
    ]


def _changeable(name: str, value: float) -> bool:
    return value != 0 and name not in UNCHANGEABLE and not name.endswith("turns")


def _remedies(network: Network, judged: Judged) -> tuple[Remedy, ...]:
    groups: dict[Group, list[tuple[int, str]]] = {}
    for at, element in enumerate(network.elements):
        for p in element.parameters:
            if _changeable(p.name, p.value) and element.ref != COPPER:
                law = "interwinding" if element.law in ("starts", "ends") else element.law
                groups.setdefault((law, p.shown), []).append((at, p.name))
    sign = 1 if QUANTITIES[judged.quantity].larger_is_better else -1
    found = []
    for (law, name), places in groups.items():
        figures = _figures(network, judged, [places] * len(FACTORS), list(FACTORS))
        meeting = [float(f) for f, v in zip(FACTORS, figures, strict=True) if sign * (v - judged.wanted) >= 0]
        if meeting:
            factor = min(meeting, key=lambda f: abs(np.log(f)))
            refs = tuple(dict.fromkeys(network.elements[at].ref for at, _ in places))
            found.append(Remedy(law, name, refs, factor))
    return tuple(sorted(found, key=lambda r: abs(np.log(r.factor))))


def _figures(
    network: Network, judged: Judged, changed: Sequence[Sequence[tuple[int, str]]], factors: Sequence[float]
) -> Array:
    """The figure at its worst point for each set of values changed by its factor, all in one run."""
    boards = len(changed)
    draws: dict[tuple[int, str], Array] = {}
    for number, (places, factor) in enumerate(zip(changed, factors, strict=True)):
        for at, name in places:
            if (at, name) not in draws:
                value = next(p.value for p in network.elements[at].parameters if p.name == name)
                draws[at, name] = np.full(boards, value)
            draws[at, name][number] *= factor
    frozen: Draws = draws
    blocks = network.state(judged.selected, np.array([judged.at_hz]), frozen, boards)
    solution = network.solve(judged.selected, blocks)
    result: Array = read(solution, judged.quantity, judged.selected, judged.port)[:, 0]
    return np.broadcast_to(result, boards)

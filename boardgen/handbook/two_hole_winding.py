"""Strays of two windings laid by hand through both holes of a core: leakage, capacitance between them, proximity.

Where each wire comes to lie nobody knows, so windings are laid many times at random, as loosely as the style of
winding allows, each time solved by `round_wires`; the mean of the results is the figure, the outermost are its range.
The wires lie otherwise in one hole than in the other; between the holes in the open or on the face of the core, by
turns. Left out: inductance inside the wires (2 to 4 % of the leakage), bends, and the leads.
"""

from __future__ import annotations

import cmath
import functools
import math
import random
from collections.abc import Iterator
from statistics import fmean
from typing import Final, Literal, NamedTuple

from boardgen.handbook import require, round_wires
from boardgen.handbook.constants import ELECTRIC_CONSTANT_F_PER_M, MAGNETIC_CONSTANT_H_PER_M

Style = Literal["apart", "pair"]
"""apart: each winding in its own half of each hole. pair: wires of both wound together, touching."""

LAYINGS: Final = 12
"""How often windings are laid in a hole: the mean lies within a tenth of that of two hundred."""
CROWDED: Final = 20
"""From so many wires in a hole on, half the layings do: what one wire does matters little among many."""
ENAMEL_PERMITTIVITY: Final = 3.5
"""Polyurethane and polyester enamels, 3 to 4 (recalled)."""
TWISTED_CAPACITANCE: Final = (1.0, 1.2, 1.5)
"""Capacitance of a wound pair over that of two straight coated wires: least, middle, most.

Source: a twisted pair of AWG 30 of 147 pF a metre, 1.45 of what the field gives for its straight wires ("Designing
wideband RF impedance transformers", Microwaves & RF, p. 4 of the web version, read; evidence in test_round_wires).
"""
_FACE_M: Final = 50e-3
"""Radius of the great hole whose wall stands for the flat face of a core."""
_TRIES: Final = 3000


class Range(NamedTuple):
    """A figure with what it may be at least and at most."""

    low: float
    middle: float
    high: float


class Leakage(NamedTuple):
    """Leakage in henries seen from the first winding, the second shorted; loss of the turns over that of lone wires."""

    henry: Range
    proximity: float


class Hole(NamedTuple):
    """A two-hole core in metres: length of a hole, its diameter, and the distance between the middles of both."""

    length_m: float
    diameter_m: float
    spacing_m: float


class _Laid(NamedTuple):
    first: tuple[complex, ...]
    second: tuple[complex, ...]


class Winding(NamedTuple):
    """Two windings in a core: turns, diameters of the wire bare and with its enamel in metres, and style."""

    hole: Hole
    turns: int
    other_turns: int
    bare_m: float
    coated_m: float
    style: Style


@functools.lru_cache(512)
def leakage(winding: Winding) -> Leakage:
    """Leakage and proximity of two windings. Wires too thick for the holes are taken as thick as just go in.

    Raises ValueError unless lengths and turns are above zero and the enamel has a thickness.

    Source: the field of round wires (round_wires), laid at random: our own model, held against published figures.
    """
    hole, thinner, layings = _prepared(winding)
    radius = thinner * winding.bare_m / 2
    currents = [1.0] * winding.turns + [-winding.turns / winding.other_turns] * winding.other_turns
    share = hole.length_m / (hole.length_m + hole.spacing_m)
    found = [
        [
            round_wires.inductance([*laid.first, *laid.second], currents, radius, wall, _orders(winding))
            for laid, wall in ways
        ]
        for ways in _ways(hole, layings, thinner * winding.coated_m / 2)
    ]
    henry = _whole(hole, [(inside.h_per_m, ends.h_per_m) for inside, ends in found])
    proximity = fmean(share * inside.proximity + (1 - share) * ends.proximity for inside, ends in found)
    return Leakage(henry, proximity)


@functools.lru_cache(512)
def capacitance(winding: Winding) -> Range:
    """Capacitance in farads between two windings, each at one potential. Raises ValueError as `leakage` does.

    Source: as that of `leakage`.
    """
    hole, thinner, layings = _prepared(winding)
    coated, bare = thinner * winding.coated_m / 2, thinner * winding.bare_m / 2
    found = [
        [
            round_wires.capacitance(laid, bare, coated, ENAMEL_PERMITTIVITY, wall, _orders(winding))
            for laid, wall in ways
        ]
        for ways in _ways(hole, layings, coated)
    ]
    whole = _whole(hole, [(inside, ends) for inside, ends in found])
    shares = TWISTED_CAPACITANCE if winding.style == "pair" else (1.0, 1.0, 1.0)
    return Range(*(share * farad for share, farad in zip(shares, whole, strict=True)))


def least_product_s2(hole: Hole, turns: int) -> float:
    """Least product of leakage and capacitance of two windings, in seconds squared, however they lie.

    Leakage is seen from the winding of these `turns`. Over wire of the length l the product is (l/c)^2 where nothing
    but air lies between the windings; enamel adds capacitance, material of high permeability inductance. l is the
    least that passes through both holes so often. Raises ValueError unless lengths and turns are above zero.

    Source: L'C' = mu0 e0 of any pair of conductors in air, textbooks on lines (recalled); that neither magnetic
    material nor currents held evenly lessen an inductance: Thomson's theorem (recalled).
    """
    require.positive(length_m=hole.length_m, between_m=hole.spacing_m - hole.diameter_m, turns=turns)
    wire_m = 2 * turns * (hole.length_m + hole.spacing_m - hole.diameter_m)
    return wire_m**2 * MAGNETIC_CONSTANT_H_PER_M * ELECTRIC_CONSTANT_F_PER_M


def _orders(winding: Winding) -> int:
    return round_wires.TOUCHING if winding.style == "pair" else round_wires.LOOSE


def _prepared(winding: Winding) -> tuple[Hole, float, tuple[_Laid, ...]]:
    hole, turns, other_turns, bare_m, coated_m, style = winding
    require.positive(length_m=hole.length_m, diameter_m=hole.diameter_m, spacing_m=hole.spacing_m)
    require.positive(turns=turns, other_turns=other_turns, bare_m=bare_m)
    if coated_m <= bare_m:
        raise ValueError("a wire is thicker with its enamel than without", coated_m, bare_m)
    return hole, *_layings(hole.diameter_m / 2, turns, other_turns, coated_m / 2, style)


def _ways(hole: Hole, layings: tuple[_Laid, ...], coated: float) -> Iterator[tuple[tuple[_Laid, float | None], ...]]:
    """Each laying in a hole and between the holes, with the radius of what surrounds it."""
    for number, laid in enumerate(layings):
        ends = (laid, None) if number % 2 else (_on_face(laid, coated), _FACE_M)
        yield (laid, hole.diameter_m / 2), ends


def _whole(hole: Hole, per_metre: list[tuple[float, float]]) -> Range:
    """Of a core whose second hole is laid as the next laying has it."""
    inside = [hole.length_m * one for one, _ in per_metre]
    return _range(
        [
            one + other + 2 * hole.spacing_m * ends
            for one, other, (_, ends) in zip(inside, inside[-1:] + inside, per_metre, strict=False)
        ]
    )


def _range(figures: list[float]) -> Range:
    return Range(min(figures), fmean(figures), max(figures))


@functools.lru_cache(512)
def _layings(hole: float, turns: int, other_turns: int, radius: float, style: Style) -> tuple[float, tuple[_Laid, ...]]:
    """The layings, and by what the wire had to be thinner to go in at all."""
    thinner = 1.0
    count = LAYINGS if turns + other_turns < CROWDED else LAYINGS // 2
    while True:
        chance = random.Random(f"{turns} {other_turns} {style}")  # noqa: S311 # always the same layings
        make = _apart if style == "apart" else _pairs
        layings: list[_Laid] = []
        while len(layings) < count and (laid := make(chance, hole, turns, other_turns, thinner * radius)):
            layings.append(laid)
        if len(layings) == count:
            return thinner, tuple(layings)
        thinner *= 0.95


def _apart(chance: random.Random, hole: float, turns: int, other_turns: int, radius: float) -> _Laid | None:
    first = _laid(chance, hole, turns, radius)
    second = _laid(chance, hole, other_turns, radius)
    return _Laid(first, tuple(-z for z in second)) if first and second else None


def _laid(chance: random.Random, hole: float, count: int, radius: float) -> tuple[complex, ...] | None:
    """Wires in the right half of the hole, one after the other wherever there is room."""
    found: list[complex] = []
    for z in _places(chance, hole - radius):
        if z.real >= radius and all(abs(z - other) >= 2 * radius for other in found):
            found.append(z)
            if len(found) == count:
                return tuple(found)
    return None


def _pairs(chance: random.Random, hole: float, turns: int, other_turns: int, radius: float) -> _Laid | None:
    """Touching pairs, turned at random, wherever there is room; what one winding has more lies alone."""
    first: list[complex] = []
    second: list[complex] = []
    together, more = min(turns, other_turns), first if turns > other_turns else second
    for z in _places(chance, hole - radius):
        if len(first) + len(second) == turns + other_turns:
            return _Laid(tuple(first), tuple(second))
        paired = min(len(first), len(second)) < together
        aside = cmath.rect(radius * 1.0001, chance.uniform(0, 2 * math.pi)) if paired else 0
        one, other = z + aside, z - aside
        if max(abs(one), abs(other)) > hole - radius:
            continue
        if any(min(abs(one - x), abs(other - x)) < 2 * radius for x in (*first, *second)):
            continue
        if paired:
            first.append(one)
            second.append(other)
        else:
            more.append(z)
    return None


def _places(chance: random.Random, reach: float) -> Iterator[complex]:
    """Places evenly spread over a disc."""
    for _ in range(_TRIES):
        yield cmath.rect(reach * math.sqrt(chance.random()), chance.uniform(-math.pi, math.pi))


def _on_face(laid: _Laid, radius: float) -> _Laid:
    """The same wires pressed against a flat wall."""
    deepest = max(z.imag for z in (*laid.first, *laid.second))
    # a wall that bends a little would cut into what lies to the side
    sideways = max(abs(z.real) for z in (*laid.first, *laid.second))
    down = complex(0, _FACE_M - radius - deepest - sideways**2 / (2 * (_FACE_M - 2 * sideways)))
    return _Laid(tuple(z + down for z in laid.first), tuple(z + down for z in laid.second))

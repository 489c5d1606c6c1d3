"""The conductors of a control cable in their pairs, and which each line takes: one rule for every cable sheet."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from boardgen.handbook.data_cable import PINS

COLOURED = 8
"""Conductors of a cable whose colours are known."""


class Place(Struct, frozen=True, order=True):
    """A conductor: cable and position in it, both from 1, its pair, and its colour ("" where not known).

    In an eight-conductor cable position and pair are those of an eight-way jack.
    """

    cable: int
    position: int
    pair: int
    colour: str


def places(conductors: int, cables: int, order: str) -> tuple[Place, ...]:
    """Every conductor of so many equal cables, pair by pair.

    Parameters
    ----------
    conductors, cables
        Conductors in one cable, and cables.
    order
        "T568A" or "T568B", in whose colours eight conductors are told; others have numbers only.

    """
    if conductors == COLOURED:
        pins = PINS[order]
        # pairs in the order in which their first pin comes
        pairs = list(dict.fromkeys(pin.pair for pin in pins))
        ordered = sorted(pins, key=lambda pin: (pairs.index(pin.pair), pin.number))
        one = [(pin.number, pin.pair, pin.colour) for pin in ordered]
    else:
        one = [(n, (n + 1) // 2, "") for n in range(1, conductors + 1)]
    return tuple(Place(cable, *row) for cable in range(1, cables + 1) for row in one)


def taken(groups: Sequence[str], returns: int, free: Sequence[Place]) -> tuple[tuple[Place, ...], tuple[Place, ...]]:
    """The place of each line, and those of the returns. `groups` has a name for each line, "" where it has none.

    Returns take the last conductors of each cable in turn; two lines of one name a pair where one is free, others what
    is left in order. Raises ValueError where there are too few.
    """
    if len(groups) + returns > len(free):
        message = f"{len(groups)} lines and {returns} returns need {len(groups) + returns} conductors, not {len(free)}"
        raise ValueError(message)
    kept = _return_places(returns, free)
    left = [place for place in free if place not in kept]
    by_group: dict[str, list[int]] = {}
    for n, group in enumerate(groups):
        by_group.setdefault(group or f"alone {n}", []).append(n)
    found: dict[int, Place] = {}
    # pairs first, while whole pairs are free
    for lines in sorted(by_group.values(), key=len, reverse=True):
        pair = _pair(left) if len(lines) == 2 else None
        chosen = pair or left[: len(lines)]
        found |= zip(lines, chosen, strict=True)
        left = [place for place in left if place not in chosen]
    return tuple(found[n] for n in range(len(groups))), kept


def _return_places(returns: int, free: Sequence[Place]) -> tuple[Place, ...]:
    """The last conductors of each cable in turn, a pair at a time where a cable gets two."""
    by_cable: dict[int, list[Place]] = {}
    for place in free:
        by_cable.setdefault(place.cable, []).append(place)
    share = -(-returns // len(by_cable))
    turns = [place for cable in by_cable.values() for place in reversed(cable[-share:])]
    return tuple(turns[:returns]) if len(turns) >= returns else tuple(reversed(free))[:returns]


def _pair(left: Sequence[Place]) -> list[Place] | None:
    pairs: dict[tuple[int, int], list[Place]] = {}
    for place in left:
        pairs.setdefault((place.cable, place.pair), []).append(place)
    return next((pair for pair in pairs.values() if len(pair) == 2), None)

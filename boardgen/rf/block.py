"""A block of the network, such as one strip, reduced to its port and the nets it shares with others.

Blocks of one shape are reduced together: their copies and all frequencies are the axes of each array, and the order of
elimination is worked out once from the pattern alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from boardgen.rf.laws import LAWS, Array, Values, constants

Incidence = tuple[tuple[int, int], ...]
"""The voltage across an element: variables with their signs."""


@dataclass(frozen=True, slots=True)
class Slot:
    """An element of a shape: its law, its material, and the voltage across each of its pairs."""

    law: str
    material: str
    across: tuple[Incidence, ...]


@dataclass(frozen=True)
class Shape:
    """What blocks have in common. Variables below `inner` are eliminated, the `kept` ones after them stay."""

    slots: tuple[Slot, ...]
    inner: int
    kept: int

    @cached_property
    def _hash(self) -> int:
        return hash((self.slots, self.inner, self.kept))

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def stamps(self) -> tuple[_Stamp, ...]:
        """Where each admittance is added."""
        return _stamps(self)

    @cached_property
    def order(self) -> tuple[tuple[int, tuple[int, ...]], ...]:
        """Each inner variable with its neighbours when it is eliminated."""
        return _order(self)


@dataclass(frozen=True, slots=True)
class _Stamp:
    """Where one admittance of a slot is added, as (row, column, sign) with row <= column."""

    slot: int
    output: int
    entries: tuple[tuple[int, int, int], ...]


def _stamps(shape: Shape) -> tuple[_Stamp, ...]:
    found = []
    for index, slot in enumerate(shape.slots):
        sides = [(0, 0)] if len(slot.across) == 1 else [(0, 0), (0, 1), (1, 1)]
        for output, (first, second) in enumerate(sides):
            entries: dict[tuple[int, int], int] = {}
            for row, sign in slot.across[first]:
                for column, other in slot.across[second]:
                    _count(entries, row, column, sign * other)
                    if first != second:
                        _count(entries, column, row, sign * other)
            found.append(_Stamp(index, output, tuple((*key, n) for key, n in sorted(entries.items()) if n)))
    return tuple(found)


def _count(entries: dict[tuple[int, int], int], row: int, column: int, sign: int) -> None:
    if row <= column:
        entries[row, column] = entries.get((row, column), 0) + sign


def _order(shape: Shape) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """Each inner variable with its neighbours at the time it is eliminated, fewest neighbours first."""
    beside: dict[int, set[int]] = {n: set() for n in range(shape.inner + shape.kept)}
    for stamp in shape.stamps:
        for row, column, _ in stamp.entries:
            if row != column:
                beside[row].add(column)
                beside[column].add(row)
    left, order = set(range(shape.inner)), []
    while left:
        pivot = min(left, key=lambda n: (len(beside[n]), n))
        left.remove(pivot)
        neighbours = beside.pop(pivot)
        for one in neighbours:
            beside[one] |= neighbours - {one}
            beside[one].discard(pivot)
        order.append((pivot, tuple(sorted(neighbours))))
    return tuple(order)


def stamped(
    shape: Shape, values: tuple[Values, ...], omega: Array, mu: dict[str, Array]
) -> dict[tuple[int, int], Array]:
    """The symmetric admittance matrix as its entries with row <= column, each (copies, points)."""
    entries: dict[tuple[int, int], Array] = {}
    still: dict[tuple[int, int], tuple[Any, Any]] = {}
    fixed = [constants(slot.law, own) for slot, own in zip(shape.slots, values, strict=True)]
    outputs = [
        () if known else LAWS[slot.law](own, omega, mu.get(slot.material))
        for slot, own, known in zip(shape.slots, values, fixed, strict=True)
    ]
    for stamp in shape.stamps:
        known = fixed[stamp.slot]
        for row, column, sign in stamp.entries:
            if known is None:
                _add(entries, (row, column), sign, outputs[stamp.slot][stamp.output])
            else:
                siemens, farads = still.get((row, column), (0.0, 0.0))
                still[row, column] = siemens + sign * known[0], farads + sign * known[1]
    for key, (siemens, farads) in still.items():
        _add(entries, key, 1, siemens + 1j * omega * farads)
    return entries


def _add(entries: dict[tuple[int, int], Array], key: tuple[int, int], sign: int, admittance: Array) -> None:
    before = entries.get(key)
    if before is None:
        entries[key] = sign * admittance
    elif sign == 1:
        before += admittance
    elif sign == -1:
        before -= admittance
    else:
        before += sign * admittance


def reduced(shape: Shape, values: tuple[Values, ...], omega: Array, mu: dict[str, Array], copies: int) -> Array:
    """The matrix of the kept variables after the inner ones are eliminated: (kept, kept, copies, points)."""
    entries = stamped(shape, values, omega, mu)
    for pivot, neighbours in shape.order:
        inverse = 1 / entries[pivot, pivot]
        column = [entries[min(pivot, n), max(pivot, n)] for n in neighbours]
        for at, (one, value) in enumerate(zip(neighbours, column, strict=True)):
            share = value * inverse
            for other, further in zip(neighbours[at:], column[at:], strict=True):
                product = share * further
                key = (one, other)
                if key in entries:
                    entries[key] -= product
                else:
                    entries[key] = -product
    result = np.zeros((shape.kept, shape.kept, copies, omega.size), complex)
    for (one, other), entry in entries.items():
        row, place = one - shape.inner, other - shape.inner
        if row >= 0:
            result[row, place] = result[place, row] = entry
    return result

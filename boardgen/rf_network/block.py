"""A block of the network, such as one strip, reduced to its port and the nets it shares: the Schur complement.

The inner variables of the nodal admittance matrix are eliminated one by one, fewest neighbours first (minimum degree),
on its upper half. Source: G. H. Golub and C. F. Van Loan, Matrix Computations, section 3.2 (recalled).

Cost: each elimination takes the square of the variable's neighbours, which are few, for every copy and frequency at
once. Blocks of one shape are reduced together, their copies and all frequencies being the axes of each array; the order
is worked out once from the pattern alone, and elements of one law are evaluated together. Beside a dense solution this
gains nothing for one board (0.4 against 0.5 ms a strip), and four times for many drawn boards (40 copies: 22 against
88 ms), for which it stands here.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np
from msgspec import Struct

from boardgen.rf_network.device_models import CONSTANT, LAWS, Array, Values, constants

Incidence = tuple[tuple[int, int], ...]
"""The voltage across an element: variables with their signs."""


class Slot(Struct, frozen=True):
    """An element of a shape: its law, its material, and the voltage across each of its pairs."""

    law: str
    material: str
    across: tuple[Incidence, ...]


class Group(Struct, frozen=True):
    """The slots, by their numbers, that have one law and one material."""

    law: str
    material: str
    slots: tuple[int, ...]


class Shape(Struct, frozen=True, dict=True):
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
    def groups(self) -> tuple[Group, ...]:
        """The slots of each law and material, those of constants first."""
        found: dict[tuple[str, str], list[int]] = {}
        for number, slot in enumerate(self.slots):
            found.setdefault((slot.law, slot.material), []).append(number)
        ordered = sorted(found.items(), key=lambda group: group[0][0] not in CONSTANT)
        return tuple(Group(*kind, tuple(numbers)) for kind, numbers in ordered)

    @cached_property
    def stamps(self) -> tuple[_Stamp, ...]:
        """Where each admittance is added."""
        return _stamps(self)

    @cached_property
    def entries(self) -> tuple[tuple[int, int], ...]:
        """The entries of the matrix that anything is added to, as (row, column) with row <= column."""
        return tuple(dict.fromkeys((row, column) for stamp in self.stamps for row, column, _ in stamp.entries))

    @cached_property
    def signs(self) -> tuple[Array, Array]:
        """What each entry sums: of the constants, one a slot, and of the outputs of the other laws, group by group."""
        place = {key: number for number, key in enumerate(self.entries)}
        columns: tuple[list[Array], list[Array]] = ([], [])
        for group in self.groups:
            stamps = [[s for s in self.stamps if s.slot == number] for number in group.slots]
            for of_output in zip(*stamps, strict=True):
                for stamp in of_output:
                    column = np.zeros(len(place))
                    for row, other, sign in stamp.entries:
                        column[place[row, other]] = sign
                    columns[group.law not in CONSTANT].append(column)
        still, moving = (np.array(c).reshape(len(c), len(place)).T for c in columns)
        return still, moving

    @cached_property
    def order(self) -> tuple[tuple[int, tuple[int, ...]], ...]:
        """Each inner variable with its neighbours when it is eliminated."""
        return _order(self)


@functools.lru_cache(256)
def one_object(shape: Shape) -> Shape:
    """The same object for equal shapes, so that looking one up compares nothing and its order is worked out once."""
    return shape


class _Stamp(Struct, frozen=True):
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


def stamped(shape: Shape, values: Sequence[Values], omega: Array, mu: Mapping[str, Array], copies: int) -> Array:
    """The symmetric admittance matrix of blocks of one shape as its entries.

    Parameters
    ----------
    values : for each group of slots the parameters by name, each (slots, copies, 1), SI
    omega : (points,) rad/s
    mu : (points,) complex permeability of each material, mu' - j mu''

    Returns
    -------
    (entries, copies, points) complex, siemens, in the order of `shape.entries`

    """
    still, moving = shape.signs
    known: list[tuple[Array, Array]] = []
    outputs: list[Array] = []
    for group, own in zip(shape.groups, values, strict=True):
        found = constants(group.law, own)
        if found is None:
            outputs += LAWS[group.law](own, omega, mu.get(group.material))
        else:
            known.append(found)
    result = np.zeros((len(shape.entries), copies, omega.size), complex)
    if outputs:
        whole = np.concatenate([np.broadcast_to(o, (o.shape[0], *result.shape[1:])) for o in outputs])
        sums = moving @ np.ascontiguousarray(whole, complex).reshape(whole.shape[0], -1).view(float)
        result = sums.view(complex).reshape(result.shape)
    if known:
        siemens, farads = (still @ np.concatenate(parts)[:, :, 0] for parts in zip(*known, strict=True))
        result.real += siemens[:, :, None]
        result.imag += farads[:, :, None] * omega
    return result


def reduced(shape: Shape, values: Sequence[Values], omega: Array, mu: Mapping[str, Array], copies: int) -> Array:
    """The matrix of the kept variables after the inner ones are eliminated.

    Parameters as of `stamped`. Returns (kept, kept, copies, points) complex, siemens.
    """
    entries = dict(zip(shape.entries, stamped(shape, values, omega, mu, copies), strict=True))
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

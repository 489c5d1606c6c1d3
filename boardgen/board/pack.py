"""Finds places for the parts of a cell: many arrangements are bettered side by side, and the best are kept."""

from __future__ import annotations

import itertools
import random
from functools import lru_cache

import numpy as np

from boardgen.board.drop import Dropped, Forms, Ints
from boardgen.board.job import Job

CHAINS = 24
"""Arrangements that are bettered side by side, from different beginnings."""
TRIALS, FEW_TRIALS = 40, 4
"""How often each of them is changed: to place the parts, and only to judge how much room a cell needs."""
FEW_SEATS = 2
"""Of so few parts every arrangement is tried."""
Place = tuple[int, int, int]
Packed = tuple[int, tuple[Place, ...]]
"""Rows taken, and column, row and turn of every seat."""


@lru_cache(maxsize=8192)
def pack(job: Job, spread_nm: int, earth_nm: int, trials: int) -> tuple[Packed, ...]:
    """The arrangements found, lowest and least wire first; none where a part is too wide for the cell."""
    if all(seat.fixed for seat in job.seats):
        return ((job.rows, tuple(seat.fixed for seat in job.seats if seat.fixed)),)
    search = _search(job, spread_nm, earth_nm)
    return tuple(dict.fromkeys(search.after(trials))) if search else ()


@lru_cache(maxsize=8192)
def _search(job: Job, spread_nm: int, earth_nm: int) -> _Search | _Every | None:
    forms = Forms(job, spread_nm, earth_nm)
    return (_Search(forms, CHAINS) if len(job.seats) > FEW_SEATS else _Every(forms)) if forms.fits else None


def _sorted(forms: Forms, form: Ints, found: Dropped) -> list[Packed]:
    """Arrangements from the best to the worst; `form` is that of each seat."""
    ranks = np.lexsort((found.wire, found.score))
    places = np.stack([found.columns, found.depths, np.array(forms.turns, np.int32)[form]], axis=2)[ranks].tolist()
    return [
        (rows, tuple((x, y, turn) for x, y, turn in seats))
        for rows, seats in zip(found.rows[ranks].tolist(), places, strict=True)
    ]


class _Every:
    """Every arrangement of a cell of few parts."""

    def __init__(self, forms: Forms) -> None:
        lines = [
            (order, form, right)
            for order in itertools.permutations(range(len(forms.of)))
            for form in itertools.product(*forms.of)
            for right in itertools.product((False, True), repeat=len(forms.of))
        ]
        order, form, right = (np.array(each) for each in zip(*lines, strict=True))
        form = form.astype(np.int32)
        self.found = _sorted(forms, form, forms.drop(form, order.astype(np.int32), right))[:CHAINS]

    def after(self, _: int) -> list[Packed]:
        """The best arrangements, however many trials are asked for."""
        return self.found


class _Search:
    """Chains of arrangements, each kept where a change makes it no worse; what lies deep is worse, then long wire.

    It goes on from where it stood, so whoever asks for more trials does not pay for the first ones again.
    """

    def __init__(self, forms: Forms, chains: int) -> None:
        self.forms, self.count = forms, len(forms.of)
        self.chance = random.Random(1)  # noqa: S311 - a fixed sequence, so that the same job is always laid out the same
        self.order = np.tile(np.arange(self.count, dtype=np.int32), (chains, 1))
        self.form = np.array([[mine[0] for mine in forms.of]] * chains, np.int32)
        self.right = np.zeros((chains, self.count), bool)
        for chain in range(1, chains):
            for _ in range(2 * self.count if chain % 2 else 2):
                self._change(self.order, self.form, self.right, chain)
        self.best = forms.drop(self.form, self.order, self.right)
        self.done = 0

    def after(self, trials: int) -> list[Packed]:
        """The arrangements after at least so many changes of each."""
        for _ in range(self.done, trials):
            order, form, right = self.order.copy(), self.form.copy(), self.right.copy()
            for chain in range(len(order)):
                for _ in range(self.chance.choice((1, 1, 2, 3))):
                    self._change(order, form, right, chain)
            self._keep(order, form, right, self.forms.drop(form, order, right))
        self.done = max(self.done, trials)
        return _sorted(self.forms, self.form, self.best)

    def _keep(self, order: Ints, form: Ints, right: np.ndarray, new: Dropped) -> None:
        old = self.best
        better = (new.score < old.score) | ((new.score == old.score) & (new.wire <= old.wire))
        one = better[:, None]
        self.order = np.where(one, order, self.order)
        self.form = np.where(one, form, self.form)
        self.right = np.where(one, right, self.right)
        self.best = Dropped(
            np.where(better, new.score, old.score),
            np.where(better, new.rows, old.rows),
            np.where(better, new.wire, old.wire),
            np.where(one, new.columns, old.columns),
            np.where(one, new.depths, old.depths),
        )

    def _change(self, order: Ints, form: Ints, right: np.ndarray, chain: int) -> None:
        """One part takes another turn or side, or its place in the order is changed."""
        chance, count = self.chance, self.count
        kind, index = chance.random(), chance.randrange(count)
        if kind < 0.25:
            other = chance.randrange(count)
            line = order[chain]
            line[index], line[other] = line[other], line[index]
        elif kind < 0.5:
            line = order[chain].tolist()
            line.insert(chance.randrange(count), line.pop(index))
            order[chain] = line
        elif kind < 0.85:
            form[chain, index] = chance.choice(self.forms.of[index])
        else:
            right[chain, index] = not right[chain, index]

"""Finds places for the parts of a cell: many arrangements are bettered side by side, and the best are kept."""

from __future__ import annotations

import itertools
import random
from array import array
from functools import lru_cache
from typing import TypeAlias

import numpy as np

from boardgen.board.cell_task import Job
from boardgen.board.skyline import Dropped, Forms, Ints

CHAINS = 24
"""Arrangements that are bettered side by side, from different beginnings."""
TRIALS, FEW_TRIALS = 40, 1
"""How often each of them is changed: to place the parts, and only to judge how much room a cell needs."""
FEW_SEATS = 2
"""Of so few parts every arrangement is tried."""
Place = tuple[int, int, int]
Packed = tuple[int, tuple[Place, ...]]
"""Rows taken, and column, row and turn of every seat."""


@lru_cache(maxsize=8192)
def pack(job: Job, spread_nm: int, earth_nm: int, trials: int) -> tuple[Packed, ...]:
    """The arrangements found, lowest and least wire first; none where a part is too wide for the cell."""
    if all(seat.fixed for seat in job.parts):
        return ((job.rows, tuple(seat.fixed for seat in job.parts if seat.fixed)),)
    search = _search(job, spread_nm, earth_nm)
    return tuple(dict.fromkeys(search.after(trials))) if search else ()


@lru_cache(maxsize=8192)
def _search(job: Job, spread_nm: int, earth_nm: int) -> _Search | _Every | None:
    forms = Forms(job, spread_nm, earth_nm)
    return (_Search(forms, CHAINS) if len(job.parts) > FEW_SEATS else _Every(forms)) if forms.fits else None


def _sorted(forms: Forms, form: Ints, found: Dropped) -> list[Packed]:
    """The best arrangements, the best first; `form` is that of each seat in each."""
    ranks = np.lexsort((found.wire, found.score))[:CHAINS]
    places = np.stack([found.columns, found.depths, np.array(forms.turns, np.int32)[form]])[:, :, ranks].T.tolist()
    return [
        (rows, tuple((x, y, turn) for x, y, turn in seats))
        for rows, seats in zip(found.rows[ranks].tolist(), places, strict=True)
    ]


_Chain: TypeAlias = "array[int]"
"""One arrangement to be bettered: the seats in turn, then the form of each, then whether each keeps to the right."""


class _Every:
    """Every arrangement of a cell of few parts."""

    def __init__(self, forms: Forms) -> None:
        lines = [
            (order, form, right)
            for order in itertools.permutations(range(len(forms.of)))
            for form in itertools.product(*forms.of)
            for right in itertools.product((False, True), repeat=len(forms.of))
        ]
        order, form, right = np.array(lines, np.int32).transpose(1, 2, 0)
        self.found = _sorted(forms, form, forms.drop(form, order, right.astype(bool)))

    def after(self, _: int) -> list[Packed]:
        """The best arrangements, however many trials are asked for."""
        return self.found


class _Search:
    """Chains of arrangements, each kept where a change makes it no worse; what lies deep is worse, then long wire.

    It goes on from where it stood, so whoever asks for more trials does not pay for the first ones again.
    """

    def __init__(self, forms: Forms, chains: int) -> None:
        self.forms, self.count = forms, len(forms.of)
        chance = random.Random(1)  # noqa: S311 - a fixed sequence, so that the same job is always laid out the same
        self.share, self.bits = chance.random, chance.getrandbits
        plain = array("H", [*range(self.count), *(mine[0] for mine in forms.of), *[0] * self.count])
        self.chains = [plain]
        for chain in range(1, chains):
            self.chains.append(self._changed(plain, 2 * self.count if chain % 2 else 2))
        self.best = self._dropped(self.chains)
        self.done = 0

    def after(self, trials: int) -> list[Packed]:
        """The arrangements after at least so many changes of each."""
        for _ in range(self.done, trials):
            chains = [self._changed(chain, (1, 1, 2, 3)[self._below(4)]) for chain in self.chains]
            self._keep(chains, self._dropped(chains))
        self.done = max(self.done, trials)
        return _sorted(self.forms, self._table(self.chains)[1], self.best)

    def _table(self, chains: list[_Chain]) -> Ints:
        """Order, form and side of every seat of every chain; chains last."""
        lines = np.frombuffer(b"".join(chains), np.uint16).reshape(-1, 3, self.count)
        return lines.transpose(1, 2, 0).astype(np.int32)

    def _dropped(self, chains: list[_Chain]) -> Dropped:
        order, form, right = self._table(chains)
        return self.forms.drop(form, order, right.astype(bool))

    def _keep(self, chains: list[_Chain], new: Dropped) -> None:
        old = self.best
        better = (new.score < old.score) | ((new.score == old.score) & (new.wire <= old.wire))
        self.chains = [
            mine if is_better else kept
            for mine, kept, is_better in zip(chains, self.chains, better.tolist(), strict=True)
        ]
        self.best = Dropped(
            np.where(better, new.score, old.score),
            np.where(better, new.rows, old.rows),
            np.where(better, new.wire, old.wire),
            np.where(better, new.columns, old.columns),
            np.where(better, new.depths, old.depths),
        )

    def _changed(self, chain: _Chain, times: int) -> _Chain:
        """So often one part takes another turn or side, or its place in the order is changed."""
        seats = chain[:]
        share, below, count, forms = self.share, self._below, self.count, self.forms.of
        for _ in range(times):
            kind, index = share(), below(count)
            if kind < 0.25:
                other = below(count)
                seats[index], seats[other] = seats[other], seats[index]
            elif kind < 0.5:
                other = below(count)
                seats.insert(other, seats.pop(index))
            elif kind < 0.85:
                seats[count + index] = forms[index][below(len(forms[index]))]
            else:
                seats[2 * count + index] ^= 1
        return seats

    def _below(self, limit: int) -> int:
        """A whole number from 0 to below the limit, each as likely."""
        bits = limit.bit_length()
        while (number := self.bits(bits)) >= limit:
            pass
        return number

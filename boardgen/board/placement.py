"""Places the parts of a cell: many arrangements are bettered side by side, and the best are kept.

Algorithm: hill climbing with CHAINS independent chains from a fixed random sequence, each change kept where it makes
its arrangement no worse: rows, and wire that counts as some, since what is joined on short ways is routed. An
arrangement is an order of the parts, a rotation of each, and the side that each keeps to; `skyline` packs and judges
it. Of one or two parts every arrangement is tried. Cost: TRIALS packings of CHAINS arrangements at once.
"""

from __future__ import annotations

import itertools
import random
from functools import lru_cache

import numpy as np

from boardgen.board.cell_task import CellTask, PartPlace
from boardgen.board.skyline import Ints, Packings, Skyline

CHAINS = 24
"""Arrangements that are bettered side by side, from different beginnings."""
TRIALS, FEW_TRIALS = 40, 1
"""How often each of them is changed: to place the parts, and only to judge how much room a cell needs."""
FEW_PARTS = 2
"""Of so few parts every arrangement is tried."""
SWAP, MOVE, ROTATE = 0.25, 0.5, 0.85
"""Below these shares a change swaps two parts, moves one in the order, or turns one; else one changes sides."""
WIRE_ROWS, LEAST_WIRE_ROWS = 0.2, 0.001
"""So many rows count as much as a column of wire, in most chains and in one of LOW, which looks for the lowest cell."""
LOW = 4
CHANGES = (1, 1, 2, 3)
"""How many changes at once, each as likely."""
Arrangement = tuple[int, tuple[PartPlace, ...]]
"""Rows taken, and the place of every part."""


@lru_cache(maxsize=8192)
def arrangements(task: CellTask, spread_nm: int, trials: int) -> tuple[Arrangement, ...]:
    """The arrangements found, lowest and least wire first; none where a part is too wide for the cell.

    `spread_nm` is more space about every part, `trials` how often each chain is changed.
    """
    if all(part.fixed for part in task.parts):
        return ((task.rows, tuple(part.fixed for part in task.parts if part.fixed)),)
    search = _search(task, spread_nm)
    return tuple(dict.fromkeys(search.after(trials))) if search else ()


@lru_cache(maxsize=8192)
def _search(task: CellTask, spread_nm: int) -> _HillClimb | _Every | None:
    skyline = Skyline(task, spread_nm)
    if not skyline.fits:
        return None
    return _HillClimb(skyline, CHAINS) if len(task.parts) > FEW_PARTS else _Every(skyline)


def _sorted(skyline: Skyline, rotations: Ints, found: Packings) -> list[Arrangement]:
    """The best arrangements, the best first; `rotations` has that of each part in each."""
    ranks = np.lexsort((found.wire, found.score))[:CHAINS]
    quarters = np.array([rotation.rotation for rotation in skyline.rotations], np.int32)[rotations]
    places = np.stack([found.columns, found.depths, quarters])[:, :, ranks].T.tolist()
    return [
        (rows, tuple((x, y, rotation) for x, y, rotation in parts))
        for rows, parts in zip(found.rows[ranks].tolist(), places, strict=True)
    ]


class _Every:
    """Every arrangement of a cell of few parts."""

    def __init__(self, skyline: Skyline) -> None:
        lines = [
            (order, rotations, right)
            for order in itertools.permutations(range(len(skyline.of_part)))
            for rotations in itertools.product(*skyline.of_part)
            for right in itertools.product((False, True), repeat=len(skyline.of_part))
        ]
        order, rotations, right = np.array(lines, np.int32).transpose(1, 2, 0)
        self.found = _sorted(skyline, rotations, skyline.pack(rotations, order, right.astype(bool)))

    def after(self, _: int) -> list[Arrangement]:
        """The best arrangements, however many trials are asked for."""
        return self.found


_Chain = list[int]
"""One arrangement to be bettered: the parts in turn, the rotation of each, then whether each keeps to the right."""


class _HillClimb:
    """Chains of arrangements, each kept where a change makes it no worse.

    It goes on from where it stood, so whoever asks for more trials does not pay for the first ones again.
    """

    def __init__(self, skyline: Skyline, chains: int) -> None:
        self.skyline, self.count = skyline, len(skyline.of_part)
        # a fixed sequence, so that the same cell is always laid out the same
        chance = random.Random(1)  # noqa: S311
        self.share, self.below = chance.random, chance.randrange
        plain = [*range(self.count), *(mine[0] for mine in skyline.of_part), *[0] * self.count]
        self.chains = [plain]
        for chain in range(1, chains):
            self.chains.append(self._changed(plain, 2 * self.count if chain % 2 else 2))
        self.best = self._packed(self.chains)
        self.done = 0
        self.weight = np.where(np.arange(chains) % LOW, WIRE_ROWS, LEAST_WIRE_ROWS)

    def after(self, trials: int) -> list[Arrangement]:
        """The arrangements after at least so many changes of each."""
        for _ in range(self.done, trials):
            chains = [self._changed(chain, CHANGES[self.below(len(CHANGES))]) for chain in self.chains]
            self._keep(chains, self._packed(chains))
        self.done = max(self.done, trials)
        return _sorted(self.skyline, self._table(self.chains)[1], self.best)

    def _table(self, chains: list[_Chain]) -> Ints:
        """Order, rotation and side of every part of every chain; chains last."""
        return np.array(chains, np.int32).reshape(-1, 3, self.count).transpose(1, 2, 0)

    def _packed(self, chains: list[_Chain]) -> Packings:
        order, rotations, right = self._table(chains)
        return self.skyline.pack(rotations, order, right.astype(bool))

    def _keep(self, chains: list[_Chain], new: Packings) -> None:
        old = self.best
        better = new.score + self.weight * new.wire <= old.score + self.weight * old.wire
        self.chains = [
            mine if is_better else kept
            for mine, kept, is_better in zip(chains, self.chains, better.tolist(), strict=True)
        ]
        self.best = Packings(
            np.where(better, new.score, old.score),
            np.where(better, new.rows, old.rows),
            np.where(better, new.wire, old.wire),
            np.where(better, new.columns, old.columns),
            np.where(better, new.depths, old.depths),
        )

    def _changed(self, chain: _Chain, times: int) -> _Chain:
        """So often one part takes another rotation or side, or its place in the order is changed."""
        parts = chain[:]
        count, of_part = self.count, self.skyline.of_part
        for _ in range(times):
            share, index = self.share(), self.below(count)
            if share < SWAP:
                other = self.below(count)
                parts[index], parts[other] = parts[other], parts[index]
            elif share < MOVE:
                parts.insert(self.below(count), parts.pop(index))
            elif share < ROTATE:
                parts[count + index] = of_part[index][self.below(len(of_part[index]))]
            else:
                parts[2 * count + index] ^= 1
        return parts

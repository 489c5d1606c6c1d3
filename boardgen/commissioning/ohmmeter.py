"""Ohms between points of one network under many small changes, which need not be checked anew each time.

Effective resistance by nodal analysis, one linear solution with a column for each pair of points: n^3 a change.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.direct_current.elements import Element, Resistor
from boardgen.direct_current.network import Network

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Branch = tuple[int, int, float]
"""Places of both ends, and siemens."""


class Ohmmeter(Struct, frozen=True, dict=True):
    """A network whose resistors are all above zero ohm; curves count as open, and it holds no sources."""

    network: Network
    pairs: tuple[tuple[str, str], ...]

    @cached_property
    def _place(self) -> dict[str, int]:
        return {node: n for n, node in enumerate(self.network.nodes)}

    @cached_property
    def _branches(self) -> dict[str, Branch]:
        return {e.name: branch for e in self.network.elements if (branch := self._branch(e))}

    @cached_property
    def _tips(self) -> NDArray[np.float64]:
        """A column for each pair: 1 A in at its first point, out at its second; shape (nodes, pairs)."""
        import numpy as np

        found = np.zeros((len(self._place), len(self.pairs)))
        for column, (a, b) in enumerate(self.pairs):
            found[self._place[a], column] += 1
            found[self._place[b], column] -= 1
        return found

    def _branch(self, element: Element) -> Branch | None:
        if isinstance(element, Resistor) and math.isfinite(element.ohm):
            return self._place[element.a], self._place[element.b], 1 / element.ohm
        return None

    def read(self, change: Sequence[Element] = ()) -> tuple[float, ...]:
        """Ohms of each pair with those elements in place of their namesakes; infinite where no path joins them."""
        import numpy as np

        from boardgen.direct_current.arrays import stamped

        branches = self._branches
        if change:
            names = {e.name for e in change}
            branches = {name: b for name, b in branches.items() if name not in names}
            branches |= {e.name: branch for e in change if (branch := self._branch(e))}
        size = len(self._place)
        head = _heads(size, branches)
        a, b, siemens = (np.array(column) for column in zip(*branches.values(), strict=True))
        matrix = stamped(a, b, siemens, size)
        # the head of each group of joined points is its zero
        zeros = [n for n in range(size) if head[n] == n]
        matrix[zeros, :] = 0.0
        matrix[:, zeros] = 0.0
        matrix[zeros, zeros] = 1.0
        tips = self._tips.copy()
        tips[zeros, :] = 0.0
        ohms = np.sum(tips * np.linalg.solve(matrix, tips), axis=0)
        return tuple(
            math.inf if head[self._place[a]] != head[self._place[b]] else max(0.0, float(ohm))
            for (a, b), ohm in zip(self.pairs, ohms, strict=True)
        )


def _heads(size: int, branches: dict[str, Branch]) -> list[int]:
    """Of every point the first that a path leads to."""
    head = list(range(size))
    for a, b, _ in branches.values():
        while head[a] != a:
            a = head[a]
        while head[b] != b:
            b = head[b]
        if a != b:
            head[max(a, b)] = min(a, b)
    for n in range(size):
        head[n] = head[head[n]]
    return head

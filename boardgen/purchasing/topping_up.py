"""How many more of which lines bring an order to exactly the value of goods that is worth reaching."""

from __future__ import annotations

from collections.abc import Sequence

from boardgen.purchasing.columns import Column


def steps_adding(columns: Sequence[Column], amount: int) -> tuple[int, ...] | None:
    """The extra steps of each column that together cost exactly so much, on as few lines as come first; else None.

    Sets of sums are kept as the bits of whole numbers: bit n is set where n can be reached.
    """
    reachable = [1]
    within = (1 << (amount + 1)) - 1
    for column in columns:
        sums = 0
        for cost in _costs(column, amount):
            sums |= reachable[-1] << cost
        reachable.append(sums & within)
    if not reachable[-1] >> amount & 1:
        return None
    steps = [0] * len(columns)
    left = amount
    for number in range(len(columns) - 1, -1, -1):
        costs = _costs(columns[number], left)
        steps[number] = next(n for n, cost in enumerate(costs) if reachable[number] >> (left - cost) & 1)
        left -= costs[steps[number]]
    return tuple(steps)


def _costs(column: Column, most: int) -> list[int]:
    """What 0, 1, 2 ... extra steps of a column cost, up to `most`."""
    if column.extra is None or column.lot is None:
        return [0]
    found = []
    for steps in range(column.extra.most + 1):
        quantity = column.quantity + steps * column.extra.step
        cost = column.lot.cost(quantity, column.extra.price) - column.cost
        if cost > most:
            break
        found.append(cost)
    return found

"""How long an action takes, for ratios of two in one run."""

import time
from collections.abc import Callable


def least_s(action: Callable[[], object], runs: int, clock: Callable[[], float] = time.perf_counter) -> float:
    """Least time, after one run that is not counted: what else runs on the machine only ever adds."""
    action()
    times = []
    for _ in range(runs):
        start = clock()
        action()
        times.append(clock() - start)
    return min(times)

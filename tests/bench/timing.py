"""How long an action takes, for ratios of two in one run."""

import time
from collections.abc import Callable


def least_s(action: Callable[[], object], runs: int) -> float:
    """Least wall time, after one run that is not counted: what else runs on the machine only ever adds."""
    action()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return min(times)

"""Tasks of a long command on all processors: copies of this process do them, so that nothing but results is passed.

Eight boxes of eight antennas take two thirds of the time on two processors. Where processes cannot be copied, and for
few tasks, they are done in turn.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from signal import SIG_IGN, SIGINT, signal
from typing import Any, Final, TypeVar

from boardgen.model.tasks import in_turn

T = TypeVar("T")
LEAST_TASKS: Final = 8
"""Fewer are done before copies are made."""
_tasks: list[Callable[[], Any]] = []
"""What the copies find when they begin."""


def side_by_side(tasks: Sequence[Callable[[], T]], /) -> Iterator[T]:
    """As many tasks at once as there are processors."""
    workers = _processors()
    if workers < 2 or len(tasks) < LEAST_TASKS or "fork" not in multiprocessing.get_all_start_methods():
        yield from in_turn(tasks)
        return
    _tasks[:] = tasks
    try:
        with ProcessPoolExecutor(workers, multiprocessing.get_context("fork"), _begin) as pool:
            yield from pool.map(_one, range(len(tasks)))
    finally:
        _tasks.clear()


def _processors() -> int:
    """Those that this process may use, where the system tells."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _begin() -> None:
    """A copy is stopped by the process that it is a copy of, not by the keyboard."""
    signal(SIGINT, SIG_IGN)


def _one(number: int) -> Any:
    return _tasks[number]()

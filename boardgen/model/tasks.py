"""Work in pieces that do not need one another, so that whoever starts it may do several at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Protocol, TypeVar

T = TypeVar("T")


class Run(Protocol):
    """Does tasks and gives their results in order."""

    def __call__(self, tasks: Sequence[Callable[[], T]], /) -> Iterator[T]:
        """The result of each task; none may change what another reads."""


def in_turn(tasks: Sequence[Callable[[], T]], /) -> Iterator[T]:
    """One after the other, in this process."""
    return (task() for task in tasks)

"""A mapping that is worked out when it is first looked at: most parts of the catalogue never are."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from typing import TypeVar

Value = TypeVar("Value")


class Later(Mapping[str, Value]):
    """Behaves as the mapping that `make` returns."""

    def __init__(self, make: Callable[[], Mapping[str, Value]]) -> None:
        self._make = make

    @cached_property
    def _made(self) -> Mapping[str, Value]:
        return self._make()

    def __getitem__(self, key: str) -> Value:
        return self._made[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._made)

    def __len__(self) -> int:
        return len(self._made)

    def __eq__(self, other: object) -> bool:
        return self._made == (other._made if isinstance(other, Later) else other)

    def __hash__(self) -> int:
        return hash(tuple(self._made))

    def __repr__(self) -> str:
        return repr(self._made)

"""Makers' numbers, by which people know parts, in the place of our keys."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from boardgen.model.part import Part

Keys = Mapping[str, str]
"""Catalogue key by what else may stand for it in a table."""
NO_KEYS: Keys = {}


def keys_by_number(parts: Iterable[Part]) -> dict[str, str]:
    """The key of each part by its maker's number, where no other part has that number, nor is it a key itself."""
    parts = list(parts)
    keys = {part.key for part in parts}
    numbers = [part.number for part in parts]
    twice = {number for number in numbers if numbers.count(number) > 1}
    return {part.number: part.key for part in parts if part.number and part.number not in (keys | twice)}

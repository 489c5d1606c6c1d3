"""A number of things in words."""

from __future__ import annotations


def counted(number: int, one: str, many: str = "") -> str:
    """Such as "1 box" or "2 boxes"; `many` is given where it is not the one with an s."""
    return f"{number} {one}" if number == 1 else f"{number} {many or f'{one}s'}"

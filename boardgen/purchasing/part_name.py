"""What a part is called in a sentence."""

from __future__ import annotations

from boardgen.model.part import Part

_NOBODY = ("", "any", "none")


def part_name(part: Part) -> str:
    """Maker and number; of a part that anybody makes only the number, or else what it is."""
    maker = "" if part.maker in _NOBODY else part.maker
    return " ".join(word for word in (maker, part.number) if word) or part.description or part.key

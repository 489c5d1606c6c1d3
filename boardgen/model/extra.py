"""What a board takes to build beside the parts that stand on it."""

from __future__ import annotations

from msgspec import Struct

from boardgen.model.part import Part


class Extra(Struct, frozen=True):
    """So much of a part for one board, in the part's unit; `spare` where some may be lost in building."""

    part: Part
    quantity: float
    spare: bool
    note: str

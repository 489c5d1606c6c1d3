"""How the windings of a transformer lie, and what follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Literal

from msgspec import Struct

WindingStyle = Literal["apart", "pair"]
"""apart: two windings side by side in the same holes. pair: both wires wound together, touching."""

STYLE_WORDS: Final[Mapping[WindingStyle, str]] = {"apart": "windings apart", "pair": "windings as a pair"}
"""What people read of a style; nothing else is made from these words."""


class Wound(Struct, frozen=True):
    """The style of a transformer's windings and its leakage, henries seen from the board's side."""

    style: WindingStyle
    leakage_h: float

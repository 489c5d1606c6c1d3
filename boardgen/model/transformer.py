"""How the windings of a transformer lie, and what follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Literal

from msgspec import Struct

from boardgen.model.figure import Figure

WindingStyle = Literal["apart", "pair"]
"""apart: each winding in its own half of each hole. pair: wires of both wound together, touching."""

STYLE_WORDS: Final[Mapping[WindingStyle, str]] = {"apart": "windings apart", "pair": "windings as a pair"}
"""What people read of a style; nothing else is made from these words."""


class Wound(Struct, frozen=True):
    """How a transformer is wound: its style, and what follows from where the wires lie.

    `leakage` is in henries seen from the board's side, `interwinding` the capacitance between the windings in farads,
    both with their range; `proximity` is the loss of the wires over that of lone ones. `compensated` says whether a
    capacitor at each end meets the leakage.
    """

    style: WindingStyle
    leakage: Figure
    interwinding: Figure
    proximity: float
    compensated: bool

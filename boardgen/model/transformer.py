"""How the windings of a transformer lie, where their wires leave the core, and what follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Literal

from msgspec import Struct

from boardgen.model.figure import Figure

WindingStyle = Literal["apart", "pair"]
"""apart: each winding in its own half of each hole. pair: wires of both wound together, touching."""

STYLE_WORDS: Final[Mapping[WindingStyle, str]] = {"apart": "windings apart", "pair": "windings as a pair"}
"""What people read of a style; nothing else is made from these words."""

PRIMARY: Final = ("primary start", "primary end")
SECONDARY: Final = ("secondary start", "secondary end")
Face = Literal["port", "board"]
Mistake = Literal["one winding reversed", "port winding a turn short"]
"""What is easily done wrong in winding, and neither a meter nor loss tells."""


class Lead(Struct, frozen=True):
    """Where an end of a winding leaves a two-hole core: the face, and hole 1 or 2. Hole 1 is that of pad P1."""

    face: Face
    hole: int


LEADS: Final[Mapping[str, Lead]] = {
    "primary start": Lead("port", 1),
    "primary end": Lead("port", 2),
    "secondary start": Lead("board", 2),
    "secondary end": Lead("board", 1),
}
"""The sense of winding: sheet, picture, prediction, the cell of the layout and the footprints follow from it."""


def same_sense(leads: Mapping[str, Lead] = LEADS) -> bool:
    """Whether currents into both starts magnetise the core alike: starts at one face lie in one hole, else not."""
    one, other = leads[PRIMARY[0]], leads[SECONDARY[0]]
    return (one.face == other.face) == (one.hole == other.hole)


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

"""What a stage asks of the layout: its parts, how they may be turned, and the pair that goes on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from boardgen.model.netlist import Component

Pair = tuple[str, str]
CellPlace = Literal["path", "port", "earth", "above bus", "bus", "lines", "entry", "filler"]
"""Where in a strip a cell lies, which decides what of it is drawn at given places: most lie in the path of the pair."""


class CellPart(Struct, frozen=True):
    """A part to be placed in a cell. `rotations` are the quarter turns anticlockwise that it may take, best first."""

    component: Component
    rotations: tuple[int, ...] = (0, 1, 2, 3)


class Cell(Struct, frozen=True):
    """The parts of one stage in the order in which they are placed, and the pair inward of the stage.

    `crossed` says that the pair comes in with the braid on the left, as a two-hole core wants it. `resting` is the pair
    that a changeover takes from the bus on its left. It is `shared` where it holds the parts of several stages.
    """

    stage: str
    parts: tuple[CellPart, ...] = ()
    inward: Pair | None = None
    crossed: bool = False
    resting: Pair | None = None
    place: CellPlace = "path"
    shared: bool = False


PinNets = Mapping[str, Mapping[str, str]]
"""The net of each pin: its name by designator and pin role."""

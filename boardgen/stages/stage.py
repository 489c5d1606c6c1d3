"""What a stage says of itself: one record, which circuit, sizing, board, prediction, schematic and book read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from msgspec import Struct

from boardgen.model.cell import Cell, Pair, PinNets
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.outcome import Outcome
from boardgen.model.sketch import Sketch
from boardgen.model.wiring import Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.line_nets import Line
from boardgen.stages.pen import Pen

MakeCell = Callable[[tuple[Component, ...], PinNets, Pair], Cell]
"""From the parts of a stage on one strip, the nets of every pin, and the pair on the side of the port."""
MakeSketch = Callable[[tuple[Component, ...], Pen, Pair], Sketch]
"""The same, with the pen in the place of the nets, which it has."""


def without_relays(request: Request, strip: Strip) -> Line | None:
    """The control line of a stage that has no relays."""
    return None


def no_length(request: Request, strip: Strip) -> float:
    """The length of a stage whose parts lie beside those of others."""
    return 0.0


def sized_elsewhere(request: Request) -> Outcome:
    """Nothing: the parts of the stage are among the decisions in `boardgen/sizing/`."""
    return Outcome()


class StripStage(Struct, frozen=True):
    """A stage of which a strip, an antenna's or the output's, has a copy between its port and the bus.

    Parameters
    ----------
    name
        How the stage is called, in the places of its parts too.
    fitted
        Whether that strip has the stage at all.
    wiring
        Its parts and local nets. Its relays hang on the local net "control", which is the line that `control` gives.
    cell, symbol
        How its parts are laid out and drawn. Each gives the pair that goes on behind the stage.
    in_series
        Whether its parts stand in the path of the pair and have a cell of their own; those of others lie at the port.
    behind
        What the nets of the pair behind it are called, between the strip's name and "centre": `name` if not given.
    chained
        Whether the pair behind it leads to the next strip's stage of this kind, and only the last one's to the bus.
    length_m
        By how much it makes that strip longer, in metres, as long as the board is not laid out: an estimate.
    small_parts
        Whether its parts are so small that they fill room beside those of other stages of the strip.
    control
        The control line of its relays on that strip and how many coils hang on it, None where it has none. One of the
        kind "select" is live while its antenna is selected, one of the kind "stage" beside any antenna too.

    """

    name: str
    fitted: Callable[[Request, Strip], bool]
    wiring: Callable[[Request, Strip, Choices], Wiring]
    cell: MakeCell
    symbol: MakeSketch
    in_series: bool = True
    behind: str = ""
    chained: bool = False
    length_m: Callable[[Request, Strip], float] = no_length
    small_parts: bool = False
    control: Callable[[Request, Strip], Line | None] = without_relays
    size: Callable[[Request], Outcome] = sized_elsewhere


class BoardStage(Struct, frozen=True):
    """A stage that the board has once, laid out on the strip of the output.

    Parameters
    ----------
    name
        How the stage is called, in the places of its parts too.
    wiring
        Its parts, on the board's own nets, from the lines of the control cable.
    beside
        Where its parts lie: below the output's port, above the bus, or at the lines of each strip, below the bus.
    cells
        How they are laid out, from top to foot.
    symbol
        How they are drawn: at the end of the output's path beside the bus, else by themselves. None for what is drawn
        line by line.

    """

    name: str
    wiring: Callable[[Request, tuple[Line, ...], Choices], Wiring]
    beside: Literal["port", "bus", "lines"]
    cells: tuple[MakeCell, ...]
    symbol: MakeSketch | None = None
    size: Callable[[Request], Outcome] = sized_elsewhere

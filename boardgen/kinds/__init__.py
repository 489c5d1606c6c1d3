"""The kinds of parts, one module each: class letter, pins, figures, symbol, laws, faults, soldering, looks.

A new kind is a module with its record and a line in KINDS. Whoever must know something of a part's kind asks
`kind_of(part)`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from boardgen.kinds.bifilar_choke import BIFILAR_CHOKE
from boardgen.kinds.capacitor import CAPACITOR
from boardgen.kinds.choke import CHOKE
from boardgen.kinds.connector import CONNECTOR
from boardgen.kinds.core import CORE
from boardgen.kinds.diode import DIODE
from boardgen.kinds.fuse import FUSE
from boardgen.kinds.gas_tube import GAS_TUBE
from boardgen.kinds.indicator import INDICATOR
from boardgen.kinds.jack import JACK
from boardgen.kinds.kind import Kind
from boardgen.kinds.link import LINK
from boardgen.kinds.off_board import (
    BARE_BOARD,
    BOARD_RATE,
    CABLE,
    CABLE_FUSE,
    CLAMP_ON_CORE,
    ENCLOSURE,
    HARDWARE,
    SWITCH,
    WINDING_WIRE,
)
from boardgen.kinds.relay import RELAY
from boardgen.kinds.resistor import RESISTOR
from boardgen.kinds.stud import STUD
from boardgen.kinds.suppressor import SUPPRESSOR
from boardgen.kinds.symbol import ACROSS, BOX, LEADS, PLAIN, Symbol
from boardgen.kinds.terminal import TERMINAL
from boardgen.model.figure import Figure
from boardgen.model.part import Part

KINDS: Final[tuple[Kind, ...]] = (
    RELAY,
    CHOKE,
    BIFILAR_CHOKE,
    CAPACITOR,
    CORE,
    WINDING_WIRE,
    CABLE,
    CLAMP_ON_CORE,
    RESISTOR,
    DIODE,
    SUPPRESSOR,
    GAS_TUBE,
    TERMINAL,
    STUD,
    JACK,
    CONNECTOR,
    INDICATOR,
    FUSE,
    CABLE_FUSE,
    SWITCH,
    LINK,
    ENCLOSURE,
    HARDWARE,
    BARE_BOARD,
    BOARD_RATE,
)
KIND: Final[Mapping[str, Kind]] = {kind.name: kind for kind in KINDS}
"""The kinds by name."""
SYMBOLS: Final = {
    PLAIN: Symbol(ACROSS, LEADS, BOX),
    **{name: symbol for kind in KINDS for name, symbol in kind.symbols.items()},
}
"""All symbols of the schematic by name."""


def figure(part: Part, name: str) -> Figure:
    """The catalogue's figure, else the one assumed for its kind; KeyError where there is neither."""
    return part.figures[name] if name in part.figures else KIND[part.kind].assumed[name]


def kind_of(part: Part) -> Kind:
    """The kind of a part; the catalogue takes no other."""
    return KIND[part.kind]

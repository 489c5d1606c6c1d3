"""What is known of a kind of part, whichever maker's: one record that catalogue, circuit, board and book ask."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, Literal, NamedTuple

from msgspec import Struct, field

from boardgen.kinds.direct_current import DirectLaw
from boardgen.kinds.fault import FaultLaw
from boardgen.kinds.fault import none as no_fault
from boardgen.kinds.radio import RadioLaw
from boardgen.kinds.symbol import PLAIN, Symbol
from boardgen.model.figure import Figure
from boardgen.model.netlist import Component
from boardgen.model.part import Part

RolePair = tuple[str, str]
TWO = ("1", "2")


class KnownFigure(NamedTuple):
    """Unit of a figure, and whether a part without it cannot be sized."""

    unit: str
    needed: bool = False


def needed(unit: str) -> KnownFigure:
    """A figure in that unit without which a part cannot be sized."""
    return KnownFigure(unit, needed=True)


def no_pair(component: Component) -> tuple[RolePair, ...]:
    """Nothing that the signal passes."""
    return ()


def in_series(component: Component) -> tuple[RolePair, ...]:
    """A part of two pins in series with the signal, where its stage has put it there."""
    return (TWO,) if component.in_series else ()


class Paths(Struct, frozen=True):
    """Pairs of pin roles that a part joins.

    `signal` gives those that the received signal passes, which may hang on the part's place. `low_resistance` are those
    that a direct current passes almost freely, `resistive` those besides that let static charge through.
    """

    signal: Callable[[Component], tuple[RolePair, ...]] = no_pair
    low_resistance: tuple[RolePair, ...] = ()
    resistive: tuple[RolePair, ...] = ()


class Without(Struct, frozen=True):
    """Why a kind has no law of a sort, to be read after "it has none: "."""

    reason: str


NOT_SAID: Final = Without("")
"""Of what never stands on a board; a check finds every fitted part of a kind that leaves it at this."""


class Mark(Struct, frozen=True):
    """The pad that says which way round a part stands.

    `role` is its pin role, `on_part` how the part itself is marked there ("" for its number alone), `meaning` what is
    at that pin.
    """

    role: str
    on_part: str
    meaning: str


class Assembly(Struct, frozen=True):
    """How a kind is put on the board.

    `title` heads its step. Parts go in by their height, which is `assumed_height_nm` where no drawing gives it: it only
    puts the steps in order. `late_since` is why a kind comes after taller ones all the same: it hangs on thin wire,
    say. What is wired when the board is `in_the_box` comes last. `note` is a caution or a hint. `way_round` says how a
    part without a `mark` stands; `starts` are winding ends that are named instead, by pin role.
    """

    title: str
    assumed_height_nm: int = 12_000_000
    late_since: str = ""
    in_the_box: bool = False
    note: str = ""
    mark: Mark | None = None
    starts: tuple[tuple[str, str], ...] = ()
    way_round: str = "either way round"


class Appearance(Struct, frozen=True):
    """How a body looks in pictures of the board, and what the silkscreen says of it.

    `colour` is "" where no body is drawn. `dark` bodies are lettered light. `marked` says how the silkscreen tells
    which way round: a corner at pin 1, or a band or bar at the cathode; `dots` are the roles of pins that bear a dot.
    `letters` are written beside the pins of some roles. `names_each_pin` says that what each pin is for is written
    beside it.
    """

    colour: str = "#8A8F8C"
    dark: bool = False
    is_round: bool = False
    marked: Literal["", "pin 1", "cathode"] = ""
    dots: tuple[str, ...] = ()
    letters: tuple[tuple[str, tuple[str, ...]], ...] = ()
    names_each_pin: bool = False


class Kind(Struct, frozen=True, kw_only=True):
    """A kind of part: all that the program knows of it beside the figures of one maker's part.

    Parameters
    ----------
    name : as the catalogue writes it
    figures : the closed table of figures a part of the kind may have, by name, with their units
    letter : IEEE 315 class letter of its designators; "" for what never stands on a board
    pins : the closed list of pin roles, in the order of its symbol
    may_be_free : pin roles that a stage may leave open
    symbols : symbols of the schematic by name
    symbol_for : the name of the one for a part; by default the first
    paths : what it joins
    assumed : figures that no sheet in the catalogue gives, each with the range it may take, until it is measured; a
        figure of the same name in the catalogue always wins
    radio : its elements for radio frequencies, or why it has none
    direct_current : its elements for direct current, or why it has none
    faults : what is commonly wrong with one on a freshly built board
    rating : the figure that must bear the voltage (in V) or the feed's current (in A) that the part meets
    signal_pins : pin roles whose nets carry the received signal, and are laid for it
    carries_feed : whether any other net at it is a feed's, and laid as one
    is_wound : whether its body faces its neighbours with the whole of a winding, so that fields couple them
    open_core : whether its field spreads about it as that of a dipole
    clear_beneath : whether no 0V copper is to be poured beneath its body
    outside : what a person joins to it from outside the board: a coax port or a line of the control cable
    side_by_side : how many that are reached from outside share the width of a strip
    bears_surge : whether each of its pins takes the current of a surge: what arrests it, and ends of thick wires
    bolted : whether a lug is bolted to its copper from above: no wire enters it from the side, and no iron heats it
    ruined_by : what of a wrong one leaves a board that cannot be used, a noun: it does not fit, or cannot be had
    instead : what else may be chosen in the specification where no hole pattern of it is known
    assembly, appearance : how it is put on the board, and how it looks there

    """

    name: str
    figures: Mapping[str, KnownFigure]
    letter: str = ""
    pins: tuple[str, ...] = ()
    may_be_free: tuple[str, ...] = ()
    symbols: Mapping[str, Symbol] = field(default_factory=dict)
    symbol_for: Callable[[Part], str] | None = None
    paths: Paths = Paths()
    assumed: Mapping[str, Figure] = field(default_factory=dict)
    radio: RadioLaw | Without = NOT_SAID
    direct_current: DirectLaw | Without = NOT_SAID
    faults: FaultLaw = no_fault
    rating: str = ""
    signal_pins: tuple[str, ...] = ()
    carries_feed: bool = False
    is_wound: bool = False
    open_core: bool = False
    clear_beneath: bool = False
    outside: Literal["", "port", "line"] = ""
    side_by_side: int = 1
    bears_surge: bool = False
    bolted: bool = False
    ruined_by: str = ""
    instead: str = ""
    assembly: Assembly = Assembly("")
    appearance: Appearance = Appearance()

    def symbol_of(self, part: Part) -> str:
        """The name of the symbol of a part, which is a plain box where its kind has none: a check finds that."""
        return self.symbol_for(part) if self.symbol_for else next(iter(self.symbols), PLAIN)


def assumed(value: float, unit: str, low: float, high: float, why: str) -> Figure:
    """An assumed figure with the range it may take, and why."""
    return Figure(value, unit, "assumed", f"assumed: {why}", low, high)

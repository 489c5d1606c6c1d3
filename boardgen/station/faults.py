"""What may go wrong, one thing at a time: conductors, diodes, plugs, water at terminals, a welded output."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Final, Literal, get_args

from msgspec import Struct

from boardgen.direct_current.elements import OPEN, Curve, Element, Resistor
from boardgen.station.conductors import Conductor
from boardgen.station.network import (
    SelectorDiode,
    State,
    Station,
    conductor_name,
    contact,
    ends,
    selector_diode,
    steering_diode,
)
from boardgen.station.steering import Joint

Kind = Literal[
    "open conductor",
    "open return",
    "open diode",
    "shorted diode",
    "shorted conductors",
    "crossed conductors",
    "plugs A and B",
    "wet terminal",
    "welded output",
]
WET_OHM: Final = 10e3
"""Between neighbouring terminals: a film of dirty water, an assumed figure."""
SHORT_OHM: Final = 0.1
"""A diode that failed shorted, or two conductors that touch (assumed)."""
PLUGS: Final = {1: 3, 2: 6, 3: 1, 6: 2}
"""Where a position of an eight-way plug made T568A ends in one made T568B: the two orders change these pairs over.

Source: TIA-568, as in handbook/data_cable.py.
"""


class Befell(Struct, frozen=True):
    """What a fault befell, in words; `joint` where it is the diode of that joint, `box` where it is a box's cable."""

    words: str
    joint: Joint | None = None
    box: str = ""

    def __str__(self) -> str:
        return self.words


class SingleFault(Struct, frozen=True):
    """One fault: its kind, what it befell, and the elements that stand in the place of sound ones."""

    kind: Kind
    befell: Befell
    change: tuple[Element, ...]

    @property
    def name(self) -> str:
        """Kind, and what it befell."""
        return f"{self.kind}: {self.befell}"


def single_faults(station: Station, sound: State) -> tuple[SingleFault, ...]:
    """Every single fault of the station. The same in every state, but for the elements of its own corner."""
    found: list[SingleFault] = []
    for box in station.boards:
        found += _open(station, box, sound)
    found += _diode_faults(station, sound)
    for box in station.boards:
        found += _shorted(station, box)
        found += _crossed(station, box, sound)
        found += _plugs(station, box, sound)
        found += _wet(station, box)
    for output in station.steering.outputs:
        welded = (contact(station, output.number, closed=True),)
        found.append(SingleFault("welded output", Befell(f"output {output.number}"), welded))
    return tuple(found)


def _open(station: Station, box: str, sound: State) -> Iterator[SingleFault]:
    """Each line and each return of a cable, and all returns together as at a loose common terminal."""
    used = [c for c in station.cables[box].conductors if ends(station, box, c) is not None]
    opened = {c: _opened(sound, box, c) for c in used}
    for c, element in opened.items():
        if not c.is_return:
            words = f"{box}, {place_text(c)}, {c.what}"
            yield SingleFault("open conductor", Befell(words, box=box), (element,))
    returns = [c for c in used if c.is_return]
    if len(returns) > 1:
        for c in returns:
            yield SingleFault("open return", Befell(f"{box}, {place_text(c)}", box=box), (opened[c],))
    together = tuple(opened[c] for c in returns)
    yield SingleFault("open return", Befell(f"{box}, 0V altogether", box=box), together)


def _opened(sound: State, box: str, conductor: Conductor) -> Element:
    element = sound.network.element[conductor_name(box, conductor)]
    return Resistor(element.name, *element.ends, OPEN)


def _diode_faults(station: Station, sound: State) -> Iterator[SingleFault]:
    """Every diode shorted, then open: steering, series and flyback diodes and lamps, but not suppressors."""
    known = _diodes(station)
    found = [(e, known[e.name]) for e in sound.network.elements if isinstance(e, Curve) and e.name in known]
    for element, befell in found:
        yield SingleFault("shorted diode", befell, (Resistor(element.name, *element.ends, SHORT_OHM),))
    for element, befell in found:
        yield SingleFault("open diode", befell, (Resistor(element.name, *element.ends, OPEN),))


def _diodes(station: Station) -> dict[str, Befell]:
    """What each diode is, by the name of its element: "dune D2, series diode of north"."""
    boards, selector = [*station.boards.values()], station.selector
    outside = {(name := steering_diode(joint)): Befell(name, joint) for joint in station.steering.diodes}
    if selector is not None and selector.board is not None:
        boards.append(selector.board)
    elif selector is not None:
        for use in get_args(SelectorDiode):
            outside |= {(name := selector_diode(use, box)): Befell(name) for box in selector.refs}
    return outside | {
        f"{board.name} {c.ref}": Befell(f"{board.name} {c.ref}, {c.subject.place} of {c.subject.strip}")
        for board in boards
        for c in board.netlist.of_kind("diode", "indicator")
    }


def neighbours(made: Sequence[Conductor]) -> tuple[tuple[Conductor, Conductor], ...]:
    """Conductors of one cable that are easily taken for each other: side by side in the plug, or of one pair."""
    found: list[tuple[Conductor, Conductor]] = []
    for cable in dict.fromkeys(c.place.cable for c in made):
        own = sorted((c for c in made if c.place.cable == cable), key=lambda c: c.place.position)
        found += pairwise(own)
        mates = [(c, d) for n, c in enumerate(own) for d in own[n + 2 :] if c.place.pair == d.place.pair]
        found += mates
    return tuple(found)


def _shorted(station: Station, box: str) -> Iterator[SingleFault]:
    """Two neighbours that touch at the box, where they are not joined anyway."""
    for one, other in neighbours(station.cables[box].conductors):
        points = _far_ends(station, box, one, other)
        if points:
            words = f"{box}, {place_text(one)} to {place_text(other)}, {one.what} to {other.what}"
            yield SingleFault(
                "shorted conductors", Befell(words, box=box), (Resistor(f"short {words}", *points, SHORT_OHM),)
            )


def _far_ends(station: Station, box: str, one: Conductor, other: Conductor) -> tuple[str, str] | None:
    """The box's ends of two conductors; None where one is a spare, or both lead to one point."""
    first, second = ends(station, box, one), ends(station, box, other)
    if first is None or second is None or first[1] == second[1]:
        return None
    return first[1], second[1]


def _crossed(station: Station, box: str, sound: State) -> Iterator[SingleFault]:
    """Two neighbours changed over at the box; one of them may be a spare."""
    for one, other in neighbours(station.cables[box].conductors):
        change = _moved(station, box, sound, {one: other, other: one})
        if change:
            words = f"{box}, {place_text(one)} with {place_text(other)}, {one.what} with {other.what}"
            yield SingleFault("crossed conductors", Befell(words, box=box), change)


def _plugs(station: Station, box: str, sound: State) -> Iterator[SingleFault]:
    """A cable whose one end follows T568A and whose other follows T568B."""
    made = station.cables[box].conductors
    for cable in dict.fromkeys(c.place.cable for c in made if c.place.colour):
        at = {c.place.position: c for c in made if c.place.cable == cable}
        change = _moved(station, box, sound, {at[here]: at[there] for here, there in PLUGS.items()})
        if change:
            several = len({c.place.cable for c in made}) > 1
            words = f"{box}, cable {cable}" if several else box
            yield SingleFault("plugs A and B", Befell(words, box=box), change)


def _moved(station: Station, box: str, sound: State, to: Mapping[Conductor, Conductor]) -> tuple[Element, ...]:
    """Conductors that end at the box where others should; nothing where that changes nothing."""
    found: list[Element] = []
    for conductor, instead in to.items():
        own, theirs = ends(station, box, conductor), ends(station, box, instead)
        if own is None or (theirs is not None and theirs[1] == own[1]):
            continue
        element = sound.network.element[conductor_name(box, conductor)]
        if isinstance(element, Resistor):
            new = (own[0], theirs[1], element.ohm) if theirs else (*own, OPEN)
            found.append(Resistor(element.name, *new))
    return tuple(found)


def _wet(station: Station, box: str) -> Iterator[SingleFault]:
    """10 kohm between the box's ends of neighbouring conductors."""
    ordered = [c for c in station.cables[box].conductors if ends(station, box, c) is not None]
    seen: set[frozenset[str]] = set()
    for one, other in pairwise(ordered):
        points = _far_ends(station, box, one, other)
        if points and frozenset(points) not in seen:
            seen.add(frozenset(points))
            words = f"{box}, {one.what} to {other.what}"
            yield SingleFault("wet terminal", Befell(words, box=box), (Resistor(f"wet {words}", *points, WET_OHM),))


def place_text(conductor: Conductor) -> str:
    """A conductor by its colour, or by its number."""
    place = conductor.place
    named = place.colour or f"conductor {place.position}"
    return f"{named} of cable {place.cable}" if place.cable > 1 else named

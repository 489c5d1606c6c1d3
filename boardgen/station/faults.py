"""What may go wrong one at a time: an open return, a shorted diode, a crossed pair, a wet terminal."""

from __future__ import annotations

from collections.abc import Iterator
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
    ends,
    selector_diode,
    steering_diode,
)
from boardgen.station.steering import Joint

Kind = Literal["open return", "shorted diode", "crossed pair", "wet terminal"]
WET_OHM: Final = 10e3
"""Between neighbouring terminals: a film of dirty water, an assumed figure."""
SHORT_OHM: Final = 0.1
"""A diode that failed shorted (assumed)."""


class Befell(Struct, frozen=True):
    """What a fault befell, in words; `joint` where it is the diode of that joint."""

    words: str
    joint: Joint | None = None

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
        found += _open_returns(station, box, sound)
    found += _shorted(station, sound)
    for box in station.boards:
        found += _crossed(station, box, sound)
        found += _wet(station, box, sound)
    return tuple(found)


def _open_returns(station: Station, box: str, sound: State) -> Iterator[SingleFault]:
    """Each return of a cable, and all of them together as at a loose common terminal."""
    returns = [c for c in station.cables[box].conductors if c.is_return]
    opened = [_opened(sound, box, c) for c in returns]
    if len(returns) > 1:
        for conductor, element in zip(returns, opened, strict=True):
            yield SingleFault("open return", Befell(f"{box}, {place_text(conductor)}"), (element,))
    yield SingleFault("open return", Befell(f"{box}, 0V altogether"), tuple(opened))


def _opened(sound: State, box: str, conductor: Conductor) -> Element:
    element = sound.network.element[conductor_name(box, conductor)]
    return Resistor(element.name, *element.ends, OPEN)


def _shorted(station: Station, sound: State) -> Iterator[SingleFault]:
    """Every diode: steering, series and flyback diodes and lamps, but not suppressors."""
    known = _diodes(station)
    for element in sound.network.elements:
        befell = known.get(element.name)
        if isinstance(element, Curve) and befell is not None:
            yield SingleFault("shorted diode", befell, (Resistor(element.name, *element.ends, SHORT_OHM),))


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


def _crossed(station: Station, box: str, sound: State) -> Iterator[SingleFault]:
    """The two conductors of a pair changed over at the box, where both are used and differ."""
    pairs: dict[tuple[int, int], list[Conductor]] = {}
    for conductor in station.cables[box].conductors:
        pairs.setdefault((conductor.place.cable, conductor.place.pair), []).append(conductor)
    for pair in pairs.values():
        used = [(c, e) for c in pair if (e := ends(station, box, c)) is not None]
        if len(used) == 2 and used[0][1] != used[1][1]:
            (one, (near, far)), (other, (near_2, far_2)) = used
            ohm = sound.network.element[conductor_name(box, one)]
            if isinstance(ohm, Resistor):
                yield SingleFault(
                    "crossed pair",
                    Befell(f"{box}, {place_text(one)} with {place_text(other)}"),
                    (
                        Resistor(conductor_name(box, one), near, far_2, ohm.ohm),
                        Resistor(conductor_name(box, other), near_2, far, ohm.ohm),
                    ),
                )


def _wet(station: Station, box: str, sound: State) -> Iterator[SingleFault]:
    """10 kohm between the box's ends of neighbouring conductors."""
    ordered = [(c, e[1]) for c in station.cables[box].conductors if (e := ends(station, box, c)) is not None]
    seen: set[frozenset[str]] = set()
    for (one, end), (other, next_end) in pairwise(ordered):
        if end != next_end and frozenset((end, next_end)) not in seen:
            seen.add(frozenset((end, next_end)))
            name = f"{box}, {one.what} to {other.what}"
            yield SingleFault("wet terminal", Befell(name), (Resistor(f"wet {name}", end, next_end, WET_OHM),))


def place_text(conductor: Conductor) -> str:
    """A conductor by its colour, or by its number."""
    place = conductor.place
    named = place.colour or f"conductor {place.position}"
    return f"{named} of cable {place.cable}" if place.cable > 1 else named

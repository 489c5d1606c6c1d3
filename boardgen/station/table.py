"""The selection table: what is on, live and energised for every choice, and at rest."""

from __future__ import annotations

from msgspec import Struct

from boardgen.station.conductors import Conductor
from boardgen.station.consistency import SELECTOR, split
from boardgen.station.keys import Plan
from boardgen.station.network import Station
from boardgen.station.wanted import Load


class Relay(Struct, frozen=True):
    """A relay of a box or of the selector, and the antenna or feeder it brings through."""

    board: str
    ref: str
    strip: str


class Row(Struct, frozen=True):
    """A direction: outputs on, the position of each switch, what is live, energised and fed.

    `live` are the conductors that carry the supply, by box; returns are not among them. `feeder` is the box whose
    feeder is through. `fed` are the antennas up whose coax a feed goes, as box and label. `along` are the relays of
    idle boxes that share their lines with wanted ones. `beside` is the other antenna of a pair that is on at once.
    """

    direction: str
    bearing_deg: float
    box: str
    antenna: str
    remote: str
    positions: tuple[int, ...]
    outputs: tuple[int, ...]
    live: tuple[tuple[str, Conductor], ...]
    relays: tuple[Relay, ...]
    fed: tuple[tuple[str, str], ...]
    along: tuple[Relay, ...] = ()
    beside: str = ""

    @property
    def selected(self) -> str:
        """Box and antenna, or both antennas of a pair, in words."""
        return f"{self.box}/{self.antenna}" + (f" and {self.beside}" if self.beside else "")

    @property
    def feeder(self) -> str:
        """The box whose feeder is through."""
        return self.box


class Table(Struct, frozen=True):
    """Every direction in the plan's order. At rest nothing is on: the feeder of `rest` is through, with no antenna."""

    rest: str
    rows: tuple[Row, ...]


def table(plan: Plan, station: Station) -> Table:
    """The selection table of a station."""
    steering = station.steering
    rows = []
    for direction in plan.direction:
        loads, along = steering.wanted.loads[direction.label], steering.along(direction.label)
        box, antenna = split(direction.antenna)
        on = steering.on(direction.label)
        rows.append(
            Row(
                direction.label,
                direction.bearing,
                box,
                antenna,
                direction.remote or "",
                steering.positions.get(direction.label, ()),
                on,
                tuple(_live(station, loads | along, on)),
                tuple(_relays(station, loads)),
                fed(station, loads | along),
                tuple(_relays(station, along)),
                split(direction.beside)[1] if direction.beside is not None else "",
            )
        )
    return Table(steering.wanted.rest, tuple(rows))


def _live(station: Station, loads: frozenset[Load], on: tuple[int, ...]) -> list[tuple[str, Conductor]]:
    """Where diodes sit in the box an output's conductor is live with it; else a load's conductor."""
    return [
        (box, c)
        for box, cable in station.cables.items()
        for c in cable.conductors
        if (c.output in on if c.output else any(load in loads for load in c.loads))
    ]


def _relays(station: Station, loads: frozenset[Load]) -> list[Relay]:
    found = []
    for load in sorted(loads):
        if load.kind == "select":
            netlist = station.boards[load.box].netlist
            operated = netlist.select(load.strip).operated
            found += [Relay(load.box, r.ref, load.strip) for r in netlist.of_kind("relay") if r.ref in operated]
        elif load.kind == "feeder" and station.selector is not None:
            found.append(Relay(SELECTOR, station.selector.refs[load.box], load.box))
    return found


def fed(station: Station, loads: frozenset[Load]) -> tuple[tuple[str, str], ...]:
    """The antennas that are fed while these loads are on: by their own line, a shared one, or their selection."""
    found = []
    for name, board in station.boards.items():
        for label in board.feeds:
            following = name in station.following and Load(name, "select", label) in loads
            if following or Load(name, "feed", label) in loads or Load(name, "feed") in loads:
                found.append((name, label))
    return tuple(found)

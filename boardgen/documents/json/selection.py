"""selection.json: the selection table, for station automation."""

from __future__ import annotations

from typing import Annotated, Literal

from boardgen.documents.json.document import Record, says
from boardgen.station.interlock import barred, most_at_once
from boardgen.station.table import Row
from boardgen.station_design import StationDesign

Count = Annotated[int, says("A number, counted from 1.", ge=1)]
On = Annotated[tuple[Count, ...], says("Numbers of the outputs that are on; all others are off.")]


class Source(Record, frozen=True):
    """What works the lines."""

    kind: Literal["relay outputs", "high-side driver", "open drain", "manual switch"]
    outputs: Annotated[int, says("Outputs, or positions of a switch, that there are.", ge=1)]
    used: Annotated[int, says("Outputs that work something.", ge=0)]
    at_once: Annotated[int, says("The most outputs that any direction needs on at once.", ge=1)]


class Rest(Record, frozen=True):
    """The state in which nothing is on: one feeder is through, with no antenna."""

    feeder: Annotated[str, says("Box whose feeder is through.")]
    outputs: On


class Barred(Record, frozen=True):
    """Two outputs that a controller must never have on together."""

    outputs: Annotated[tuple[Count, ...], says("The two numbers.")]
    joins: Annotated[tuple[str, ...], says("What they would join: antennas of a box, or feeders.")]


class Output(Record, frozen=True):
    """An output."""

    number: Count
    pole: Annotated[int, says("Pole of a switch that it belongs to.", ge=1)]
    works: Annotated[tuple[str, ...], says("What it works: box and antenna, box and feed, or feeder and box.")]
    directions: Annotated[tuple[str, ...], says("The directions for which it is on.")]
    most_a: Annotated[float, says("The most that it carries, in amperes.", ge=0)]


class Conductor(Record, frozen=True):
    """A conductor that carries the supply."""

    box: Annotated[str, says("Box to which its cable goes.")]
    cable: Annotated[int, says("Cable to that box.", ge=1)]
    position: Annotated[int, says("Position in the cable; in one of eight, the pin of an eight-way jack.", ge=1)]
    colour: Annotated[str | None, says("Colour, where it is known.")]


class Relay(Record, frozen=True):
    """A relay that is energised."""

    board: Annotated[str, says("Box, or selector.")]
    relay: Annotated[str, says("Designator.")]
    brings: Annotated[str, says("Antenna or feeder that it brings through.")]


class Feed(Record, frozen=True):
    """An antenna up whose coax a feed goes."""

    box: str
    antenna: Annotated[str, says("Label of the antenna.")]


class Direction(Record, frozen=True):
    """A direction."""

    label: str
    bearing_deg: Annotated[float, says("From north over east.", ge=0, le=360)]
    box: Annotated[str, says("Box of its antenna.")]
    antenna: Annotated[str, says("Label of its antenna in that box.")]
    beside: Annotated[str | None, says("Label of the other antenna of a pair that is selected at once.")]
    remote: Annotated[str | None, says("Remote that is on as well.")]
    positions: Annotated[tuple[int, ...], says("Position of each manual switch, 0 for off; none for outputs.")]
    outputs: On
    conductors: tuple[Conductor, ...]
    relays: tuple[Relay, ...]
    idle_relays: Annotated[tuple[Relay, ...], says("Relays of boxes not through, on since they share a line.")]
    feeds: tuple[Feed, ...]
    feeder: Annotated[str, says("Box whose feeder is through.")]


class Selection(Record, frozen=True, tag_field="schema", tag="boardgen selection 1"):
    """What to switch on for each direction of a station."""

    title: Annotated[str, says("Title of the plan.")]
    revision: Annotated[str, says("Revision of the plan.")]
    source: Source
    rest: Rest
    outputs: Annotated[tuple[Output, ...], says("Every output.")]
    never_together: Annotated[
        tuple[Barred, ...], says("Pairs of outputs of which a controller must have one off before the other is on.")
    ]
    directions: Annotated[tuple[Direction, ...], says("Every direction, in the plan's order.")]


def selection_document(design: StationDesign) -> Selection:
    """The table of a station."""
    plan, steering, flows = design.plan, design.station.steering, design.output_flows
    return Selection(
        title=plan.title,
        revision=plan.revision,
        source=Source(plan.source.kind, plan.source.outputs, len(steering.outputs), most_at_once(steering)),
        rest=Rest(design.table.rest, ()),
        outputs=tuple(
            Output(o.number, o.pole, tuple(map(str, o.works)), tuple(o.directions), round(flows[o.number], 4))
            for o in steering.outputs
        ),
        never_together=tuple(Barred(b.outputs, tuple(map(str, b.joins))) for b in barred(steering)),
        directions=tuple(map(_direction, design.table.rows)),
    )


def _direction(row: Row) -> Direction:
    return Direction(
        label=row.direction,
        bearing_deg=row.bearing_deg,
        box=row.box,
        antenna=row.antenna,
        beside=row.beside or None,
        remote=row.remote or None,
        positions=row.positions,
        outputs=tuple(row.outputs),
        conductors=tuple(
            Conductor(box, c.place.cable, c.place.position, c.place.colour or None) for box, c in row.live
        ),
        relays=tuple(Relay(r.board, r.ref, r.strip) for r in row.relays),
        idle_relays=tuple(Relay(r.board, r.ref, r.strip) for r in row.along),
        feeds=tuple(Feed(box, antenna) for box, antenna in row.fed),
        feeder=row.feeder,
    )

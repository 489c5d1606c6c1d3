"""The keys of a plan, one frozen model a table, as in a specification: texts with units in, SI values kept.

Every key has its unit, default and allowed range in the sentence under it.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, PlainValidator

from boardgen.spec import values
from boardgen.spec.cable import Conductor, conductor
from boardgen.spec.keys import Cable, Environment
from boardgen.spec.label import read_label, read_plain, read_revision, read_title
from boardgen.spec.table import Table, absent_table
from boardgen.spec.values import Range

MOST_BOXES = 8
MOST_OUTPUTS = 128
Label = Annotated[str, PlainValidator(read_label)]
Plain = Annotated[str, PlainValidator(read_plain)]
Length = Annotated[float, PlainValidator(values.measure("m", 0.0, 2000.0))]


class Source(Table):
    """[source]: what works the lines at the receiver's end."""

    kind: Literal["relay outputs", "high-side driver", "open drain", "manual switch"] = "relay outputs"
    """"relay outputs", "high-side driver" (transistors that give the supply to a line), "open drain" (transistors that
    take a line to 0V, for boxes with drive = "low side") or "manual switch"; default "relay outputs"."""
    outputs: Annotated[int, PlainValidator(values.whole(1, MOST_OUTPUTS))]
    """Contacts available, or positions of each switch; 1 to 128; no default."""
    together: bool = False
    """Whether several relay outputs may be on at once; default false."""
    shared_lines: bool = True
    """Whether boxes may share lines where outputs that may be on at once do not suffice for one a relay, so that a
    box without its feeder through selects an antenna too; default true."""
    leakage: Annotated[float, PlainValidator(values.measure("A", 0.0, 0.01))] = 0.0
    """A through an output of a driver that is off, at the highest supply; 0 to 10 mA; default 0 A."""
    limit: Annotated[float, PlainValidator(values.measure("A", 1e-3, 100.0))] | None = None
    """A that one output, or a switch contact, may carry; 1 mA to 100 A; default not judged."""
    off_position: bool = True
    """Whether a manual switch has a position more with nothing on; default true. Without one the supply's own switch
    is the off."""
    switches: Literal["one", "two", "one a box"] = "one"
    """Manual switches: "one" for all directions, "two", of which one chooses the antenna and the other the box, or
    "one a box"; default "one"."""
    poles: Annotated[int, PlainValidator(values.whole(1, 4))] = 1
    """Poles of a manual switch; 1 to 4; default 1."""
    supply: Annotated[Range, PlainValidator(values.span("V", 3.0, 60.0))] = Range(13.2, 14.0)
    """V at the source, one value or a range; 3 to 60 V; default 13.2..14.0 V."""
    drop: Annotated[float, PlainValidator(values.measure("V", 0.0, 3.0))] = 0.0
    """V lost in the source with an output on; 0 to 3 V; default 0 V."""
    diodes: Literal["source end", "boxes"] = "source end"
    """Where steering diodes sit: "source end" or, for relays of boxes, "boxes"; default "source end"."""
    diode: Plain = "diode-1n4007"
    """Catalogue key of the steering diodes; default "diode-1n4007"."""
    colours: Literal["T568A", "T568B"] = "T568B"
    """Order of the conductors of an eight-conductor cable; default "T568B"."""


class FeederCable(Table):
    """feeder of a box: its main coax."""

    cable: Cable | None = None
    """A cable by name, such as "RG-6 copper centre"; default as in the box's specification."""
    length: Length | None = None
    """Metres; 0 m to 2 km; default as in the box's specification."""


class ControlCable(Table):
    """control of a box: its control cable; what is left out is as in the box's specification."""

    cable: Annotated[Conductor, PlainValidator(conductor)] | None = None
    """One conductor: "24 AWG", "0.5 mm2" or "93.8 ohm/km"."""
    conductors: Annotated[int, PlainValidator(values.whole(2, 100))] | None = None
    """Conductors in one cable; 2 to 100."""
    cables: Annotated[int, PlainValidator(values.whole(1, 4))] | None = None
    """Such cables side by side; 1 to 4."""
    length: Annotated[float, PlainValidator(values.measure("m", 1.0, 2000.0))] | None = None
    """Metres; 1 m to 2 km."""
    returns: Annotated[int, PlainValidator(values.whole(1, 99))] | None = None
    """Conductors paralleled for 0V; 1 to 99, fewer than there are."""


class Box(Table):
    """[[box]]: one field box and the cables to it."""

    name: Label
    """1 to 60 printable characters, unlike every other box; no default."""
    spec: Plain
    """Path of its specification, beside the plan; no default."""
    rest: bool | None = None
    """false: never the feeder at rest; true: the feeder at rest, as receiver.rest; default as saves most diodes."""
    feeder: FeederCable = absent_table()
    control: ControlCable = absent_table()


class Receiver(Table):
    """[receiver]: the end where all feeders meet."""

    selector: Plain = "generated"
    """"generated", or the path of a selector board's specification; default "generated"."""
    rest: Label | None = None
    """The box whose feeder is through when nothing is energised; default as saves most diodes."""
    isolation: Annotated[float, PlainValidator(values.measure("dB", 1.0, 150.0))] | None = None
    """dB, wanted between feeders in a generated selector; 1 to 150 dB; default 40 dB, or 50 dB where boxes share
    lines."""
    noise: Environment = "rural"
    """"city", "residential", "rural" or "quiet rural"; default "rural"."""
    figure: Annotated[float, PlainValidator(values.measure("dB", 0.0, 40.0))] = 12.0
    """dB, noise figure of the receiver; 0 to 40 dB; default 12 dB."""


class Remote(Table):
    """[[remote]]: something out at an antenna that the feed up its coax works, such as a pair switch."""

    name: Label
    """1 to 60 printable characters, unlike every other remote; no default."""
    antenna: Plain
    """Box and antenna, "dune/north-east": the feed up this coax; no default."""


class Direction(Table):
    """[[direction]]: one choice that the operator has."""

    label: Label
    """1 to 60 printable characters, unlike every other direction; no default."""
    bearing: Annotated[float, PlainValidator(values.measure("deg", 0.0, 360.0))]
    """deg from north over east; 0 to 360 deg; no default."""
    antenna: Plain
    """Box and antenna, "dune/north-east"; no default."""
    beside: Plain | None = None
    """Another antenna of the same box that is selected at once, "dune/north-west"; what combines the two is the
    user's own; default none."""
    remote: Label | None = None
    """A remote that must be on as well; default none."""
    gain: Annotated[float, PlainValidator(values.measure("dB", -60.0, 20.0))] | None = None
    """dB, average gain of this antenna, loss included; -60 to 20 dB; default feeder.antenna_gain of its box."""


class Plan(Table):
    """The whole plan."""

    title: Annotated[str, PlainValidator(read_title)] = "station"
    """Names the output folder; 1 to 80 printable characters; default "station"."""
    revision: Annotated[str, PlainValidator(read_revision)] = "A"
    """1 to 20 letters, digits, dots, dashes and spaces; default A."""
    source: Source
    box: Annotated[tuple[Box, ...], BeforeValidator(values.list_of_tables(MOST_BOXES, "box"))]
    """1 to 8 boxes."""
    receiver: Receiver = absent_table()
    remote: Annotated[tuple[Remote, ...], BeforeValidator(values.list_of_tables(MOST_OUTPUTS, "remote", 0))] = ()
    """Remotes; may be left out."""
    direction: Annotated[tuple[Direction, ...], BeforeValidator(values.list_of_tables(MOST_OUTPUTS, "direction"))]
    """1 to 128 directions in the order in which outputs are numbered."""

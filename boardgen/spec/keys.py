"""The keys of a specification, one frozen model a table. Text with units goes in, SI values are kept.

Every key has its unit, default and allowed range in the sentence under it. Nothing is coerced: an unknown key, a
number for a text, or a text for a number is refused.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, PlainValidator, ValidationInfo, field_validator

from boardgen.handbook.field_strength import SHORT_VERTICAL_DB
from boardgen.spec import values
from boardgen.spec.cable import Conductor, conductor
from boardgen.spec.label import read_label, read_plain, read_revision, read_title
from boardgen.spec.measured_keys import Measured
from boardgen.spec.order_keys import Order
from boardgen.spec.table import Table, absent_table
from boardgen.spec.values import Feed, Range, Target

Idle = Literal["terminated", "open"]
Connector = Literal["pigtail", "F", "BNC"]
Environment = Literal["city", "residential", "rural", "quiet rural"]
Cable = Literal[
    "RG-6 copper centre",
    "RG-6 steel centre",
    "RG-6A",
    "RG-59",
    "RG-59 foam",
    "RG-11 foam",
    "RG-11A",
    "RG-58A",
    "RG-58C",
    "RG-213",
    "15 mm foam 75 ohm",
]
Impedance = Annotated[float, PlainValidator(values.measure("ohm", 25.0, 300.0))]
FeedText = Annotated[Feed, PlainValidator(values.feed)]
PartKey = Annotated[str, PlainValidator(read_plain)] | None
Temperature = Annotated[float, PlainValidator(values.measure("degC", -60.0, 90.0))]

MOST_ANTENNAS = 16
MOST_IN_HAND = 60
MOST_TRANSMITTERS = 12


class Band(Table):
    """[band]: the frequencies of use and the impedance of the coax."""

    region: Annotated[int, PlainValidator(values.whole(1, 3))] = 2
    """The ITU region by which band names are read: 1, 2 or 3; default 2."""
    lowest: float
    """The lowest frequency of use, "1.8 MHz", or a band ("160 m": its lower edge); 100 kHz to 30 MHz; no default."""
    highest: float
    """The highest frequency of use, "10.15 MHz", or a band ("30 m": its upper edge); above lowest, up to 30 MHz; no
    default."""
    impedance: Impedance = 75.0
    """The impedance of the coax and of the bus in ohm; 25 to 300 ohm; default 75 ohm."""

    @field_validator("lowest", "highest", mode="plain")
    @classmethod
    def _edge(cls, value: object, info: ValidationInfo) -> float:
        return values.band_edge(value, info.data.get("region", 2), upper=info.field_name == "highest")


class Antenna(Table):
    """[[antenna]]: one antenna port."""

    label: Annotated[str, PlainValidator(read_label)]
    """What the antenna is called everywhere; 1 to 60 printable characters, unlike every other label; no default."""
    feed: FeedText | None = None
    """Direct voltage and current sent up this coax to an amplifier, "12 V 60 mA"; 1 to 60 V and 1 mA to 2 A; default
    none."""
    impedance: Impedance | None = None
    """The impedance of this coax in ohm, which its braid breaker transforms; 25 to 300 ohm; default band.impedance."""
    idle: Idle | None = None
    """What this antenna is left on while it is not selected: "terminated" in its impedance, or "open"; default
    switching.idle."""
    braid_breaker: bool | None = None
    """Whether this port has a transformer that keeps common-mode current off the board: true or false; default as
    switching.braid_breakers says."""
    surge: bool | None = None
    """Whether gas tubes guard this port: true or false; default protection.surge."""
    connector: Connector = "pigtail"
    """What the coax is joined to: "pigtail" for solder pads, "F" or "BNC"; default "pigtail"."""
    fitted: bool = True
    """Whether the parts of this antenna are put on the board: true, or false to leave room for them; default true."""


class Output(Table):
    """[output]: the port of the main coax."""

    impedance: Impedance | None = None
    """The impedance of the main coax in ohm; 25 to 300 ohm; default band.impedance."""
    feed: FeedText | None = None
    """Direct voltage and current sent along the main coax, "12 V 60 mA"; 1 to 60 V and 1 mA to 2 A; default none."""
    braid_breaker: bool | None = None
    """Whether the output has a transformer that keeps common-mode current off the board: true or false; default as
    switching.braid_breakers says."""
    connector: Connector = "pigtail"
    """What the main coax is joined to: "pigtail" for solder pads, "F" or "BNC"; default "pigtail"."""
    attenuator: Annotated[tuple[float, ...], PlainValidator(values.attenuator)] = ()
    """The losses of up to three steps of an attenuator before the main coax, "6 dB, 10 dB", each with a relay and a
    control line of its own; 2 to 20 dB each; default none."""


class Switching(Table):
    """[switching]: how antennas are selected, left idle and fed."""

    relays_in_series: Annotated[int, PlainValidator(values.whole(1, 2))] = 1
    """Relays between an antenna and the bus, of which a second one isolates more: 1 or 2; default 1."""
    idle: Idle = "terminated"
    """What antennas are left on while they are not selected: "terminated" or "open"; default "terminated"."""
    termination: Literal["split", "single"] = "split"
    """What terminates an idle antenna behind a braid breaker: two halves with their middle on 0V ("split"), or one
    resistor ("single"); default "split". Without a braid breaker it is one resistor."""
    braid_breakers: Literal["all", "antennas", "output", "none"] = "all"
    """Which ports have a braid breaker if they do not say: "all", "antennas", "output" or "none"; default "all"."""
    compensation: Literal["where it helps", "all", "none"] = "where it helps"
    """Capacitors that meet the leakage of transformers: "where it helps", "all" or "none"; default "where it helps",
    which leaves them out where return loss, loss and common mode hold within their bounds without."""
    extra_turns: Annotated[int, PlainValidator(values.whole(0, 8))] = 0
    """Turns that each winding of a transformer has beyond the fewest that meet the rules; 0 to 8; default 0, to which
    refinement adds where it helps."""
    feed_arrangement: Literal["local rail", "plain", "common-mode choked"] = "local rail"
    """How a feed gets onto its coax: by a "local rail" between chokes, by "plain" chokes to 0V and supply, or by a
    choke of two windings ("common-mode choked"); default "local rail"."""
    refine: Literal["parts", "all"] = "parts"
    """What may be changed until the targets hold: "parts" and turns alone, or "all" that this table leaves open, a
    second relay too; default "parts"."""
    feed_lines: Literal["own", "shared", "with selection"] = "own"
    """Which conductors bring the feeds: each its "own", one "shared", or the select line of its antenna ("with
    selection"); default "own"."""
    bus_braid: Literal["bonded", "floating"] = "bonded"
    """What the braid of the bus does: it is "bonded" to 0V, or "floating"; default "bonded"."""
    rest: Annotated[str, PlainValidator(read_label)] | None = None
    """Label of the first port, if that shall be through while nothing is energised; default none. It has no relay: the
    other ports, at most seven, have changeover relays, and what is idle is left open."""


class Prefer(Table):
    """[prefer]: what decides among parts that all meet the rules and targets."""

    parts: Literal["easy to build", "small", "cheap"] = "easy to build"
    """Which parts are taken: those "easy to build" with (thick wire, few passes, known to be had, read from a sheet,
    few kinds), "small" ones, or "cheap" ones by the catalogue's cost classes; default "easy to build". No price has a
    say."""


class Protection(Table):
    """[protection]: against surges and reversed wires."""

    surge: bool = True
    """Whether gas tubes guard the ports and suppressors the lines of the cable: true or false; default true."""
    earth_to_0v: Literal["gas tube", "linked", "open"] = "gas tube"
    """What joins the earth stud to 0V: a "gas tube", a wire ("linked"), or nothing ("open"); default "gas tube"."""
    reverse: bool = True
    """Whether a diode in each control line guards against a reversed supply: true or false; default true."""


class Control(Table):
    """[control]: the relay voltage and the cable that brings it."""

    coil: Annotated[float, PlainValidator(values.measure("V", 3.0, 60.0))] = 12.0
    """The nominal voltage of the relay coils; 3 to 60 V; default 12 V."""
    supply: Annotated[Range, PlainValidator(values.span("V", 3.0, 60.0))] = Range(13.2, 14.0)
    """The voltage at the source, one value or a range over which all must work; 3 to 60 V; default 13.2..14.0 V."""
    drive: Literal["high side", "low side"] = "high side"
    """Which end of the coils is switched: "high side" for the positive one, "low side" for the negative one; default
    "high side"."""
    cable: Annotated[Conductor, PlainValidator(conductor)] = Conductor("24 AWG", "gauge", gauge=24)
    """What one conductor of the control cable is: "24 AWG", "0.5 mm2" or "93.8 ohm/km" at 20 degC; default 24 AWG."""
    conductors: Annotated[int, PlainValidator(values.whole(2, 100))] = 8
    """How many conductors one cable has; 2 to 100; default 8."""
    cables: Annotated[int, PlainValidator(values.whole(1, 4))] = 1
    """How many such cables lie side by side; 1 to 4; default 1."""
    length: Annotated[float, PlainValidator(values.measure("m", 1.0, 2000.0))] = 100.0
    """How long the control cable is, in metres; 1 m to 2 km; default 100 m."""
    returns: Annotated[int, PlainValidator(values.whole(1, 99))] = 1
    """How many conductors are paralleled for 0V; 1 to 99, fewer than there are; default 1."""
    hottest: Temperature = 50.0
    """The hottest surroundings of box and cable in degC; -60 to 90 degC, above coldest; default 50 degC."""
    coldest: Temperature = -30.0
    """The coldest surroundings of box and cable in degC; -60 to 90 degC; default -30 degC."""
    entry: Literal["terminals", "studs", "jack"] = "terminals"
    """Where the control cable ends: at "terminals", at "studs", or at a "jack" of eight ways; default "terminals"."""
    indicators: bool = False
    """Whether a lamp on the board shows each control line that is live: true or false; default false."""


class Parts(Table):
    """[parts]: catalogue keys, of 1 to 200 printable characters, in the place of what the program would choose."""

    relay: PartKey = None
    """The relay of all stages; default chosen by rule."""
    core: PartKey = None
    """The core of the antennas' braid breakers; default chosen by rule."""
    output_core: PartKey = None
    """The core of the output's braid breaker; default parts.core."""
    wire: PartKey = None
    """The wire of the transformers; default chosen by rule."""
    choke: PartKey = None
    """The choke from a feed to the centre of its coax; default chosen by rule."""
    supply_choke: PartKey = None
    """The chokes between a feed and its supply; default parts.choke."""
    bifilar_choke: PartKey = None
    """The choke of two windings of the common-mode choked feed; default chosen by rule."""
    blocking_capacitor: PartKey = None
    """The capacitors in series with the signal beside a feed; default chosen by rule."""
    rail_capacitor: PartKey = None
    """The capacitors from a feed rail to its return; default chosen by rule."""
    surge_tube: PartKey = None
    """The gas tubes at the ports; default chosen by rule."""
    line_suppressor: PartKey = None
    """The suppressors of the control and feed lines; default chosen by rule."""
    earth_tube: PartKey = None
    """The gas tube from earth to 0V; default chosen by rule."""
    flyback_diode: PartKey = None
    """The diode across each coil; default chosen by rule."""
    series_diode: PartKey = None
    """The diode that guards against a reversed line; default chosen by rule."""
    terminal: PartKey = None
    """The terminal blocks of the control entry; default chosen by rule."""
    fuse: PartKey = None
    """The resettable fuse of each feed; default chosen by rule."""
    indicator: PartKey = None
    """The lamp of each antenna; default chosen by rule."""
    connector: PartKey = None
    """The connectors of all ports; default as the port's own key says."""
    keep: PartKey = None
    """Path of a values.json whose choices are held when regenerating; default none."""

    @property
    def pinned(self) -> dict[str, str]:
        """The catalogue key by role, for the roles that are pinned."""
        return {role: key for role in PINNED_ROLES if (key := getattr(self, role)) is not None}


PINNED_ROLES = tuple(name for name in Parts.model_fields if name != "keep")
"""The roles that can be pinned."""


class InHand(Table):
    """[[in_hand]]: a part that is there: it is taken before others where it meets rules and targets, and not bought.

    Boards of one order share what is in hand; a table of stock wins over it. What guards, such as a fuse, is always the
    least that does. The coax of a feeder is the main coax where feeder.cable names none.
    """

    part: Annotated[str, PlainValidator(read_plain)]
    """Its catalogue key, or that of a part in your own folder; 1 to 200 printable characters; no default."""
    pieces: Annotated[int, PlainValidator(values.whole(1, 10000))] | None = None
    """How many there are; 1 to 10000; default as many as are needed."""
    length: Annotated[float, PlainValidator(values.measure("m", 0.1, 5000.0))] | None = None
    """How much there is of wire or cable, in metres; 0.1 m to 5 km; default as much as is needed."""


class Targets(Table):
    """[targets]: wanted performance, over the whole band or "... to 7 MHz"."""

    insertion_loss: Annotated[Target, PlainValidator(values.target("dB", 0.01, 20.0))] = Target(0.8, "dB")
    """The most that a selected antenna may lose on the way to the output, in dB; 0.01 to 20 dB; default 0.8 dB."""
    return_loss: Annotated[Target, PlainValidator(values.target("dB", 1.0, 60.0))] = Target(18.0, "dB")
    """The least return loss at both ends of the selected path, in dB; 1 to 60 dB; default 18 dB."""
    isolation: Annotated[Target, PlainValidator(values.target("dB", 1.0, 150.0))] = Target(55.0, "dB")
    """The least isolation of an idle antenna from the output, in dB; 1 to 150 dB; default 55 dB."""
    common_mode: Annotated[Target, PlainValidator(values.target("ohm", 1.0, 1e6))] = Target(3e3, "ohm", 3.5e6)
    """The least impedance from the braid of a coax to 0V, in ohm; 1 ohm to 1 Mohm; default 3 kohm to 3.5 MHz."""


class Feeder(Table):
    """[feeder]: the way from the board to the receiver and what lies at both ends, for the noise floor of the whole."""

    cable: Cable | None = None
    """The main coax by its name, such as "RG-6 copper centre"; default none: nothing is said of the feeder."""
    length: Annotated[float, PlainValidator(values.measure("m", 0.0, 2000.0))] = 100.0
    """How long the main coax is, in metres; 0 m to 2 km; default 100 m."""
    second_cable: Cable | None = None
    """The coax from the house entry, or from an amplifier there, to the receiver, by its name; default none."""
    second_length: Annotated[float, PlainValidator(values.measure("m", 0.0, 2000.0))] = 10.0
    """How long that coax is, in metres; 0 m to 2 km; default 10 m."""
    environment: Environment = "rural"
    """How noisy the place of the antennas is: "city", "residential", "rural" or "quiet rural"; default "rural"."""
    antenna_gain: Annotated[float, PlainValidator(values.measure("dB", -60.0, 20.0))] = -20.0
    """The average gain of the receive antennas in dB, loss included; -60 to 20 dB; default -20 dB."""
    noise_figure: Annotated[float, PlainValidator(values.measure("dB", 0.0, 40.0))] = 12.0
    """The noise figure of the receiver in dB; 0 to 40 dB; default 12 dB."""


class Amplifier(Table):
    """[amplifier]: a bought receive amplifier in the way, with the figures of its sheet; it stands beside the board."""

    place: Literal["none", "box", "house"] = "none"
    """Where it stands: at the "box", behind the board; at the "house", behind the main coax; or "none"; default
    "none"."""
    gain: Annotated[float, PlainValidator(values.measure("dB", 0.0, 60.0))] | None = None
    """Its gain in dB; 0 to 60 dB; no default where it has a place."""
    noise_figure: Annotated[float, PlainValidator(values.measure("dB", 0.0, 40.0))] | None = None
    """Its noise figure in dB; 0 to 40 dB; no default where it has a place."""
    intercept: Annotated[float, PlainValidator(values.measure("dBm", -20.0, 80.0))] | None = None
    """Its third-order intercept at the output, "36 dBm"; -20 to 80 dBm; default none: nothing is said of its
    products."""


class Transmitter(Table):
    """[[transmitter]]: a strong transmitter or broadcaster near by: what it does here, and what filter holds it."""

    label: Annotated[str, PlainValidator(read_label)]
    """What it is called; 1 to 60 printable characters, unlike every other label; no default."""
    frequency: Annotated[float, PlainValidator(values.measure("Hz", values.LOWEST_HZ, values.HIGHEST_HZ))]
    """Its frequency, "1.83 MHz"; 100 kHz to 30 MHz, also outside of the band; no default."""
    power: Annotated[float, PlainValidator(values.measure("W", 1e-3, 2e6))]
    """What its antenna is given, "100 W" or "50 kW"; 1 mW to 2000 kW; no default."""
    distance: Annotated[float, PlainValidator(values.measure("m", 1.0, 1e6))]
    """How far its antenna is from the receive antennas, "80 m"; 1 m to 1000 km; no default."""
    gain: Annotated[float, PlainValidator(values.measure("dB", -30.0, 30.0))] = SHORT_VERTICAL_DB
    """The gain of its antenna toward here over an isotropic one in dB; -30 to 30 dB; default 4.8 dB, a short vertical
    over perfect ground."""
    receive_gain: Annotated[float, PlainValidator(values.measure("dB", -60.0, 20.0))] | None = None
    """The gain of the receive antenna toward it in dB, loss included; -60 to 20 dB; default feeder.antenna_gain and
    10 dB of directivity."""


class Box(Table):
    """[box]: how the board sits in its box, and how far its connectors stand apart."""

    mounting: Literal["back", "lid"] = "back"
    """Where the board is screwed: to the "back" of the box, or to its "lid"; default "back"."""
    pitch: Annotated[float, PlainValidator(values.measure("m", 0.015, 0.05))] = 0.02
    """How far apart the coax connectors in the wall are, so that a spanner and a boot find room; the box is chosen so
    that they fit; 15 to 50 mm; default 20 mm."""


class House(Table):
    """[house]: where main coax and control cable come into the house."""

    entry_panel: bool = False
    """Whether the bill has the parts of an entry panel, and the appendix a sheet for it: gas tube for the main coax,
    suppressors for the lines, earth bar, disconnect: true or false; default false."""


class Documents(Table):
    """[documents]: how the build book is set, and on what the drawings are printed."""

    decimal: Literal["point", "comma"] = "point"
    """The decimal mark in the build book: "point" or "comma"; default "point"."""
    paper: Literal["A4", "Letter"] = "A4"
    """The paper that book, drawings, labels and workbooks are printed on: "A4" or "Letter"; default "A4"."""
    dimensions: Literal["mm", "inch beside"] = "mm"
    """How the build book gives lengths: in "mm" alone, or with "inch beside" them; default "mm"."""


class Spec(Table):
    """The whole specification."""

    title: Annotated[str, PlainValidator(read_title)] = "switch board"
    """The name of the board and of its output folder; 1 to 80 printable characters; default "switch board"."""
    revision: Annotated[str, PlainValidator(read_revision)] = "A"
    """The revision that stands on the board and every sheet; 1 to 20 letters, digits, dots, dashes and spaces; default
    A."""
    band: Band
    antenna: Annotated[tuple[Antenna, ...], BeforeValidator(values.list_of_tables(MOST_ANTENNAS))]
    """The 1 to 16 antennas in the order of their ports; no default."""
    output: Output = absent_table()
    switching: Switching = absent_table()
    prefer: Prefer = absent_table()
    protection: Protection = absent_table()
    control: Control = absent_table()
    parts: Parts = absent_table()
    in_hand: Annotated[tuple[InHand, ...], BeforeValidator(values.list_of_tables(MOST_IN_HAND, "in_hand", 0))] = ()
    """Parts that are there already, at most 60; default none."""
    targets: Targets = absent_table()
    feeder: Feeder = absent_table()
    amplifier: Amplifier = absent_table()
    transmitter: Annotated[
        tuple[Transmitter, ...], BeforeValidator(values.list_of_tables(MOST_TRANSMITTERS, "transmitter", 0))
    ] = ()
    """Strong transmitters near by, at most 12; default none."""
    measured: Measured = absent_table()
    order: Order = absent_table()
    box: Box = absent_table()
    house: House = absent_table()
    documents: Documents = absent_table()

    def __repr__(self) -> str:
        return f"<Spec {self.title}, revision {self.revision}: {len(self.antenna)} antennas>"

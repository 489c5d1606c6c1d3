"""The whole station as a direct-current network, in one state at one corner."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from msgspec import Struct, field

from boardgen.direct_current.elements import OPEN, Element, Resistor, VoltageSource, switch
from boardgen.direct_current.network import Network
from boardgen.handbook import data_cable
from boardgen.kinds.junction import junction
from boardgen.model.part import Part
from boardgen.station.board_network import Board, Coil, coil_of_part, coils, elements, without_ends
from boardgen.station.conductors import COIL_SUPPLY, Conductor
from boardgen.station.consistency import SELECTOR
from boardgen.station.corners import Corner
from boardgen.station.steering import Joint, Steering
from boardgen.station.wanted import Load

if TYPE_CHECKING:
    from boardgen.direct_current.solution import Solution

ZERO = "source 0V"
PLUS = "source +"
SelectorDiode = Literal["series", "flyback"]
"""Where a diode stands at a relay of the selector: in its line, or across its coil."""
CONTACT_OHM = 0.05
"""Of a closed contact at the source (assumed)."""


class BoxCable(Struct, frozen=True):
    """A box's control cable: ohms of one conductor at 20 degC, and what each carries."""

    ohm_20c: float
    conductors: tuple[Conductor, ...]


class Selector(Struct, frozen=True):
    """What the station needs to know of the selector: its relay and the diodes about each coil.

    It has a feeder for each box in `feeders`, and a relay for each but that at `rest`, beside the source. A diode
    that is None is not there. Where the `board` is known, its own netlist is taken instead; `nets` are then the nets
    at which the lines of feeders enter it, by box.
    """

    feeders: tuple[str, ...]
    rest: str
    relay: Part
    flyback: Part | None
    series: Part | None
    board: Board | None = None
    nets: Mapping[str, str] = field(default_factory=dict)

    @property
    def switched(self) -> tuple[str, ...]:
        """The feeders that have a relay, in order."""
        return tuple(box for box in self.feeders if box != self.rest)

    @property
    def refs(self) -> dict[str, str]:
        """Designator of the relay of each feeder that has one."""
        if self.board is None:
            return {box: f"K{n}" for n, box in enumerate(self.switched, 1)}
        return {line.strip: line.relays[0] for line in self.board.netlist.control_lines if line.selects}


class Station(Struct, frozen=True, dict=True):
    """Everything the network is made of. `drop_v` is lost in the source, `nets` are those that loads of boxes reach.

    `in_boxes` says that steering diodes of boxes' relays sit there and not at the source; `following` are the boxes
    whose feeds follow the selection. `leak_ohm` stands for what leaks through an output of a driver.
    Outputs that are `driven` have the diode of a transistor across them; those that `sink` take lines to 0V, and the
    coils have plus in common.
    """

    @property
    def rail(self) -> str:
        """What outputs join their lines to."""
        return ZERO if self.sinks else PLUS

    @property
    def common(self) -> str:
        """What all coils have in common."""
        return PLUS if self.sinks else ZERO

    steering: Steering
    boards: Mapping[str, Board]
    cables: Mapping[str, BoxCable]
    nets: Mapping[Load, str]
    selector: Selector | None
    diode: Part
    drop_v: float
    in_boxes: bool = False
    leak_ohm: float = OPEN
    driven: bool = False
    sinks: bool = False
    following: frozenset[str] = frozenset()

    @cached_property
    def known(self) -> dict[Corner, dict[Case, tuple[State, Solution]]]:
        """Corners whose states were solved before."""
        return {}


class Case(Struct, frozen=True):
    """A state of the station: a direction or rest, the outputs that are on, and the loads wanted.

    `along` are loads of idle boxes that share their outputs.
    """

    name: str
    on: tuple[int, ...]
    wanted: frozenset[Load]
    along: frozenset[Load] = frozenset()

    @property
    def energised(self) -> frozenset[Load]:
        """Every load that is on."""
        return self.wanted | self.along


class State(Struct, frozen=True):
    """A network, its coils, and the ports it may feed: two points and the volts wanted there, by antenna."""

    network: Network
    coils: tuple[Coil, ...]
    ports: Mapping[Load, tuple[str, str, float]]


def line_point(load: Load) -> str:
    """The source's end of the line to a load."""
    return f"line {load}"


def output_point(number: int) -> str:
    """An output of the source."""
    return f"output {number}"


def contact_name(number: int) -> str:
    """The contact of an output as an element."""
    return f"contact {number}"


def contact(station: Station, number: int, *, closed: bool) -> Element:
    """The contact of an output."""
    return switch(contact_name(number), station.rail, output_point(number), closed=closed, ohm=CONTACT_OHM)


def leak(station: Station, number: int) -> Element:
    """What an output lets through from the supply while it is off."""
    return Resistor(f"leak {number}", station.rail, output_point(number), station.leak_ohm)


def _reverse_diode(station: Station, number: int, corner: Corner) -> Element:
    """The diode within the transistor of an output: it conducts where polarity is wrong.

    Its law is that of the steering diodes (assumed).
    """
    ends = (ZERO, output_point(number)) if station.sinks else (output_point(number), PLUS)
    return junction(station.diode, corner.warmth).curve(f"reverse diode {number}", *ends)


def state(station: Station, case: Case, corner: Corner) -> State:
    """The network in a case at a corner."""
    found: list[Element] = [VoltageSource("supply", PLUS, ZERO, corner.supply_v - station.drop_v)]
    found += [contact(station, o.number, closed=o.number in case.on) for o in station.steering.outputs]
    found += [leak(station, o.number) for o in station.steering.outputs if station.leak_ohm < OPEN]
    if station.driven:
        found += [_reverse_diode(station, o.number, corner) for o in station.steering.outputs]
    found += _joints(station, corner)
    for name, board in station.boards.items():
        found += elements(board, corner)
        found += _cable(station, name, corner)
    if station.selector is not None:
        found += _selector(station, station.selector, corner)
    coils = all_coils(station, case.energised, corner)
    found += [coil.element for coil in coils]
    kept = (ZERO, PLUS, *(board.node("0V") for board in station.boards.values()))
    network = Network(without_ends(tuple(found), frozenset(kept)), ZERO, kept)
    return State(network, coils, _ports(station))


def all_coils(station: Station, energised: frozenset[Load], corner: Corner) -> tuple[Coil, ...]:
    """The coils of the boards, then those of the selector, while these loads are on."""
    found: list[Coil] = []
    for name, board in station.boards.items():
        found += coils(board, board.operated(selected(energised, name)), corner)
    if station.selector is not None:
        found += _selector_coils(
            station, station.selector, {load.box for load in energised if load.kind == "feeder"}, corner
        )
    return tuple(found)


def selected(loads: frozenset[Load], box: str) -> tuple[str, ...]:
    """The antennas of a box that are among the loads."""
    return tuple(sorted(load.strip for load in loads if load.box == box and load.kind == "select"))


def _joints(station: Station, corner: Corner) -> list[Element]:
    """Wires and diodes between outputs and lines."""
    steering = junction(station.diode, corner.warmth)
    found: list[Element] = []
    for joint in station.steering.joints:
        in_box = station.in_boxes and joint.load.kind != "feeder"
        near = box_point(joint.load.box, joint.output) if in_box else output_point(joint.output)
        far = station.boards[joint.load.box].node(station.nets[joint.load]) if in_box else line_point(joint.load)
        name = f"joint {joint.output} {joint.load}"
        if joint.diode:
            found.append(steering.curve(steering_diode(joint), *((far, near) if station.sinks else (near, far))))
        else:
            found.append(Resistor(name, near, far, 0.0))
    return found


def steering_diode(joint: Joint) -> str:
    """The element of the diode at a joint."""
    return f"steering diode {joint.output} {joint.load}"


def selector_diode(use: SelectorDiode, box: str) -> str:
    """The element of a diode at the selector's relay of that box, of a selector without a board of its own."""
    return f"selector {use} diode {box}"


def box_point(box: str, output: int) -> str:
    """The far end, in a box, of the conductor of an output."""
    return f"{box}: output {output}"


def conductor_name(box: str, conductor: Conductor) -> str:
    """The name of a conductor as an element."""
    return f"{box} cable {conductor.place.cable} conductor {conductor.place.position}"


def ends(station: Station, box: str, conductor: Conductor) -> tuple[str, str] | None:
    """The points that a conductor joins, the source's first; None for a spare."""
    board = station.boards[box]
    if conductor.is_return:
        return ZERO, board.node("0V")
    if conductor.is_coil_supply:
        return PLUS, board.node(COIL_SUPPLY)
    if conductor.output:
        return output_point(conductor.output), box_point(box, conductor.output)
    if conductor.loads:
        return line_point(conductor.loads[0]), board.node(conductor.net)
    return None


def _cable(station: Station, box: str, corner: Corner) -> list[Element]:
    cable = station.cables[box]
    ohm = data_cable.at_temperature(cable.ohm_20c, corner.celsius)
    joined = [(conductor_name(box, c), ends(station, box, c)) for c in cable.conductors]
    return [Resistor(name, *pair, ohm) for name, pair in joined if pair is not None]


def _selector(station: Station, selector: Selector, corner: Corner) -> list[Element]:
    """The selector but for its coils: its diodes, or all else of its board, joined to its lines and the source's 0V."""
    if selector.board is not None:
        board = selector.board
        joins = [(line_point(Load(box, "feeder")), board.node(selector.nets[box])) for box in selector.switched]
        joins.append((ZERO, board.node("0V")))
        if station.sinks:
            joins.append((PLUS, board.node(COIL_SUPPLY)))
        made = [Resistor(f"selector line {n}", *pair, 0.0) for n, pair in enumerate(joins)]
        return [*elements(board, corner), *made]
    found: list[Element] = []
    for box in selector.refs:
        line, coil = line_point(Load(box, "feeder")), _selector_coil_point(selector, box)
        if selector.series is not None:
            ends = (coil, line) if station.sinks else (line, coil)
            found.append(junction(selector.series, corner.warmth).curve(selector_diode("series", box), *ends))
        if selector.flyback is not None:
            ends = (coil, PLUS) if station.sinks else (ZERO, coil)
            found.append(junction(selector.flyback, corner.warmth).curve(selector_diode("flyback", box), *ends))
    return found


def _selector_coil_point(selector: Selector, box: str) -> str:
    return line_point(Load(box, "feeder")) if selector.series is None else f"selector: coil {box}"


def _selector_coils(station: Station, selector: Selector, through: Collection[str], corner: Corner) -> Iterator[Coil]:
    """The coils while the feeders of the boxes in `through` are brought through."""
    if selector.board is not None:
        yield from coils(selector.board, selector.board.operated(through), corner)
        return
    for box, ref in selector.refs.items():
        coil = _selector_coil_point(selector, box)
        ends = (PLUS, coil) if station.sinks else (coil, ZERO)
        yield coil_of_part(SELECTOR, ref, box, selector.relay, ends, box in through, corner)


def _ports(station: Station) -> dict[Load, tuple[str, str, float]]:
    """The fed ports by load; of a shared feed line each port by its antenna."""
    found = {}
    for name, board in station.boards.items():
        for port in board.netlist.ports:
            feed = board.feeds.get(port.strip)
            if feed is not None:
                load = Load(name, "feed", port.strip)
                found[load] = (board.node(port.centre), board.node(port.braid), feed.voltage)
    return found

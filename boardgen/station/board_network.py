"""What direct current sees of a board: coils, diodes, lamps, suppressors, feeds, from its netlist."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable

from msgspec import Struct

from boardgen.direct_current.elements import Element, Resistor
from boardgen.handbook import coil
from boardgen.kinds import kind_of
from boardgen.kinds.direct_current import DirectPart, Grade
from boardgen.kinds.kind import Without
from boardgen.kinds.relay import RELAY
from boardgen.model.netlist import Component, Netlist
from boardgen.model.part import Part
from boardgen.model.selection import SelectionState
from boardgen.sizing.feed_line import feed_load
from boardgen.sizing.relay import ASSUMED_THERMAL_K_PER_W
from boardgen.spec.values import Feed
from boardgen.station.corners import Corner


class Board(Struct, frozen=True):
    """A board with its name in the station, and what it feeds: volts and amperes by the antenna's label."""

    name: str
    netlist: Netlist
    feeds: dict[str, Feed]

    def operated(self, antennas: Iterable[str]) -> SelectionState:
        """The relays that the choice of these antennas operates."""
        return frozenset().union(*(self.netlist.select(antenna).operated for antenna in antennas))

    def node(self, net: str) -> str:
        """A net of the board as a point of the station."""
        return f"{self.name}: {net}"


class MeterPoint(Struct, frozen=True, order=True):
    """Where volts are read: across a relay's coil, or at a fed port, which has no `ref`.

    `board` is the box's name, or SELECTOR of consistency.py; `strip` the antenna served, of the selector the box.
    """

    board: str
    strip: str
    ref: str = ""

    def __str__(self) -> str:
        return f"{self.board} {self.ref} ({self.strip})" if self.ref else f"{self.board} feed {self.strip}"


class Coil(Struct, frozen=True):
    """A relay's coil in a state at a corner: its points, the strip it serves, and volts at which it must work.

    `ohm` is the least where it is wanted, for it then draws most, and the greatest where it is not.
    """

    board: str
    ref: str
    strip: str
    plus: str
    minus: str
    ohm: float
    wanted: bool
    must_operate_v: float
    must_release_v: float
    polarised: bool

    @property
    def name(self) -> str:
        """Board and designator."""
        return f"{self.board} {self.ref}"

    @property
    def meter_point(self) -> MeterPoint:
        """Where its volts are read."""
        return MeterPoint(self.board, self.strip, self.ref)

    @property
    def element(self) -> Resistor:
        """The coil as a resistor."""
        return Resistor(f"{self.name} coil", self.plus, self.minus, self.ohm)


RELEASE_SHARE = 0.1
"""Must-release voltage over the nominal one where a sheet gives none: common practice, no source."""


def coil_of(board: str, component: Component, ends: tuple[str, str], wanted: bool, corner: Corner) -> Coil:
    """The coil of a relay at a corner, warm from its own current where it is wanted there."""
    part, strip = component.part, component.subject.strip
    return coil_of_part(board, component.ref, strip, part, ends, wanted, corner)


def coil_of_part(
    board: str, ref: str, strip: str, part: Part, ends: tuple[str, str], wanted: bool, corner: Corner
) -> Coil:
    """The same from a part."""
    resistance, operate = part.figures["coil resistance"], part.figures["must operate"]
    release = part.figure("must release")
    celsius = corner.celsius
    if wanted and corner.is_warm:
        thermal = part.figure("thermal resistance")
        watt = corner.supply_v**2 / resistance.value
        celsius = coil.coil_temperature(celsius, thermal.value if thermal else ASSUMED_THERMAL_K_PER_W, watt)
    release_v = release.least if release else RELEASE_SHARE * part.figures["coil voltage"].value
    return Coil(
        board,
        ref,
        strip,
        *ends,
        ohm=coil.resistance_at(resistance.least if wanted else resistance.most, celsius),
        wanted=wanted,
        must_operate_v=coil.operate_voltage_at(operate.most, celsius),
        must_release_v=coil.operate_voltage_at(release_v, corner.celsius),
        polarised=part.attributes.get("coil") != "not polarised",
    )


def coils(board: Board, operated: SelectionState, corner: Corner) -> tuple[Coil, ...]:
    """The coils of a board while those relays of it are to be operated."""
    found = []
    for component in board.netlist.of_kind("relay"):
        if component.fitted:
            pin_nets = board.netlist.pin_nets[component.ref]
            ends = (board.node(pin_nets["coil +"]), board.node(pin_nets["coil -"]))
            found.append(coil_of(board.name, component, ends, component.ref in operated, corner))
    return tuple(found)


def elements(board: Board, corner: Corner) -> tuple[Element, ...]:
    """Everything of the board but its relays, whose coils are told apart and whose contacts only pass signals.

    Each element bears the board's name and a designator. What lies in series with a current has most resistance where
    least volts are left.
    """
    found: list[Element] = []
    for component in board.netlist.components:
        kind = kind_of(component.part)
        if component.fitted and kind is not RELAY and not isinstance(kind.direct_current, Without):
            nodes = {role: board.node(net) for role, net in board.netlist.pin_nets[component.ref].items()}
            grade: Grade = ("high" if corner.is_low else "low") if kind.paths.low_resistance else "middle"
            name = f"{board.name} {component.ref}"
            found += kind.direct_current(DirectPart(name, component, nodes, grade, warmth=corner.warmth))
    for port in board.netlist.ports:
        feed = board.feeds.get(port.strip)
        if feed is not None:
            ends = (board.node(port.centre), board.node(port.braid))
            found.append(feed_load(f"{board.name} {port.ref} load", *ends, feed))
    return tuple(found)


def without_ends(found: tuple[Element, ...], kept: Collection[str]) -> tuple[Element, ...]:
    """The elements without those that lead to nowhere and carry no current; points `kept` count as somewhere."""
    while True:
        counts = Counter(end for e in found for end in e.ends)
        left = tuple(e for e in found if all(counts[end] > 1 or end in kept for end in e.ends))
        if len(left) == len(found):
            return found
        found = left

"""The frozen circuit: components, nets, contacts and ports of one board."""

from __future__ import annotations

from functools import cached_property
from itertools import combinations
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.choice import Subject
from boardgen.model.part import Part
from boardgen.model.selection import ControlLine, Selection

Conductor = Literal["centre", "braid"]
"""Of a pair: the coax's inner conductor, and what surrounds it."""
CONDUCTORS: tuple[Conductor, Conductor] = ("centre", "braid")


class Component(Struct, frozen=True):
    """A part in its place, with its reference designator.

    `in_series` says that the received signal passes it on its way to the next stage.
    """

    ref: str
    subject: Subject
    part: Part
    value: str
    fitted: bool
    in_series: bool = False


class Node(Struct, frozen=True, order=True):
    """One pin on a net: designator, pad number and role."""

    ref: str
    pad: str
    role: str


class NetName(Struct, frozen=True):
    """The parts of a net's name: words before and after the name of the strip that it belongs to, and the conductor.

    `strip` is the strip's label, "" for a net of the whole board. `number` is above 1 where the name is another net's.
    """

    strip: str = ""
    before: str = ""
    after: str = ""
    conductor: Conductor | None = None
    number: int = 1

    def spelled(self, strip: str) -> str:
        """The whole name, with this for the strip's where it belongs to one."""
        number = str(self.number) if self.number > 1 else ""
        return " ".join(filter(None, (self.before, strip if self.strip else "", self.after, self.conductor, number)))


class Net(Struct, frozen=True):
    """A named set of joined pins. `name` is plain ASCII, `called` has its parts and the user's own spelling."""

    name: str
    nodes: tuple[Node, ...]
    called: NetName

    @property
    def label(self) -> str:
        """The name in the user's own spelling where that differs, else ""."""
        spelled = self.called.spelled(self.called.strip)
        return spelled if spelled != self.name else ""


class Contact(Struct, frozen=True):
    """One changeover contact of a relay: the nets at its three ends, "" where free. `strip` is the relay's own."""

    ref: str
    pole: str
    common: str
    closed: str
    opened: str
    strip: str


class Port(Struct, frozen=True):
    """A coax port: its strip and the nets of its two conductors."""

    ref: str
    strip: str
    centre: str
    braid: str


class Netlist(Struct, frozen=True, dict=True):
    """The whole board. `free` are pins left open on purpose; `control_lines` say which line works which relay."""

    title: str
    revision: str
    components: tuple[Component, ...]
    nets: tuple[Net, ...]
    contacts: tuple[Contact, ...]
    ports: tuple[Port, ...]
    free: tuple[Node, ...]
    control_lines: tuple[ControlLine, ...]

    def __repr__(self) -> str:
        return f"<Netlist {self.title}, revision {self.revision}: {len(self.components)} parts, {len(self.nets)} nets>"

    @cached_property
    def component(self) -> dict[str, Component]:
        """Components by designator."""
        return {c.ref: c for c in self.components}

    @cached_property
    def called(self) -> dict[str, NetName]:
        """The parts of each net's name."""
        return {net.name: net.called for net in self.nets}

    @cached_property
    def braid_of(self) -> dict[str, str]:
        """The braid about each centre conductor that has one."""
        named = {net.called: net.name for net in self.nets}
        braids = {n.name: replace(n.called, conductor="braid") for n in self.nets if n.called.conductor == "centre"}
        return {centre: named[braid] for centre, braid in braids.items() if braid in named}

    @cached_property
    def pin_nets(self) -> dict[str, dict[str, str]]:
        """The net of each pin: its name by designator and pin role."""
        found: dict[str, dict[str, str]] = {c.ref: {} for c in self.components}
        for net in self.nets:
            for node in net.nodes:
                found[node.ref][node.role] = net.name
        return found

    def of_kind(self, *kinds: str) -> tuple[Component, ...]:
        """The components of these kinds, in order."""
        return tuple(c for c in self.components if c.part.kind in kinds)

    @cached_property
    def antennas(self) -> tuple[str, ...]:
        """The labels of the fitted antennas, in order."""
        return tuple(p.strip for p in self.ports if p.strip != "output" and self.component[p.ref].fitted)

    def select(self, antenna: str | None, live: tuple[str, ...] = ()) -> Selection:
        """The board with that antenna selected, None for none, and those lines of stages live.

        Nothing but this says which relays a choice operates; an antenna that is through at rest operates none. Raises
        KeyError for an antenna that is not there or a line that no stage has.
        """
        stages = [line.net for line in self.control_lines if not line.selects]
        unknown = [name for name in (antenna,) if name is not None and name not in self.antennas]
        if unknown := [*unknown, *(net for net in live if net not in stages)]:
            raise KeyError(*unknown)
        operated = (
            ref
            for line in self.control_lines
            if (line.strip == antenna if line.selects else line.net in live)
            for ref in line.relays
            if self.component[ref].fitted
        )
        return Selection(antenna, live, frozenset(operated))

    def worked_by(self, line: ControlLine) -> Selection:
        """The board with that line live and no other."""
        return self.select(line.strip) if line.selects else self.select(None, (line.net,))

    @cached_property
    def selections(self) -> tuple[Selection, ...]:
        """Every way to work the board: no antenna, then each fitted one, with every set of stages' lines live."""
        stages = [line.net for line in self.control_lines if not line.selects]
        sets = [live for count in range(len(stages) + 1) for live in combinations(stages, count)]
        return tuple(self.select(antenna, live) for live in sets for antenna in (None, *self.antennas))

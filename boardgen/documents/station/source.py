"""What a station is written up from."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from boardgen.documents.identity import named
from boardgen.documents.page.spelling import Spelling
from boardgen.documents.text import Value
from boardgen.spec.keys import Documents, Spec
from boardgen.station.keys import Plan
from boardgen.station.manual_switch import positions_in_words, switch_names
from boardgen.station.network import Station
from boardgen.station.proof import Proof
from boardgen.station.steering import Joint
from boardgen.station.table import Row, Table
from boardgen.station_design import StationDesign


class Source(Struct, frozen=True, dict=True):
    """The station, and the day that is printed, "" for none. It is set as the first box's specification asks."""

    design: StationDesign
    date: str

    @property
    def plan(self) -> Plan:
        """The plan."""
        return self.design.plan

    @property
    def station(self) -> Station:
        """Steering, boards, cables, selector."""
        return self.design.station

    @property
    def table(self) -> Table:
        """The selection table."""
        return self.design.table

    @property
    def proof(self) -> Proof:
        """Readings in every state."""
        return self.design.proof

    @cached_property
    def specs(self) -> Mapping[str, Spec]:
        """The boxes' specifications, with the plan's cables in them."""
        return {name: board.spec for name, board in self.design.boxes.items()}

    @property
    def set_as(self) -> Documents:
        """How the reader wants it set."""
        return next(iter(self.specs.values())).documents

    @cached_property
    def say(self) -> Spelling:
        """Units and numbers as the reader wants them; the user's own words are left alone."""
        plan, wanted = self.plan, self.set_as
        words = [plan.title, *(d.label for d in plan.direction), *(r.name for r in plan.remote)]
        words += [label for name, spec in self.specs.items() for label in (name, *(a.label for a in spec.antenna))]
        return Spelling(wanted.decimal == "comma", wanted.dimensions == "inch beside", tuple(dict.fromkeys(words)))

    @cached_property
    def diodes(self) -> Mapping[Joint, str]:
        """The steering diodes with a designator each, in the order of outputs and lines."""
        return {joint: f"D{number}" for number, joint in enumerate(self.station.steering.diodes, 1)}

    @property
    def fuse(self) -> str:
        """The fuse at the source."""
        return f"fuse {self.design.fuse.name.removeprefix('any ')}"

    @property
    def is_switch(self) -> bool:
        """Whether a manual switch works the lines."""
        return self.design.source.is_switch

    @property
    def way(self) -> str:
        """What an output of the source is called."""
        return self.design.source.way

    @property
    def outputs_words(self) -> str:
        """What the outputs are."""
        kind = self.plan.source.kind
        return {"high-side driver": "driver outputs", "open drain": "open-drain outputs"}.get(kind, "relay outputs")

    @cached_property
    def switch_names(self) -> tuple[str, ...]:
        """What each manual switch is called."""
        return switch_names(self.station.steering, self.plan.source.switches)

    def chosen(self, row: Row) -> str:
        """What a direction has on: the positions of switches, or outputs."""
        if self.is_switch:
            return positions_in_words(self.switch_names, row.positions)
        return ", ".join(map(str, row.outputs))

    @property
    def sinks(self) -> bool:
        """Whether the outputs take lines to 0V."""
        return self.station.sinks

    @property
    def supply(self) -> Value:
        """The supply in words."""
        supply = self.plan.source.supply
        words = f"{supply.low:g} V" if supply.low == supply.high else f"{supply.low:g} to {supply.high:g} V"
        return Value(named("source", "supply"), words)

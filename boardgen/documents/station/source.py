"""What a station is written up from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from boardgen.documents.page.spelling import Spelling
from boardgen.model.problem import Problem
from boardgen.spec.keys import Spec
from boardgen.station.budget import Path
from boardgen.station.currents import Flow
from boardgen.station.keys import Plan
from boardgen.station.network import Station
from boardgen.station.proof import Proof
from boardgen.station.reach import Reach
from boardgen.station.steering import Joint
from boardgen.station.table import Table


@dataclass(frozen=True)
class Source:
    """The plan with everything that was worked out from it.

    `specs`, `reaches` and `flows` are by box. `folders` are the names of the boards' own folders, by box, that of the
    selector under "selector". `fuse` is the fuse at the source in words.
    """

    plan: Plan
    specs: Mapping[str, Spec]
    station: Station
    table: Table
    proof: Proof
    reaches: Mapping[str, Reach]
    flows: Mapping[str, tuple[Flow, ...]]
    paths: tuple[Path, ...]
    problems: tuple[Problem, ...]
    folders: Mapping[str, str]
    fuse: str
    say: Spelling
    date: str

    @cached_property
    def diodes(self) -> Mapping[Joint, str]:
        """The steering diodes with a designator each, in the order of outputs and lines."""
        return {joint: f"D{number}" for number, joint in enumerate(self.station.steering.diodes, 1)}

    @property
    def is_switch(self) -> bool:
        """Whether a manual switch works the lines."""
        return self.plan.source.kind == "manual switch"

    @property
    def way(self) -> str:
        """What an output of the source is called."""
        return "contact" if self.is_switch else "output"

    @property
    def supply(self) -> str:
        """The supply in words."""
        supply = self.plan.source.supply
        return f"{supply.low:g} V" if supply.low == supply.high else f"{supply.low:g}..{supply.high:g} V"

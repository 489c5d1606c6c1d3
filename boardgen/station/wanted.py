"""What each direction asks for: the loads that must be energised, and no others."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from boardgen.spec.keys import Spec
from boardgen.station.consistency import antenna_of, split
from boardgen.station.keys import Direction, Plan

Kind = Literal["select", "feed", "feeder"]


class Load(Struct, frozen=True, order=True):
    """What one line works: the relay of an antenna, a feed, or the selector's relay of a feeder.

    `strip` is the antenna's label; "" for a feed line that several antennas share, and for a feeder.
    """

    box: str
    kind: Kind
    strip: str = ""

    def __str__(self) -> str:
        if self.kind == "feeder":
            return f"feeder {self.box}"
        if self.kind == "feed":
            return f"{self.box} feed {self.strip}".strip()
        return f"{self.box} {self.strip}"


class Wanted(Struct, frozen=True):
    """Loads by direction, in the plan's order, with the box whose feeder is through at rest."""

    rest: str
    loads: Mapping[str, frozenset[Load]]

    @property
    def every(self) -> tuple[Load, ...]:
        """Every load that some direction asks for, in order."""
        return tuple(sorted(set().union(*self.loads.values())))

    def through(self, direction: str) -> str:
        """The box whose feeder is through for a direction."""
        return next((load.box for load in self.loads[direction] if load.kind == "feeder"), self.rest)

    def indifferent(self, direction: str) -> frozenset[Load]:
        """What may be on or off for a direction: antennas and feeds of boxes whose feeder is not through."""
        through = self.through(direction)
        idle = {load for load in self.every if load.kind != "feeder" and load.box != through}
        return frozenset(idle - self.loads[direction])


def wanted(plan: Plan, specs: Mapping[str, Spec], rest: str) -> Wanted:
    """What the directions of the plan ask for while the feeder of `rest` is the one through at rest."""
    return Wanted(rest, {d.label: _loads(plan, specs, d, rest) for d in plan.direction})


def _loads(plan: Plan, specs: Mapping[str, Spec], direction: Direction, rest: str) -> frozenset[Load]:
    box, _ = split(direction.antenna)
    found = {Load(box, "select", split(antenna)[1]) for antenna in antennas(direction)}
    if box != rest:
        found.add(Load(box, "feeder"))
    found |= {feed for name in _fed(plan, specs, direction) if (feed := feed_load(specs, name)) is not None}
    return frozenset(found)


def _fed(plan: Plan, specs: Mapping[str, Spec], direction: Direction) -> list[str]:
    """The antennas up whose coax a feed must go: that of the remote, and the direction's own where no remote has it.

    A feed that no remote is named for serves the antenna itself, such as an amplifier, and is on with its selection.
    """
    remotes = {r.name: r.antenna for r in plan.remote}
    named = {split(r) for r in remotes.values()}
    fed = [remotes[direction.remote]] if direction.remote is not None else []
    for antenna in antennas(direction):
        own = antenna_of(specs, antenna)
        if own is not None and own.feed is not None and split(antenna) not in named:
            fed.append(antenna)
    return fed


def antennas(direction: Direction) -> tuple[str, ...]:
    """The antennas that a direction selects, as box and label: one, or the two of a pair."""
    return (direction.antenna,) if direction.beside is None else (direction.antenna, direction.beside)


def feed_load(specs: Mapping[str, Spec], antenna: str) -> Load | None:
    """The line that feeds this antenna; None where its feed follows the selection."""
    box, label = split(antenna)
    lines = specs[box].switching.feed_lines
    if lines == "with selection":
        return None
    return Load(box, "feed", "" if lines == "shared" else label)


def may_rest(plan: Plan) -> tuple[str, ...]:
    """The boxes whose feeder may be the one through at rest, in order."""
    if plan.receiver.rest is not None:
        return (plan.receiver.rest,)
    claimed = tuple(box.name for box in plan.box if box.rest)
    return claimed or tuple(box.name for box in plan.box if box.rest is not False)

"""Which output works which load, and where a diode must keep one output from working another's.

An output is joined to its loads by wires and diodes. A wire makes one point of both, so that whatever else works the
load works all loads of that output, its owner: a wire is right where those are wanted then too, and nowhere else.
That is judged for each pair on its own, and no load has two owners, so wires are taken wherever they are right.
An output that works a load with an owner thereby works all loads of the owner. Of what is left, the loads of the
largest owners need a diode each owner, for nothing else reaches them; then each load that is not reached yet needs
one. So the diodes are the fewest. A load that is reached through an owner has two diodes before it: where that costs
too many volts the load is made `direct`, and has a diode of its own from every output that shares it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

from boardgen.station.sharing import fewest_outputs
from boardgen.station.wanted import Load, Wanted

MOST_TRIED = 4096
"""Ways of giving loads outputs of their own that are all tried; beyond, loads are taken one after the other."""


class Joint(Struct, frozen=True):
    """An output, a load that it works, and whether a diode stands between (anode at the output)."""

    output: int
    load: Load
    diode: bool


class Output(Struct, frozen=True):
    """A contact of the source: its number from 1, the pole it belongs to, what it works, and for which directions.

    For manual switches the number counts the joined contacts of all poles of all switches; `switch` is which of them.
    """

    number: int
    pole: int
    works: tuple[Load, ...]
    directions: tuple[str, ...]
    switch: int = 1


class Steering(Struct, frozen=True):
    """Outputs, and the joints between them and the loads.

    `positions` has for each direction the position of every manual switch, 0 for off; it is empty for outputs.
    """

    wanted: Wanted
    outputs: tuple[Output, ...]
    joints: tuple[Joint, ...]
    positions: Mapping[str, tuple[int, ...]] = field(default_factory=dict)

    @property
    def diodes(self) -> tuple[Joint, ...]:
        """The joints that are diodes."""
        return tuple(j for j in self.joints if j.diode)

    def on(self, direction: str) -> tuple[int, ...]:
        """Numbers of the outputs that are on for a direction."""
        return tuple(o.number for o in self.outputs if direction in o.directions)

    def along(self, direction: str) -> frozenset[Load]:
        """Loads of idle boxes that are on as well, since they share an output with a wanted one."""
        works = (o.works for o in self.outputs if direction in o.directions)
        return frozenset().union(*works) - self.wanted.loads[direction]

    @property
    def shares(self) -> bool:
        """Whether boxes share outputs, so that antennas of idle boxes are selected too."""
        return any(self.along(direction) for direction in self.wanted.loads)


def reached(joints: Iterable[Joint], on: Iterable[int]) -> frozenset[Load]:
    """The loads that current reaches from these outputs: through diodes one way, along wires both ways."""
    joints = tuple(joints)
    live: set[Load | int] = set(on)
    while True:
        more = {j.load for j in joints if j.output in live}
        more_outputs = {j.output for j in joints if not j.diode and j.load in live}
        if more <= live and more_outputs <= live:
            return frozenset(x for x in live if isinstance(x, Load))
        live |= more | more_outputs


def steer_sets(
    sets: Sequence[frozenset[Load]], first: int = 1, direct: frozenset[Load] = frozenset()
) -> tuple[Joint, ...]:
    """The joints of outputs that work these sets of loads, no two alike, numbered from `first`; fewest diodes."""
    owner = {load: works for works in sets for load in works if all(works <= o for o in sets if load in o)}
    found: list[Joint] = []
    for number, works in enumerate(sets, first):
        wires = {load for load in works if owner.get(load) == works}
        owners = {o for load in works - wires if (o := owner.get(load)) is not None}
        largest = [o for o in owners if not any(o < other for other in owners)]
        through = {min(load for load in o if owner.get(load) == o) for o in largest}
        apart = works - wires - set().union(*largest) if largest else works - wires
        diodes = through | apart | (works & direct) - wires
        found += [Joint(number, load, load in diodes) for load in sorted(wires | diodes)]
    return tuple(found)


def _distinct(wanted: Wanted, group: frozenset[Load]) -> dict[frozenset[Load], list[str]]:
    """The sets of loads within a group that directions ask for, with those directions; none that is empty."""
    found: dict[frozenset[Load], list[str]] = {}
    for direction, loads in wanted.loads.items():
        if loads & group:
            found.setdefault(loads & group, []).append(direction)
    return found


def _steering(wanted: Wanted, groups: Sequence[frozenset[Load]], direct: frozenset[Load]) -> Steering:
    outputs: list[Output] = []
    joints: list[Joint] = []
    for pole, group in enumerate(groups, 1):
        sets = _distinct(wanted, group)
        joints += steer_sets(list(sets), len(outputs) + 1, direct)
        outputs += [
            Output(number, pole, tuple(sorted(works)), tuple(directions))
            for number, (works, directions) in enumerate(sets.items(), len(outputs) + 1)
        ]
    return Steering(wanted, tuple(outputs), tuple(joints))


def _cost(steering: Steering) -> tuple[int, int]:
    return len(steering.diodes), len(steering.outputs)


def one_at_a_time(wanted: Wanted, direct: frozenset[Load] = frozenset()) -> Steering:
    """Each different set of loads has one output: one output is on in every state."""
    return _steering(wanted, [frozenset(wanted.every)], direct)


def _shared(wanted: Wanted) -> list[Load]:
    """Loads that a diode could be needed for, most often asked for first."""
    alone = one_at_a_time(wanted)
    wired = {(j.output, j.load) for j in alone.joints if not j.diode}
    counts = {
        load: sum(load in o.works and (o.number, load) not in wired for o in alone.outputs) for load in wanted.every
    }
    return sorted((load for load in counts if counts[load]), key=lambda load: (-counts[load], load))


def _together(wanted: Wanted, outputs: int, direct: frozenset[Load]) -> Steering:
    """Some loads have outputs of their own, on beside others; fewest diodes, then fewest outputs."""
    shared = _shared(wanted)
    chosen: Iterator[tuple[Load, ...]]
    if 2 ** len(shared) <= MOST_TRIED:
        chosen = (
            tuple(load for load, own in zip(shared, takes, strict=True) if own)
            for takes in product((False, True), repeat=len(shared))
        )
    else:
        chosen = (tuple(shared[:n]) for n in range(len(shared) + 1))
    every = frozenset(wanted.every)
    tried = [_steering(wanted, [every - set(own), *(frozenset((load,)) for load in own)], direct) for own in chosen]
    fitting = [s for s in tried if len(s.outputs) <= outputs]
    return min(fitting or tried, key=_cost if fitting else lambda s: (len(s.outputs), len(s.diodes)))


def _poles(wanted: Wanted, poles: int, direct: frozenset[Load]) -> Steering:
    """Loads are dealt to the poles of a switch; fewest diodes."""
    shared = _shared(wanted)
    rest = frozenset(wanted.every) - set(shared)
    dealt: Iterator[tuple[int, ...]]
    if poles ** len(shared) <= MOST_TRIED:
        dealt = product(range(poles), repeat=len(shared))
    else:
        dealt = iter([tuple(min(poles - 1, ("select", "feeder", "feed").index(load.kind)) for load in shared)])
    tried = []
    for deal in dealt:
        groups = [frozenset(load for load, pole in zip(shared, deal, strict=True) if pole == n) for n in range(poles)]
        # what is asked for once goes with the first pole, where it costs no diode
        tried.append(_steering(wanted, [groups[0] | rest, *groups[1:]], direct))
    best = min(tried, key=_cost)
    numbers = {loads: n for n, loads in enumerate(dict.fromkeys(wanted.loads.values()), 1)}
    return replace(best, positions={direction: (numbers[loads],) for direction, loads in wanted.loads.items()})


def _of_boxes(wanted: Wanted) -> dict[str, dict[frozenset[Load], list[str]]]:
    """By box, the sets of loads other than feeders that its directions ask for, with those directions."""
    found: dict[str, dict[frozenset[Load], list[str]]] = {}
    for direction, loads in wanted.loads.items():
        own = frozenset(load for load in loads if load.kind != "feeder")
        found.setdefault(wanted.through(direction), {}).setdefault(own, []).append(direction)
    return found


def _two_switches(wanted: Wanted, direct: frozenset[Load]) -> Steering:
    """One switch works the first, second and so on antenna of every box at once, the other brings a feeder through."""
    boxes = _of_boxes(wanted)
    at = {
        direction: (position, number)
        for number, sets in enumerate(boxes.values(), 1)
        for position, directions in enumerate(sets.values(), 1)
        for direction in directions
    }
    rows = range(max(len(sets) for sets in boxes.values()))
    antennas = [frozenset().union(*(list(sets)[n] for sets in boxes.values() if n < len(sets))) for n in rows]
    feeders = [frozenset((load,)) for load in wanted.every if load.kind == "feeder"]
    numbers = {box: number for number, box in enumerate(boxes, 1)}
    outputs = [
        Output(n, 1, tuple(sorted(works)), tuple(d for d, (position, _) in at.items() if position == n))
        for n, works in enumerate(antennas, 1)
    ]
    for n, works in enumerate(feeders, len(outputs) + 1):
        box = next(load.box for load in works)
        outputs.append(Output(n, 1, tuple(works), tuple(d for d, (_, m) in at.items() if m == numbers[box]), 2))
    joints = (*steer_sets(antennas, 1, direct), *steer_sets(feeders, len(antennas) + 1, direct))
    return Steering(wanted, tuple(outputs), joints, {direction: at[direction] for direction in wanted.loads})


def _switch_a_box(wanted: Wanted, direct: frozenset[Load]) -> Steering:
    """Each box has a switch that brings its feeder through as well; those of the others are off."""
    outputs: list[Output] = []
    joints: list[Joint] = []
    at: dict[str, tuple[int, ...]] = {}
    boxes = _of_boxes(wanted)
    for number, sets in enumerate(boxes.values(), 1):
        whole = {wanted.loads[directions[0]]: directions for directions in sets.values()}
        joints += steer_sets(list(whole), len(outputs) + 1, direct)
        for position, (works, directions) in enumerate(whole.items(), 1):
            outputs.append(Output(len(outputs) + 1, 1, tuple(sorted(works)), tuple(directions), number))
            off = [0] * len(boxes)
            off[number - 1] = position
            at |= dict.fromkeys(directions, tuple(off))
    return Steering(wanted, tuple(outputs), tuple(joints), {direction: at[direction] for direction in wanted.loads})


def _sharing(wanted: Wanted, direct: frozenset[Load]) -> Steering:
    """Boxes share lines: the fewest outputs at all, several on at once."""
    found = fewest_outputs(wanted)
    outputs = (Output(n, 1, tuple(sorted(o.works)), o.directions) for n, o in enumerate(found, 1))
    return Steering(wanted, tuple(outputs), steer_sets([o.works for o in found], direct=direct))


Switches = Literal["one", "two", "one a box"]


class SteeringSource(Struct, frozen=True):
    """What there is to steer with: contacts or positions, several on at once or not, poles of a switch.

    `may_share` says that boxes share lines where outputs do not suffice for one a relay.
    """

    is_switch: bool
    outputs: int
    together: bool = False
    poles: int = 1
    may_share: bool = True
    switches: Switches = "one"
    off_position: bool = False

    @property
    def way(self) -> str:
        """What one of its ways is called."""
        return "contact" if self.is_switch else "output"


def steer(wanted: Wanted, source: SteeringSource, direct: frozenset[Load] = frozenset()) -> Steering:
    """The steering with the fewest diodes that the source allows, or that which it misses by least."""
    if source.is_switch and source.switches == "two":
        return _two_switches(wanted, direct)
    if source.is_switch and source.switches == "one a box":
        return _switch_a_box(wanted, direct)
    if source.is_switch:
        return _poles(wanted, source.poles, direct)
    if not source.together:
        return one_at_a_time(wanted, direct)
    own = _together(wanted, source.outputs, direct)
    if len(own.outputs) <= source.outputs or not source.may_share:
        return own
    shared = _sharing(wanted, direct)
    return shared if len(shared.outputs) < len(own.outputs) else own


def outputs_needed(steering: Steering, source: SteeringSource) -> int:
    """Outputs, or positions of the largest switch, that the steering takes, those for off among them.

    One switch, or that of two which chooses the antenna, has an off where the source is to have one; of several, one a
    box, each must have it.
    """
    if not source.is_switch:
        return len(steering.outputs)
    most: list[int] = [max(column) for column in zip(*steering.positions.values(), strict=True)]
    if source.switches == "one a box":
        return max(most) + 1
    return max(most[0] + int(source.off_position), *most[1:], 0)


def best_rest(candidates: Mapping[str, Steering], source: SteeringSource) -> str:
    """The rest feeder with which outputs suffice, no lines are shared, and most diodes are saved, then outputs.

    The first of equals.
    """

    def rank(name: str) -> tuple[bool, bool, tuple[int, int]]:
        made = candidates[name]
        return outputs_needed(made, source) > source.outputs, made.shares, _cost(made)

    return min(candidates, key=rank)


def indirect(steering: Steering) -> frozenset[Load]:
    """Loads that some output reaches only through another's, behind two diodes or more."""
    joined = {(j.output, j.load) for j in steering.joints}
    return frozenset(load for o in steering.outputs for load in o.works if (o.number, load) not in joined)

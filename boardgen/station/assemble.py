"""Puts a station together from the plan, the boxes' netlists and the parts that were chosen."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from boardgen.direct_current.elements import OPEN
from boardgen.model.netlist import Netlist
from boardgen.model.part import Part
from boardgen.request import Request
from boardgen.sizing.cable import ohm_per_m
from boardgen.sizing.cable_places import places
from boardgen.stages.line_nets import feed_line_net, select_net
from boardgen.station.board_network import Board
from boardgen.station.conductors import COIL_SUPPLY, Conductor, Line, assign, at_jacks
from boardgen.station.consistency import SELECTOR
from boardgen.station.feasible import in_boxes
from boardgen.station.keys import Plan
from boardgen.station.network import BoxCable, Selector, Station
from boardgen.station.steering import Steering
from boardgen.station.wanted import Load


def net_of(request: Request, load: Load) -> str:
    """The net of a box at which a load of it enters."""
    strips = [s for s in request.strips if s.feed] if load.kind == "feed" and not load.strip else request.antennas
    strip = next(s for s in strips if load.strip in ("", s.label))
    return feed_line_net(request, strip) if load.kind == "feed" else select_net(strip)


def box_loads(steering: Steering, box: str) -> tuple[Load, ...]:
    """The loads in a box that the station works."""
    return tuple(load for load in steering.wanted.every if load.box == box and load.kind != "feeder")


def lines(steering: Steering, request: Request, box: str, *, boxed: bool) -> tuple[Line, ...]:
    """The lines of a box: one a load in the order of its ports, or one an output where diodes sit in the box."""
    loads = box_loads(steering, box)
    common = (Line(COIL_SUPPLY, COIL_SUPPLY, ()),) if request.low_side else ()
    if boxed:
        found = (
            Line(f"output {o.number}", f"output {o.number}", own, o.number)
            for o in steering.outputs
            if (own := tuple(load for load in o.works if load in loads))
        )
        return (*found, *common)
    order = {s.label: n for n, s in enumerate(request.antennas)}
    ordered = sorted(loads, key=lambda load: (order.get(load.strip, len(order)), load.kind != "select"))
    return tuple(Line(_what(load), net_of(request, load), (load,), group=load.strip) for load in ordered) + common


def _what(load: Load) -> str:
    if load.kind == "feed":
        return f"feed {load.strip}" if load.strip else "feeds"
    return f"select {load.strip}"


def conductors(plan: Plan, steering: Steering, request: Request, netlist: Netlist, box: str) -> tuple[Conductor, ...]:
    """What each conductor of a box's cable carries."""
    control = request.spec.control
    free = places(control.conductors, control.cables, plan.source.colours)
    wanted = lines(steering, request, box, boxed=in_boxes(plan))
    jacks = netlist.of_kind("jack")
    if jacks and not in_boxes(plan) and control.conductors == len(jacks[0].part.pins):
        pins = [
            (number, int(role), net)
            for number, jack in enumerate(jacks, 1)
            for role, net in netlist.pin_nets[jack.ref].items()
        ]
        return at_jacks(wanted, pins, free)
    return assign(wanted, control.returns, free)


def board(request: Request, netlist: Netlist, name: str) -> Board:
    """A box's board."""
    feeds = {s.label: s.feed for s in request.antennas if s.feed and s.fitted}
    return Board(name, netlist, feeds)


def cable(plan: Plan, steering: Steering, request: Request, netlist: Netlist, box: str) -> BoxCable:
    """A box's cable."""
    control = request.spec.control
    made = conductors(plan, steering, request, netlist, box)
    return BoxCable(ohm_per_m(control.cable) * control.length, made)


def with_board(selector: Selector, request: Request, netlist: Netlist) -> Selector:
    """The selector with its own board, whose antennas bear the names of the boxes."""
    nets = {s.label: select_net(s) for s in request.antennas if not s.rest}
    return replace(selector, board=Board(SELECTOR, netlist, {}), nets=nets)


def assemble(
    plan: Plan,
    steering: Steering,
    requests: Mapping[str, Request],
    netlists: Mapping[str, Netlist],
    selector: Selector | None,
    diode: Part,
) -> Station:
    """The station."""
    return Station(
        steering,
        {name: board(requests[name], netlists[name], name) for name in requests},
        {name: cable(plan, steering, requests[name], netlists[name], name) for name in requests},
        {load: net_of(requests[load.box], load) for load in steering.wanted.every if load.kind != "feeder"},
        selector,
        diode,
        plan.source.drop,
        in_boxes(plan),
        plan.source.supply.high / plan.source.leakage if plan.source.leakage else OPEN,
        plan.source.kind in ("high-side driver", "open drain"),
        plan.source.kind == "open drain",
        frozenset(n for n, r in requests.items() if r.spec.switching.feed_lines == "with selection"),
    )


def spare(made: tuple[Conductor, ...]) -> int:
    """How many conductors carry nothing."""
    return sum(not c.net for c in made)

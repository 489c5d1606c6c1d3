"""A station: steering, wiring, proof, reach and paths, from its plan and the designs of its boxes."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import cached_property, partial

from msgspec import Struct
from msgspec.structs import replace

from boardgen.catalogue import Catalogue
from boardgen.design import Design, Step, make_design, untold, within
from boardgen.inputs.board import BoardInputs
from boardgen.inputs.station import StationInputs
from boardgen.model.choice import Subject
from boardgen.model.netlist import Netlist
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.model.progress import Tell
from boardgen.model.tasks import Run, in_turn
from boardgen.purchasing.board_content import BoardContent
from boardgen.request import Request
from boardgen.sizing.cable_choices import FUSE_BLOWS, FUSE_RATIO
from boardgen.sizing.relay import SUBJECT as RELAY
from boardgen.spec.keys import Spec
from boardgen.spec.load import read_text
from boardgen.spec.order_keys import Order
from boardgen.station.assemble import assemble
from boardgen.station.budget import Path, board_losses, paths
from boardgen.station.consistency import SELECTOR
from boardgen.station.corners import Corner, corners
from boardgen.station.feasible import by_rest, chosen, source_of
from boardgen.station.judge import judge, too_many_volts, too_much_current
from boardgen.station.keys import Plan
from boardgen.station.needs import Beside, beside
from boardgen.station.network import Selector, Station
from boardgen.station.proof import Proof, prove, short_loads, steady_a
from boardgen.station.reach import Reach, reach
from boardgen.station.selector_spec import selector_text
from boardgen.station.states import Flow, flows, output_flows
from boardgen.station.steering import Steering, SteeringSource, indirect
from boardgen.station.table import Table, table
from boardgen.station.wanted import Load

PROVED = frozenset({"V150 relay voltage", "V151 coil voltage", "V181 feed voltage", "V182 feed overvoltage"})
"""Rules of a lone board that the whole station is solved for."""


class StationDesign(Struct, frozen=True, dict=True):
    """A station; each step is worked out when it is first asked for, since an order asks for few of them.

    Parameters
    ----------
    boxes : the designs of the boxes by name.
    own_selector : the selector that the plan names; without one it is made like the first box.
    selector_order : how a selector that is made here is bought, None as its own specification says.

    """

    plan: Plan
    boxes: Mapping[str, Design]
    catalogue: Catalogue
    own_selector: Design | None = None
    selector_order: Order | None = None

    @cached_property
    def requests(self) -> dict[str, Request]:
        """The request of each box."""
        return {name: design.request for name, design in self.boxes.items()}

    @cached_property
    def netlists(self) -> dict[str, Netlist]:
        """The netlist of each box."""
        return {name: design.netlist for name, design in self.boxes.items()}

    @cached_property
    def steerings(self) -> dict[str, Steering]:
        """The steering for each box whose feeder might rest, to compare; only boxes that may are chosen."""
        return by_rest(self.plan, self._specs, every=True)

    @property
    def beside_content(self) -> BoardContent:
        """What is bought beside the boards, with the spares of the first box."""
        first = next(iter(self.boxes.values())).content
        return replace(
            first,
            title=self.plan.title,
            revision=self.plan.revision,
            boards=0,
            area_dm2=Decimal(),
            needs=self.beside.needs,
            empty=(),
            windings=(),
        )

    @property
    def _specs(self) -> dict[str, Spec]:
        return {name: design.spec for name, design in self.boxes.items()}

    @cached_property
    def station(self) -> Station:
        """The station with the fewest diodes that still leave every wanted relay its volts."""
        station = self._assembled(frozenset())
        short = self._reached_through_two(station)
        return self._assembled(short) if short else station

    def _assembled(self, direct: frozenset[Load]) -> Station:
        steering = by_rest(self.plan, self._specs, direct)[self.rest]
        return assemble(self.plan, steering, self.requests, self.netlists, self._relays, self.diode)

    @cached_property
    def rest(self) -> str:
        """The box whose feeder is through at rest."""
        return self._first_steering.wanted.rest

    @cached_property
    def _first_steering(self) -> Steering:
        """The steering before the volts are known."""
        return chosen(self.plan, self._specs)

    @cached_property
    def selector_text(self) -> str:
        """The specification of a generated selector."""
        return selector_text(self.plan, self._specs, self.rest, shares=self._first_steering.shares)

    @cached_property
    def selector(self) -> Design | None:
        """The selector's design, bought and dated as the first box. One box needs none."""
        if len(self.boxes) == 1:
            return None
        if self.own_selector is not None:
            return self.own_selector
        first = next(iter(self.boxes.values()))
        try:
            spec = read_text(self.selector_text)
        except InputError as error:
            # nobody wrote this text: what is wrong with it follows from the plan
            faults = [replace(p, place=Place(key=f"selector made of the plan: {p.place.key}")) for p in error.problems]
            raise InputError(faults) from None
        if self.selector_order is not None:
            spec = spec.model_copy(update={"order": self.selector_order})
        request = Request(spec, self.catalogue)
        made = make_design(request, first.offers, first.on, predicted=first.predicted, laid_out=first.laid_out)
        return _without_own_volts(made)

    def _reached_through_two(self, station: Station) -> frozenset[Load]:
        """Loads with two diodes before them in some state, whose relays or ports are then left too few volts."""
        through = indirect(station.steering)
        return through & short_loads(station, self.corners) if through else frozenset()

    @property
    def diode(self) -> Part:
        """The steering diode. Raises InputError where the catalogue has no such diode."""
        key = self.plan.source.diode
        part = next((p for p in self.catalogue.of_kind("diode") if p.key == key), None)
        if part is None:
            known = ", ".join(p.key for p in self.catalogue.of_kind("diode"))
            found = f'the catalogue has no diode "{key}"'
            raise InputError([Problem("P034 diode", "error", Place(key="source.diode"), found, f"it has {known}")])
        return part

    @property
    def _relays(self) -> Selector | None:
        """What steering and proof need to know of the selector."""
        if self.selector is None:
            return None
        part = self.selector.choices.part
        return Selector(
            tuple(strip.label for strip in self.selector.request.antennas),
            self.rest,
            part("relay voltage", Subject("", "selector", "relay")),
            part("flyback diode", Subject("", "selector", "flyback diode")),
            part("series diode", Subject("", "selector", "series diode"))
            if self.selector.spec.protection.reverse
            else None,
        )

    @cached_property
    def corners(self) -> tuple[Corner, ...]:
        """Both ends of temperature, the widest of all boxes, and of the supply."""
        controls = [design.spec.control for design in self.boxes.values()]
        supply = self.plan.source.supply
        return corners(max(c.hottest for c in controls), min(c.coldest for c in controls), supply.low, supply.high)

    @cached_property
    def proof(self) -> Proof:
        """Every state solved as a network, sound and with every single fault."""
        return prove(self.station, self.corners)

    def prove(self, tell: Tell, run: Run) -> None:
        """Works proof and reaches out at once, and tells how far it is."""
        self.__dict__["proof"] = prove(self.station, self.corners, tell, run)
        tasks = [partial(self._reach, name) for name in self.requests]
        self.__dict__["reaches"] = dict(zip(self.requests, run(tasks), strict=True))

    def _reach(self, box: str) -> Reach:
        return reach(self.station, self.corners, box, self.requests[box].spec.control)

    @cached_property
    def table(self) -> Table:
        """What is on, live and energised for every direction."""
        return table(self.plan, self.station)

    @property
    def source(self) -> SteeringSource:
        """What there is to steer with."""
        return source_of(self.plan)

    @cached_property
    def flows(self) -> dict[str, tuple[Flow, ...]]:
        """The most that flows in each conductor of each box's cable."""
        return flows(self.station, self.corners)

    @cached_property
    def output_flows(self) -> dict[int, float]:
        """The most that each output carries."""
        return output_flows(self.station, self.corners)

    @cached_property
    def fuse(self) -> Part:
        """The fuse behind the supply, which guards every line: the least with 1.5 times the steady current."""
        offered = sorted(self.catalogue.of_kind("cable fuse"), key=lambda p: p.figures["rated current"].value)
        needed_a = FUSE_RATIO * steady_a(self.station, self.corners)
        return next((p for p in offered if p.figures["rated current"].value >= needed_a), offered[-1])

    @property
    def blows_a(self) -> float:
        """Amperes that the fuse does not bear for long."""
        return FUSE_BLOWS * self.fuse.figures["rated current"].value

    @cached_property
    def beside(self) -> Beside:
        """What the station takes beside its boards."""
        selector = self.selector.request if self.selector else None
        return beside(self.plan, self.requests, selector, self.station.steering, self.diode, self.fuse)

    @cached_property
    def reaches(self) -> dict[str, Reach]:
        """How long the control cable of each box may be."""
        return {name: self._reach(name) for name in self.requests}

    @cached_property
    def paths(self) -> tuple[Path, ...]:
        """What lies between antenna and receiver for each direction."""
        losses = {name: board_losses(design.prediction.response) for name, design in self.boxes.items()}
        return paths(self.plan, self._specs, losses)

    @cached_property
    def problems(self) -> tuple[Problem, ...]:
        """What falls short in the station itself; the boxes tell of themselves."""
        return (
            *judge(self.plan, self.station, self.proof, self.reaches),
            *too_many_volts(self.plan, self._coils),
            *too_much_current(self.plan, self.output_flows),
        )

    @property
    def _coils(self) -> dict[str, tuple[Part, Spec]]:
        """The relay of each board and its specification; the selector's under its own name."""
        boards = {**self.boxes, **({SELECTOR: self.selector} if self.selector else {})}
        return {name: (made.choices.part("relay voltage", RELAY), made.spec) for name, made in boards.items()}


def make_station(
    inputs: StationInputs, selector_order: Order | None = None, step: Step = untold, run: Run = in_turn
) -> StationDesign:
    """The station of a plan, every board laid out and predicted, steered, wired and proved; `run` does the long work.

    Raises InputError where nothing in the catalogue can be chosen for a value, or it lacks the plan's diode.
    """
    with step("designing the boxes") as tell:
        boxes: dict[str, Design] = {}
        for number, (name, box) in enumerate(inputs.boxes.items(), 1):
            boxes[name] = _designed(box, within(tell))
            tell(f"box {number} of {len(inputs.boxes)}", number / len(inputs.boxes))
        own = _designed(inputs.selector, within(tell)) if inputs.selector else None
    made = StationDesign(inputs.loaded.plan, boxes, inputs.catalogue, own, selector_order)
    try:
        with step("designing the selector"):
            _ = made.selector
        with step("wiring"):
            _ = made.station
        with step("proving") as tell:
            made.prove(tell, run)
    except InputError as error:
        found = [p for one in error.problems for p in ([one] if one.place.file else inputs.loaded.at_lines([one]))]
        raise InputError(found) from None
    return made


def _designed(inputs: BoardInputs, step: Step) -> Design:
    return _without_own_volts(
        make_design(inputs.request, inputs.offers, inputs.on, predicted=True, laid_out=True, step=step)
    )


def _without_own_volts(design: Design) -> Design:
    """The board without what it says of its volts by itself: the proof knows what else hangs on the same source."""
    own = tuple(p for p in design.found.sizing if p.id not in PROVED)
    return replace(design, found=replace(design.found, sizing=own))


def all_problems(inputs: StationInputs, design: StationDesign) -> tuple[Problem, ...]:
    """What falls short in the station, with the lines of its plan, and in each board, its name before the place.

    What several boxes share of their prices is said once.
    """
    found = list(inputs.loaded.at_lines(design.problems))
    for name, box in inputs.boxes.items():
        found += [_named(name, problem) for problem in design.boxes[name].problems]
        found += [problem for problem in box.price_problems if problem not in found]
    if design.selector is not None:
        found += [_named("selector", problem) for problem in design.selector.problems]
    return tuple(found)


def _named(name: str, problem: Problem) -> Problem:
    key = f"{name}: {problem.place.key}" if problem.place.key else name
    return replace(problem, place=replace(problem.place, key=key))

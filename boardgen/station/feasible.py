"""Whether a plan can be wired at all: outputs, conductors, and what would do where they do not suffice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec.structs import replace

from boardgen.spec.faults import Fault
from boardgen.spec.keys import Control, Spec
from boardgen.station import steering
from boardgen.station.keys import Plan
from boardgen.station.steering import Steering, SteeringSource, Switches
from boardgen.station.wanted import Load, may_rest, wanted
from boardgen.tables.shown import shown


def source_of(plan: Plan) -> SteeringSource:
    """What the plan has to steer with."""
    source = plan.source
    is_switch = source.kind == "manual switch"
    return SteeringSource(
        is_switch,
        source.outputs,
        source.together,
        source.poles,
        source.shared_lines,
        source.switches,
        source.off_position,
    )


def by_rest(
    plan: Plan, specs: Mapping[str, Spec], direct: frozenset[Load] = frozenset(), *, every: bool = False
) -> dict[str, Steering]:
    """The steering for each box whose feeder may rest; for `every` box, to compare."""
    names = tuple(box.name for box in plan.box) if every else may_rest(plan)
    return {rest: steering.steer(wanted(plan, specs, rest), source_of(plan), direct) for rest in names}


def chosen(plan: Plan, specs: Mapping[str, Spec], direct: frozenset[Load] = frozenset()) -> Steering:
    """The steering for the rest feeder that saves most."""
    found = by_rest(plan, specs, direct)
    return found[steering.best_rest(found, source_of(plan))]


def in_boxes(plan: Plan) -> bool:
    """Whether steering diodes of boxes' relays sit in the boxes."""
    return plan.source.diodes == "boxes"


def impossibilities(plan: Plan, specs: Mapping[str, Spec]) -> list[Fault]:
    """The faults of a plan that is in order but cannot be wired."""
    steered = chosen(plan, specs)
    return [*_outputs(plan, steered), *_conductors(plan, specs, steered)]


def _outputs(plan: Plan, steered: Steering) -> Iterator[Fault]:
    source = source_of(plan)
    needed = steering.outputs_needed(steered, source)
    if needed <= source.outputs:
        return
    kind = "positions" if source.is_switch else "outputs"
    off = source.is_switch and (source.off_position or source.switches == "one a box")
    found = f"the directions need {needed} {kind}{', one of them for off' if off else ''}, there are {source.outputs}"
    offers = [f"{needed} {kind}"]
    if source.is_switch:
        offers += switch_offers(steered, source, source.outputs)
    if not source.is_switch and not source.together:
        many = steering.steer(steered.wanted, replace(source, together=True))
        if len(many.outputs) < needed:
            sharing = ", boxes sharing select lines" if many.shares else ""
            offers.append(f"together = true with {len(many.outputs)} outputs{sharing}")
    if source.together and not source.may_share:
        many = steering.steer(steered.wanted, replace(source, may_share=True))
        if len(many.outputs) < needed:
            offers.append(f"shared_lines = true with {len(many.outputs)} outputs")
    offers.append("fewer directions")
    yield Fault("P033 too few outputs", (("source", "outputs"),), found, f"what would do: {', or '.join(offers)}")


def switch_offers(steered: Steering, source: SteeringSource, positions: int) -> Iterator[str]:
    """Other switches that do with no more than so many positions each."""
    without_off = replace(source, off_position=False)
    if source.switches != "one a box" and steering.outputs_needed(steered, without_off) <= positions:
        yield "off_position = false, with a switch in the supply for off"
    if len({steered.wanted.through(direction) for direction in steered.wanted.loads}) == 1:
        return
    others: tuple[Switches, ...] = ("two", "one a box")
    for switches in others:
        other = replace(source, switches=switches, poles=1)
        needed = steering.outputs_needed(steering.steer(steered.wanted, other), other)
        if switches != source.switches and needed <= positions:
            yield f'switches = "{switches}" of {needed} positions each'


def lines_needed(steered: Steering, box: str, control: Control, *, boxed: bool) -> int:
    """Conductors that the lines of a box take, and plus where they are taken to 0V; returns apart."""
    common = int(control.drive == "low side")
    if boxed:
        return common + sum(any(load.box == box and load.kind != "feeder" for load in o.works) for o in steered.outputs)
    return common + sum(load.box == box and load.kind != "feeder" for load in steered.wanted.every)


def _conductors(plan: Plan, specs: Mapping[str, Spec], steered: Steering) -> Iterator[Fault]:
    for at, box in enumerate(plan.box):
        control = specs[box.name].control
        lines = lines_needed(steered, box.name, control, boxed=in_boxes(plan))
        there = control.conductors * control.cables
        if lines + control.returns <= there:
            continue
        found = (
            f"{shown(box.name)} needs {_count(lines, 'line')} and {_count(control.returns, 'return')}, "
            f"the cable has {there} conductors"
        )
        offers = "what would do: " + ", or ".join(_offers(plan, specs[box.name], control, steered, box.name, lines))
        yield Fault("P032 too few conductors", (("box", at, "control"),), found, offers)


def _offers(plan: Plan, spec: Spec, control: Control, steered: Steering, box: str, lines: int) -> Iterator[str]:
    there = control.conductors * control.cables
    cables = -(-(lines + control.returns) // control.conductors)
    yield f"cables = {cables}" if cables <= 4 else f"a cable of {lines + control.returns} conductors"
    if lines < there:
        yield f"returns = {there - lines}"
    feeds = sum(load.box == box and load.kind == "feed" for load in steered.wanted.every)
    if feeds > 1 and spec.switching.feed_lines == "own":
        yield 'feed_lines = "shared" in its specification'
    other = lines_needed(steered, box, control, boxed=not in_boxes(plan))
    if other + control.returns <= there:
        yield f'diodes = "{"source end" if in_boxes(plan) else "boxes"}" in [source]'


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"

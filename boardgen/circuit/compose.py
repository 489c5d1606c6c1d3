"""PinNets the wirings of all stages: every use gets a designator, every local net its name on the board."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from boardgen.circuit.names import Designators, NetNames
from boardgen.model.choices import Choices
from boardgen.model.netlist import CONDUCTORS, NetName
from boardgen.model.wiring import BUS, CONTROL, INNER, OUTER, RESTING, SHARED, Use, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages import BOARD_STAGES, STRIP_STAGES
from boardgen.stages.line_nets import feed_net, line_names
from boardgen.stages.lines import lines
from boardgen.stages.stage import StripStage

Pair = tuple[str, str]


class Placement(Struct, frozen=True):
    """A use with its designator; its joins name nets of the board. `called` has the parts of these names."""

    ref: str
    use: Use
    called: Mapping[str, NetName]


def compose(request: Request, choices: Choices) -> tuple[Placement, ...]:
    """Every part of the board, strip by strip, then what the board has once."""
    names, designators = NetNames(), Designators()
    of_board = lines(request)
    for strip in request.strips:
        for called in line_names(request, strip):
            names.claim(strip.name, called)
    for line in of_board:
        if line.net not in names.called:
            names.claim("", NetName(after=line.net))
    uses: list[Use] = []
    resting = BUS
    for strip in request.strips:
        onward = _onward(names, request, strip)
        uses += _strip_uses(names, request, strip, choices, onward, resting)
        resting = onward
    for stage in BOARD_STAGES:
        own = stage.wiring(request, of_board, choices).uses
        for net in (net for use in own for net in use.pin_nets.values() if net not in names.called):
            names.claim("", NetName(after=net))
        uses += own
    return tuple(
        Placement(designators.next(use.part), use, {net: names.called[net] for net in use.pin_nets.values()})
        for use in uses
    )


def _onward(names: NetNames, request: Request, strip: Strip) -> Pair:
    """The pair behind a strip's last stage: the bus, or what the chained stage of the next strip leads on to it."""
    chained = any(stage.chained and stage.fitted(request, strip) for stage in STRIP_STAGES)
    if not chained or strip in request.strips[-2:]:
        return BUS
    centre, braid = (_conductor(names, strip, "onward", side) for side in range(2))
    return centre, braid


def _conductor(names: NetNames, strip: Strip, word: str, side: int) -> str:
    """The board name of one conductor of a pair of a strip."""
    return names.claim(strip.name, NetName(strip.label, after=word, conductor=CONDUCTORS[side]))


def _strip_uses(
    names: NetNames, request: Request, strip: Strip, choices: Choices, onward: Pair, resting: Pair
) -> list[Use]:
    """The parts of a strip on nets of the board."""
    wirings = [(stage, stage.wiring(request, strip, choices)) for stage in STRIP_STAGES if stage.fitted(request, strip)]
    pairs = list(zip(*(_along(names, strip, wirings, side, onward[side]) for side in range(2)), strict=True))
    uses: list[Use] = []
    for (stage, wiring), outer, inner in zip(wirings, pairs, pairs[1:], strict=False):
        control = stage.control(request, strip)
        fixed = {name: name for name in SHARED}
        fixed |= zip((*OUTER, *INNER, *RESTING), (*outer, *inner, *resting), strict=True)
        fixed["feed"] = feed_net(request, strip)
        if control:
            fixed[CONTROL] = control.net
        uses += [_renamed(names, strip, use, fixed) for use in wiring.uses]
    return uses


def _along(
    names: NetNames, strip: Strip, wirings: Sequence[tuple[StripStage, Wiring]], side: int, onward: str
) -> Iterator[str]:
    """How one conductor is called at the port and behind each stage; behind the last that breaks it, `onward`."""
    breaking = [stage.name for stage, wiring in wirings if wiring.inward[side] in INNER]
    name = _conductor(names, strip, "", side) if breaking else onward
    yield name
    for stage, wiring in wirings:
        if wiring.inward[side] in INNER:
            last = stage.name == breaking[-1]
            name = onward if last else _conductor(names, strip, stage.behind or stage.name, side)
        yield name


def _renamed(names: NetNames, strip: Strip, use: Use, fixed: dict[str, str]) -> Use:
    pin_nets = {
        role: fixed.get(local) or names.claim(strip.name, NetName(strip.label, after=local), use.subject.stage)
        for role, local in use.pin_nets.items()
    }
    return replace(use, pin_nets=pin_nets)

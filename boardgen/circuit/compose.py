"""Joins the wirings of all stages: every use gets a designator, every local net its name on the board."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from msgspec import Struct

from boardgen.circuit.names import SERIES_WORD, Designators, NetNames, pair_names, stage_names
from boardgen.model.choices import Choices
from boardgen.model.part import Part
from boardgen.model.wiring import INNER, OUTER, Use, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages import BOARD_STAGES, STAGES

BUS = ("bus centre", "bus braid")
EVERY_STAGE = frozenset(name for name, _ in (*STAGES, *BOARD_STAGES))
WOUND = frozenset({"braid breaker"})
"""The stages that the transformers are in."""


class Placement(Struct, frozen=True):
    """A use with its designator; its joins name nets of the board."""

    ref: str
    use: Use


def compose(request: Request, choices: Choices) -> tuple[Placement, ...]:
    """Every part of the board, strip by strip, then what the board has once."""
    names, designators = NetNames(), Designators()
    uses: list[Use] = []
    resting = BUS
    for strip in request.strips:
        onward = _onward(names, request, strip)
        uses += _strip_uses(names, request, strip, choices, onward, resting)
        resting = onward
    for _, stage in BOARD_STAGES:
        uses += stage.wiring(request, choices).uses
    return tuple(Placement(designators.next(use.part), use) for use in uses)


def fitted_parts(request: Request, choices: Choices, stages: Collection[str] = EVERY_STAGE) -> Iterator[Part]:
    """The part in each fitted place of these stages, for those who need no net and no designator."""
    for strip in request.strips:
        for name, stage in STAGES:
            if name in stages and stage.fitted(request, strip):
                yield from (use.part for use in stage.wiring(request, strip, choices).uses if use.fitted)
    for name, board_stage in BOARD_STAGES:
        if name in stages:
            yield from (use.part for use in board_stage.wiring(request, choices).uses if use.fitted)


def _onward(names: NetNames, request: Request, strip: Strip) -> tuple[str, str]:
    """The pair behind a strip's last stage: the bus, or what the changeover of the next strip leads on to it."""
    if request.spec.switching.rest is None or strip in request.strips[-2:]:
        return BUS
    return pair_names(names, strip, "onward ")


def _strip_uses(
    names: NetNames,
    request: Request,
    strip: Strip,
    choices: Choices,
    onward: tuple[str, str],
    resting: tuple[str, str],
) -> list[Use]:
    wirings = [(name, stage.wiring(request, strip, choices)) for name, stage in STAGES if stage.fitted(request, strip)]
    in_series = [name for name, wiring in wirings if wiring.inward != OUTER]
    pair = pair_names(names, strip, "") if in_series else onward
    uses: list[Use] = []
    for name, wiring in wirings:
        inward = pair
        if name in in_series:
            inward = onward if name == in_series[-1] else _inward(names, strip, name, wiring, pair)
        fixed = stage_names(names, request, strip, pair, inward, resting)
        uses += [_renamed(names, strip, use, fixed) for use in wiring.uses]
        pair = inward
    return uses


def _inward(names: NetNames, strip: Strip, stage: str, wiring: Wiring, pair: tuple[str, str]) -> tuple[str, str]:
    """The pair that the next stage of the strip is joined to."""
    new = pair_names(names, strip, SERIES_WORD[stage])
    return tuple(  # type: ignore[return-value]
        fresh if local in INNER else old for local, fresh, old in zip(wiring.inward, new, pair, strict=True)
    )


def _renamed(names: NetNames, strip: Strip, use: Use, fixed: dict[str, str]) -> Use:
    joins = {
        role: fixed.get(local) or names.claim(f"{strip.name} {local}", (strip.label, local))
        for role, local in use.joins.items()
    }
    return Use(use.subject, use.part, use.value, joins, use.fitted)

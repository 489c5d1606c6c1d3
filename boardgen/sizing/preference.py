"""The order in which parts that meet every rule are preferred, as [prefer] of the specification says.

easy to build: thicker wire, then few passes, then parts that are known to be had, then those read from their sheet, and
few kinds of them where several places take the same kind of part (`one_for_all`). small: the smaller part.
cheap: the cheaper class of the catalogue, never a price. What is alike so far goes by the order of the catalogue. Parts
in hand come before all others. A winding that nobody wants to wind comes after all others, whatever is preferred.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from boardgen.kinds.kind import TWO
from boardgen.model.figure import CERTAIN
from boardgen.model.part import SUPPLIES, Part
from boardgen.request import Request, candidates, has_pattern

LEAST_WIRE_M = 0.25e-3
"""Bare wire thinner than this, which is AWG 31, breaks and tangles in the hand: our judgement."""
MOST_PASSES = 20
"""More passes than this through each hole nobody wants to wind: our judgement."""
EASY_PASSES = 16
"""As many passes through each hole are still no trouble: our judgement."""
USUAL_CLASS = 3
"""Stands for a cost class that is not given."""

Rank = tuple[float, ...]
"""The lower the better."""


def preferred(request: Request, kind: str, pin: str) -> tuple[Part, ...]:
    """The candidates of `boardgen.request.candidates`, those alike so far by rank. Raises InputError as that does."""
    kept = request.kept.get(pin)
    return tuple(
        sorted(candidates(request, kind, pin), key=lambda p: (p.key != kept, not has_pattern(p), rank(request, p)))
    )


def rank(request: Request, part: Part) -> Rank:
    """How a part is preferred to others of its kind that do as well."""
    bought, supply = float(part.key not in request.preferred_in_hand), float(SUPPLIES.index(part.supply))
    match request.spec.prefer.parts:
        case "small":
            return bought, area_m2(request, part), supply
        case "cheap":
            return bought, float(part.cost_class or USUAL_CLASS), supply
    return bought, supply, float(not is_read(part))


def is_read(part: Part) -> bool:
    """Whether the part and which of its pins is which were read from a sheet, or measured."""
    told = [part.standing, *([part.attributes.get("pin map", "recalled")] if not set(part.pins) <= set(TWO) else [])]
    return all(standing in CERTAIN for standing in told)


def one_for_all(request: Request, offered: Sequence[Part], fits: Sequence[Callable[[Part], bool]]) -> Part | None:
    """The part that suits several places at once, where building with few kinds is preferred.

    Parameters
    ----------
    offered : parts in order of preference
    fits : of each place, whether a part meets its rules

    Returns
    -------
    The first that suits every place and is as well known to be had as the first of them all that suits any; None where
    there is none, or where ease decides nothing.

    """
    if request.spec.prefer.parts != "easy to build":
        return None
    best = next((p for p in offered if any(fit(p) for fit in fits)), None)
    return next(
        (p for p in offered if best and rank(request, p) <= rank(request, best) and all(fit(p) for fit in fits)), None
    )


def offered_wires(request: Request) -> tuple[Part, ...]:
    """Winding wires in order of preference; one that breaks in the hand is not preferred for being in hand."""
    kept = request.kept.get("wire")
    return tuple(
        sorted(
            candidates(request, "winding wire", "wire"),
            key=lambda p: p.key != kept and p.figures["diameter"].value < LEAST_WIRE_M,
        )
    )


def winding_rank(request: Request, core: Part, wire: Part, passes: int) -> Rank:
    """The same of a wound core with so many passes through each hole."""
    unwanted = float(not is_wanted(wire, passes))
    if request.spec.prefer.parts == "easy to build":
        return (
            unwanted,
            float(core.key not in request.preferred_in_hand),
            -wire.figures["diameter"].value,
            float(passes > EASY_PASSES),
            *rank(request, core),
        )
    return unwanted, *rank(request, core)


def is_wanted(wire: Part, passes: int) -> bool:
    """Whether somebody would want to wind so many passes of this wire through each hole."""
    return wire.figures["diameter"].value >= LEAST_WIRE_M and passes <= MOST_PASSES


def area_m2(request: Request, part: Part) -> float:
    """What the body of a part covers of the board; infinite where its pattern is not known."""
    footprint = request.catalogue.footprints.get(part.footprint)
    if footprint is None or footprint.body_x_nm is None or footprint.body_y_nm is None:
        return math.inf
    return footprint.body_x_nm * footprint.body_y_nm * 1e-18

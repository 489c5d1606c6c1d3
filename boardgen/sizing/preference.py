"""The order in which parts that meet every rule are preferred, as [prefer] of the specification says.

easy to build: thicker wire, then few passes, then parts that are known to be had. small: the smaller part.
cheap: the cheaper class of the catalogue, never a price. What is alike so far goes by the order of the catalogue. A
winding that nobody wants to wind comes after all others, whatever is preferred.
"""

from __future__ import annotations

import math

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
    supply = float(SUPPLIES.index(part.supply))
    match request.spec.prefer.parts:
        case "small":
            return area_m2(request, part), supply
        case "cheap":
            return float(part.cost_class or USUAL_CLASS), supply
    return (supply,)


def winding_rank(request: Request, core: Part, wire: Part, passes: int) -> Rank:
    """The same of a wound core with so many passes through each hole."""
    unwanted = float(not is_wanted(wire, passes))
    if request.spec.prefer.parts == "easy to build":
        return unwanted, -wire.figures["diameter"].value, float(passes > EASY_PASSES), *rank(request, core)
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

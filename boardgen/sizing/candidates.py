"""Which parts of the catalogue may be taken for a role: all of a kind, or the one that was pinned."""

from __future__ import annotations

import difflib
import functools
import math
from collections.abc import Callable

from boardgen.model.figure import Figure, Standing, weakest
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.request import Request


def candidates(request: Request, kind: str, pin: str, order: Callable[[Part], float] | None = None) -> tuple[Part, ...]:
    """Parts of that kind in order of preference, or only the part that [parts] pins for it.

    The part kept from an earlier build comes first, then those with a hole pattern; within each the order is that of
    `order` where it is given, and then that of the catalogue.
    Raises InputError where the pinned key is unknown or of another kind, or where nothing of the kind is catalogued.
    """
    pinned = getattr(request.spec.parts, pin, None)
    if pinned is None:
        kept = request.kept.get(pin)
        return tuple(
            sorted(
                _of_kind(request, kind),
                key=lambda p: (p.key != kept, not has_pattern(p), order(p) if order else 0),
            )
        )
    part = request.catalogue.parts.get(pinned)
    if part is not None and part.kind == kind:
        return (part,)
    known = [p.key for p in request.catalogue.of_kind(kind)]
    near = difflib.get_close_matches(pinned, known, 1, 0.4)
    found = (
        f'"{pinned}" is not in the catalogue' if part is None else f'"{pinned}" is of the kind {part.kind}, not {kind}'
    )
    hint = f'Did you mean "{near[0]}"?' if near else ""
    wanted = f"wanted is a key of this kind: {', '.join(known[:12])}"
    raise InputError([Problem("V001 pinned part", "error", Place(key=f"parts.{pin}"), found, wanted, hint)])


def pin_of(request: Request, own: str, shared: str) -> str:
    """The key of [parts] to go by: a slot's own where it is pinned, or kept while the shared one is not pinned."""
    pinned = request.spec.parts.pinned
    return own if own in pinned or (own in request.kept and shared not in pinned) else shared


def _of_kind(request: Request, kind: str) -> tuple[Part, ...]:
    found = request.catalogue.of_kind(kind)
    if not found:
        problem = Problem("V002 empty catalogue", "error", Place(key="parts"), f"the catalogue holds no {kind}")
        raise InputError([problem])
    return found


def has_pattern(part: Part) -> bool:
    """Whether the catalogue has a hole pattern for the part."""
    return bool(part.footprint)


def figure_order(name: str) -> Callable[[Part], float]:
    """Orders parts by one figure, those without it last."""
    return lambda part: part.figures[name].value if name in part.figures else math.inf


def needed(part: Part, *names: str) -> tuple[Figure, ...] | None:
    """These figures of a part, or None where any is not known: a part cannot be sized with a blank."""
    figures = tuple(part.figures[name] for name in names if name in part.figures)
    return figures if len(figures) == len(names) else None


def standing_of(*figures: Figure) -> Standing:
    """The standing of a value computed from these figures."""
    return weakest(*(figure.standing for figure in figures))


@functools.cache
def log_spaced(low: float, high: float, count: int) -> tuple[float, ...]:
    """`count` values from low to high, both ends exact, evenly spaced on a log axis."""
    step = math.log(high / low) / (count - 1)
    return (low, *(low * math.exp(step * n) for n in range(1, count - 1)), high)

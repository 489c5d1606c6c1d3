"""How long the cable may be, and the fuse that guards it at its source."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.outcome import Outcome, choice, shortfall
from boardgen.model.problem import Problem
from boardgen.request import Request, candidates, needed
from boardgen.sizing.cable import SOURCE, feed_currents, ohm_per_m
from boardgen.sizing.relay import Drawn

SUBJECT = Subject("", "control entry", "cable")
FUSE_RATIO = 1.5
"""Least fuse rating over the steady current: common practice, no source."""
FUSE_BLOWS = 2.1
"""Times its rated current a time-lag glass fuse blows within two minutes (IEC 60127-2, recalled)."""


def longest_cable(request: Request, relay_m: float, feed_m: float) -> Outcome:
    """The shorter of what the coils and the feeds allow."""
    limit = "the relay" if relay_m <= feed_m else "the feed"
    longest = min(relay_m, feed_m)
    value = choice(
        "longest cable",
        SUBJECT,
        "at least",
        request.spec.control.length,
        longest,
        basis=f"limited by {limit}",
        formula="length at which the worst state is just met",
        source=SOURCE,
        standing="computed",
    )
    return Outcome((value,))


def cable_fuse(request: Request, coils: Drawn) -> Outcome:
    """Sits at the source end, on the wiring sheet and not on the board: it guards the cable.

    `coils` are the most that the coils draw.
    """
    control = request.spec.control
    steady = coils.whole + max(c.through_0v for c in feed_currents(request).values())
    required = FUSE_RATIO * steady
    offered = [p for p in candidates(request, "cable fuse", "") if needed(p, "rated current")]
    by_rating = sorted(offered, key=lambda p: p.figures["rated current"].value)
    part = next((p for p in by_rating if p.figures["rated current"].value >= required), by_rating[-1])
    rating = part.figures["rated current"]
    far_a = control.supply.low / (2 * ohm_per_m(control.cable) * control.length)
    blows = far_a >= FUSE_BLOWS * rating.value
    value = choice(
        "cable fuse",
        SUBJECT,
        "at least",
        required,
        rating.value,
        basis="one antenna selected, all feeds on" + (", every stage on" if coils.whole > coils.line else ""),
        formula="rating >= 1.5 x steady current",
        source="common practice, no source",
        standing="assumed",
        part=part.key,
        next_limit=f"a short at the far end draws {far_a:.2g} A, which "
        + ("blows it" if blows else "does not blow it but stays within the conductor"),
    )
    problems: tuple[Problem, ...] = ()
    if not value.met:
        found = f"{required:.2g} A of fuse is needed at the source, the largest on offer is {rating.value:g} A"
        problems = (shortfall("V190 cable fuse", SUBJECT, found, "", "Feed the lines from separate fused supplies."),)
    return Outcome((value,), (part,), problems)

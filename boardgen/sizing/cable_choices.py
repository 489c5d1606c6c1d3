"""What the control cable must have: how long it may be, the fuse that guards it at its source, and its conductors.

Rules: the worst state is just met at the longest length; the fuse carries 1.5 times the steady current (common
practice, no source); one conductor a line. Direct currents and resistances are those of `cable.py`.
"""

from __future__ import annotations

from typing import get_args

from boardgen.model.choice import Subject
from boardgen.model.outcome import Outcome, choice, shortfall
from boardgen.model.problem import Problem
from boardgen.request import Request, candidates, needed
from boardgen.sizing.cable import SOURCE, feed_currents, ohm_per_m
from boardgen.sizing.relay import Drawn
from boardgen.stages.line_nets import LineKind
from boardgen.stages.lines import lines

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
        formula=f"rating >= {FUSE_RATIO:g} x steady current",
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


def conductors(request: Request) -> Outcome:
    """One conductor a line, counting paralleled returns, against what the cables have."""
    counted = [line for line in lines(request) if line.fitted]
    control = request.spec.control
    there = control.conductors * control.cables
    kinds = {kind: sum(line.kind == kind for line in counted) for kind in get_args(LineKind)}
    of_stages = "lines of stages + " if kinds["stage"] else ""
    spare = there - len(counted)
    value = choice(
        "conductors",
        SUBJECT,
        "at least",
        len(counted),
        there,
        basis=" + ".join(f"{count} {kind}" for kind, count in kinds.items() if count),
        formula=f"select lines + {of_stages}feed lines + coil supply + 0V returns",
        source="one 12 V line a relay against a common return: common practice, no source",
        standing="computed",
        next_limit=f"{spare} spare" if spare >= 0 else f"{-spare} short",
    )
    return Outcome((value,), (), () if value.met else (_problem(request, value.basis, len(counted), there),))


def _problem(request: Request, basis: str, wanted: int, there: int) -> Problem:
    offers = [f"control.cables = {request.spec.control.cables + 1}"]
    if sum(line.kind == "feed" for line in lines(request)) > 1:
        offers.append('switching.feed_lines = "shared"')
    if request.spec.control.returns > 1:
        offers.append("one thicker return instead of several")
    found = f"{basis} make {wanted} lines, the cable has {there} conductors"
    return shortfall("V170 conductors", SUBJECT, found, "", f"What would do: {', or '.join(offers)}.")

"""Whether the cable has a conductor for every line."""

from __future__ import annotations

from typing import get_args

from boardgen.model.choice import Subject
from boardgen.model.outcome import Outcome, choice, shortfall
from boardgen.model.problem import Problem
from boardgen.request import Request
from boardgen.stages.line_nets import LineKind
from boardgen.stages.lines import lines

SUBJECT = Subject("", "control entry", "cable")


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

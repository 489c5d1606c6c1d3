"""Plated studs, one a line."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import Use
from boardgen.request import Request
from boardgen.stages.lines import lines


def uses(request: Request, choices: Choices) -> list[Use]:
    """One stud for every line; paralleled returns share one, since a stud takes several lugs."""
    part = choices.fixed("stud", Subject("", "control entry", "stud"))
    found: dict[str, Use] = {}
    for line in lines(request):
        subject = Subject(line.strip, "control entry", f"{line.kind} stud")
        found.setdefault(line.net, Use(subject, part, line.net, {"1": line.net}, line.fitted))
    return list(found.values())

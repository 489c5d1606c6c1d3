"""Two-way terminal blocks: one a strip, so that no line leaves its strip, and some for the common lines."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.part import Part
from boardgen.model.wiring import Use
from boardgen.request import Request
from boardgen.stages.lines import common_lines, strip_lines

SPARE = "0V"


def uses(request: Request, choices: Choices) -> list[Use]:
    """A strip's block carries its select line and its feed line, else a spare 0V."""
    part = choices.fixed("terminal", Subject("", "control entry", "terminal"))
    found = []
    for strip in request.antennas:
        nets = [line.net for line in strip_lines(request, strip)]
        if nets:
            subject = Subject(strip.label, "control entry", "terminal")
            found.append(_block(subject, part, nets, strip.name, strip.fitted))
    common = [line.net for line in common_lines(request)]
    for number, start in enumerate(range(0, len(common), 2), 1):
        subject = Subject("", "control entry", f"common terminal {number}")
        found.append(_block(subject, part, common[start : start + 2], "common"))
    return found


def _block(subject: Subject, part: Part, nets: list[str], value: str, fitted: bool = True) -> Use:
    first, second = [*nets, SPARE][:2]
    return Use(subject, part, value, {"1": first, "2": second}, fitted)

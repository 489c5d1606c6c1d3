"""A part as a stage uses it: which pin role joins which local net."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.model.choice import Subject
from boardgen.model.part import Part
from boardgen.model.wiring import Use
from boardgen.request import Request


def two_pin(
    subject: Subject, part: Part, value: str, first: str, second: str, fitted: bool = True, *, in_series: bool = False
) -> Use:
    """A part whose two pins, in the order of its pin map, join these two nets."""
    one, two = part.pins
    return Use(subject, part, value, {one: first, two: second}, fitted, in_series)


def placed(subject: Subject, part: Part, pin_nets: Mapping[str, str], fitted: bool = True, value: str = "") -> Use:
    """A part with more than two pins, or with a polarity, whose roles join these nets."""
    return Use(subject, part, value or part.value, pin_nets, fitted)


def drain(request: Request) -> str:
    """The net that carries static charge away: the stake where there is one, else 0V."""
    return "earth" if request.has_earth else "0V"

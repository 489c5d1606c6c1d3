"""Whether every part that [parts] pins can be found, also where this board has no use for it."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.problem import InputError, Problem
from boardgen.request import Request, candidates

KINDS = {
    "relay": "relay",
    "core": "core",
    "output_core": "core",
    "wire": "winding wire",
    "choke": "choke",
    "supply_choke": "choke",
    "bifilar_choke": "bifilar choke",
    "blocking_capacitor": "capacitor",
    "rail_capacitor": "capacitor",
    "surge_tube": "gas tube",
    "line_suppressor": "suppressor",
    "earth_tube": "gas tube",
    "flyback_diode": "diode",
    "series_diode": "diode",
    "terminal": "terminal",
    "fuse": "fuse",
    "indicator": "indicator",
    "connector": "connector",
}
"""The kind of part that each key of [parts] takes."""


_PINS = {
    "turns": "core",
    "winding wire": "wire",
    "blocking capacitor": "blocking_capacitor",
    "rail capacitor": "rail_capacitor",
    "surge tube": "surge_tube",
    "line suppressor": "line_suppressor",
    "earth tube": "earth_tube",
    "flyback diode": "flyback_diode",
    "series diode": "series_diode",
    "relay voltage": "relay",
    "feed fuse": "fuse",
}
"""The key of [parts] that each role of a choice stands for."""
_CHOKES = {
    "centre choke": "choke",
    "supply choke": "supply_choke",
    "braid choke": "supply_choke",
    "bifilar choke": "bifilar_choke",
}


def pin_of(role: str, subject: Subject) -> str | None:
    """The key of [parts] that a choice in that role for that subject goes by; None for one without."""
    if role == "choke":
        return _CHOKES.get(subject.slot)
    if role == "turns" and subject.strip == "output":
        return "output_core"
    return _PINS.get(role)


def check_pins(request: Request) -> None:
    """Raises InputError with every pinned key that is unknown or of another kind."""
    problems: list[Problem] = []
    for pin in request.spec.parts.pinned:
        try:
            candidates(request, KINDS[pin], pin)
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)

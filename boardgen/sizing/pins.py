"""Whether every part that [parts] pins can be found, also where this board has no use for it."""

from __future__ import annotations

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

"""Whether every part that [parts] pins can be found, also where this board has no use for it."""

from __future__ import annotations

import difflib
from collections.abc import Iterator

from boardgen.model.choice import Subject
from boardgen.model.problem import InputError, Place, Problem
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
    """Raises InputError with every pinned key that is unknown or of another kind, and every wrong part in hand."""
    problems = list(_wrong_in_hand(request))
    for pin in request.spec.parts.pinned:
        try:
            candidates(request, KINDS[pin], pin)
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)


def _wrong_in_hand(request: Request) -> Iterator[Problem]:
    """What [[in_hand]] names that is not in the catalogue, counts wrongly, or names twice."""
    seen: dict[str, int] = {}
    for number, row in enumerate(request.spec.in_hand, 1):
        key, part = f"in_hand[{number}].part", request.catalogue.find(row.part)
        first = seen.setdefault(row.part, number)
        if part is None:
            near = difflib.get_close_matches(row.part, list(request.catalogue.parts), 1, 0.4)
            hint = f'Did you mean "{near[0]}"?' if near else ""
            found = f'"{row.part}" is not in the catalogue'
            wanted = "wanted is the key of a part there, or of one in a folder of your own"
            yield Problem("V003 part in hand", "error", Place(key=key), found, wanted, hint)
        elif first != number:
            found = f'"{row.part}" is also in_hand[{first}].part'
            yield Problem("V003 part in hand", "error", Place(key=key), found, "name each part once")
        elif part.unit != "piece" and row.pieces is not None:
            wanted = 'write length = "20 m"' if part.unit == "m" else "leave pieces out"
            key = f"in_hand[{number}].pieces"
            yield Problem("V003 part in hand", "error", Place(key=key), f"{part.name} is not counted in pieces", wanted)
        elif part.unit != "m" and row.length is not None:
            key = f"in_hand[{number}].length"
            found = f"{part.name} is not sold by the metre"
            yield Problem("V003 part in hand", "error", Place(key=key), found, "write pieces = 20")

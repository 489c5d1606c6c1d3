"""In which order parts are soldered, and which way round each stands."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.model.copper import Board, PlacedPad, PlacedPart, PointNm
from boardgen.model.netlist import Component, Netlist

ASSUMED_NM: Mapping[str, int] = {
    "link": 1_000_000,
    "resistor": 2_500_000,
    "diode": 2_500_000,
    "suppressor": 3_500_000,
    "relay": 6_000_000,
    "capacitor": 7_000_000,
    "indicator": 8_000_000,
    "terminal": 10_000_000,
    "jack": 13_000_000,
    "core": 8_000_000,
    "stud": 15_000_000,
}
"""Height over the board where no drawing gives it: assumed, only to put the steps in order."""
UNKNOWN_NM = 12_000_000


class Step(Struct, frozen=True):
    """Parts of one kind that go in together, and the height of the tallest; `assumed` where no drawing gives it."""

    title: str
    kind: str
    height_nm: int
    assumed: bool
    parts: tuple[Component, ...]


def steps(board: Board, netlist: Netlist) -> tuple[Step, ...]:
    """Low parts first, so that each step lies flat on the bench when the board is turned over."""
    height = {s.ref: s.height_nm for s in board.parts}
    grouped: dict[str, list[Component]] = {}
    for component in netlist.components:
        if component.fitted and component.ref in height and component.part.kind != "connector":
            grouped.setdefault(component.part.kind, []).append(component)
    found = [_step(kind, tuple(parts), height) for kind, parts in grouped.items()]
    return tuple(sorted(found, key=lambda step: (step.kind in LAST, step.height_nm, step.kind)))


def _step(kind: str, parts: tuple[Component, ...], height: Mapping[str, int | None]) -> Step:
    known = [value for part in parts if (value := height[part.ref]) is not None]
    tallest = max(known, default=ASSUMED_NM.get(kind, UNKNOWN_NM))
    return Step(TITLES.get(kind, kind.capitalize()), kind, tallest, not known, parts)


TITLES: Mapping[str, str] = {
    "link": "Wire links",
    "resistor": "Resistors",
    "diode": "Diodes",
    "suppressor": "Suppressors",
    "capacitor": "Capacitors",
    "choke": "Feed chokes",
    "bifilar choke": "Bifilar chokes",
    "gas tube": "Gas tubes",
    "fuse": "Resettable fuses",
    "relay": "Relays",
    "indicator": "Lamps",
    "core": "Wound cores",
    "terminal": "Terminals",
    "jack": "Jacks",
    "stud": "Studs",
}
LAST = ("core", "stud")
"""Wound cores hang on thin wire and studs are bolted: after everything that is soldered flat."""
MARKS: Mapping[str, tuple[str, str, str]] = {
    "diode": ("cathode", "band", "cathode"),
    "indicator": ("cathode", "cathode: the flat, the shorter lead", "cathode"),
    "relay": ("coil +", "pin", "coil +"),
    "bifilar choke": ("winding A start", "pin", "start of winding A"),
}
"""Role of the pad that says which way round, how it is marked on the part, and what it is."""


def way_round(board: Board, component: Component) -> str:
    """Which way the part stands, in words of the picture seen from the component side."""
    kind, ref = component.part.kind, component.ref
    pads = {pad.number: pad for pad in board.pads if pad.ref == ref}
    placed = next(part for part in board.parts if part.ref == ref)
    if kind in MARKS:
        role, mark, meaning = MARKS[kind]
        number = component.part.pins[role]
        where = _towards(placed, pads[number])
        name = f"pin {number} ({meaning})" if mark == "pin" else mark
        return f"{name} towards the {where}"
    if kind == "core":
        start, other = (pads[component.part.pins[role]] for role in ("primary start", "secondary start"))
        return (
            f"port winding's start at pad {start.number}, {_towards(placed, start)}; board winding's start at pad "
            f"{other.number}, {_towards(placed, other)}"
        )
    return FREE.get(kind, "either way round")


def mark(board: Board, component: Component) -> PointNm | None:
    """Where the pad lies that says which way round the part stands."""
    if component.part.kind not in MARKS:
        return None
    number = component.part.pins[MARKS[component.part.kind][0]]
    return next((pad.at for pad in board.pads if (pad.ref, pad.number) == (component.ref, number)), None)


FREE: Mapping[str, str] = {
    "terminal": "wire entry towards the edge of the board",
    "jack": "opening towards the edge of the board",
    "stud": "head below, nut above",
}


def _towards(placed: PlacedPart, pad: PlacedPad) -> str:
    """Where a pad lies from the middle of its part: the picture's top, bottom, left, right or a corner."""
    left, low, right, top = placed.body
    x, y = pad.at[0] - (left + right) / 2, pad.at[1] - (low + top) / 2
    across = "left" if x < 0 else "right"
    along = "top" if y > 0 else "bottom"
    if abs(x) > 2.5 * abs(y):
        return across
    if abs(y) > 2.5 * abs(x):
        return along
    return f"{along} {across}"

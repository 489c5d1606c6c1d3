"""The box of a board: where its board, its connectors and its other holes lie, each at its size, in millimetres.

The box stands with its lid towards the reader. Coax and cable come in from below, through the lower wall. The board
lies in the back or in the lid with its ports next to that wall; in the lid it faces the other way, so that its ports
come in the opposite order from left to right.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from boardgen.design import Design
from boardgen.documents.identity import named
from boardgen.model.copper import Board, PlacedPart

WIDEST_GAP_MM = 25.0
"""Between a gland, a vent or a stud and its neighbour: a spanner of 24 mm turns there (assumed)."""
EDGE_MM = 18.0
"""From the outside of a wall to the nearest hole: wall, corner post and washer (assumed)."""
STUD_MM = 4.3
"""For M4."""
SIZES_MM = {"F": 9.5, "BNC": 12.7, "M16": 16.5, "M20": 20.5, "M12": 12.5}
"""Diameter by the value of what goes in: recalled for F and BNC, elsewhere half a millimetre over the thread."""

COAX = "coax connectors"


class Hole(Struct, frozen=True):
    """A hole in a wall, for what; its middle from the lower left corner of its view, and its diameter.

    `kind` is what it has in common with others of the wall, in words.
    """

    name: str
    x_mm: float
    y_mm: float
    size_mm: float
    kind: str = ""


class View(Struct, frozen=True):
    """A wall of the box: its name and outside size, the outlines on it (left, bottom, width, height), and its holes.

    `tape` says to which side the drawing is taped.
    """

    name: str
    tape: str
    wide_mm: float
    high_mm: float
    holes: tuple[Hole, ...]
    outline: tuple[float, float, float, float] | None = None
    inside: str = ""
    """What the outline is."""


class Box(Struct, frozen=True):
    """The box that was chosen, its walls that are drilled, and whether its holes find room at their pitch."""

    name: str
    mounting: str
    pitch_mm: float
    views: tuple[View, ...]
    fits: bool


def box_of(design: Design) -> Box | None:
    """The box of a board that is laid out; None where nothing is."""
    made, found = design.layout, [line for line in design.bill.lines if line.part.kind == "enclosure"]
    if made is None or not found:
        return None
    part, board, wanted = found[0].part, made.board, design.spec.box
    long, short, deep = (part.figures[name].value * 1e3 for name in ("length", "width", "height"))
    wide, high = (long, short) if board.width_nm >= board.height_nm else (short, long)
    in_lid = wanted.mounting == "lid"
    items = list(_items(design, board, in_lid=in_lid))
    pitch_mm = wanted.pitch * 1e3
    rows = _rows(items, pitch_mm, wide - 2 * EDGE_MM)
    first = 0.62 * deep
    heights = [first - n * max(pitch_mm, WIDEST_GAP_MM) for n in range(len(rows))]
    if in_lid:
        heights = [deep - height for height in heights]
    holes = tuple(
        Hole(name, x, height, size, COAX if is_port else name)
        for row, height in zip(rows, heights, strict=True)
        for x, (name, size, is_port) in zip(_places(row, pitch_mm, wide), row, strict=True)
    )
    wall = View("lower wall", "tape it to the outside, this way up with the lid at the top edge", wide, deep, holes)
    fits = all(EDGE_MM - 1e-6 <= hole.x_mm <= wide - EDGE_MM + 1e-6 and 12 <= hole.y_mm <= deep - 12 for hole in holes)
    return Box(part.name, wanted.mounting, pitch_mm, (_mounted(board, wide, high, wanted.mounting), wall), fits)


def _mounted(board: Board, wide: float, high: float, mounting: str) -> View:
    """The back or the lid from inside, with the board's outline and screws; its ports are at the foot."""
    x, y = (wide - board.width_nm / 1e6) / 2, (high - board.height_nm / 1e6) / 2
    turned = _ports_above(board)
    holes = []
    for n, hole in enumerate(board.mounting_holes, 1):
        across, up = hole.at
        if turned:
            across, up = board.width_nm - across, board.height_nm - up
        holes.append(Hole(f"screw {n}", x + across / 1e6, y + up / 1e6, hole.hole_nm / 1e6, "screws of the board"))
    return View(
        mounting, f"tape it to the inside of the {mounting}: it is seen from there, as the component side is",
        wide, high, tuple(holes), (x, y, board.width_nm / 1e6, board.height_nm / 1e6),
        "board, its ports at the lower edge",
    )  # fmt: skip


def _ports_above(board: Board) -> bool:
    ports = _ports(board)
    return sum(port.body[1] + port.body[3] for port in ports) > len(ports) * board.height_nm


def _ports(board: Board) -> list[PlacedPart]:
    return sorted((part for part in board.parts if part.kind == "connector" and part.fitted), key=lambda p: p.body[0])


Item = tuple[str, float, bool]
"""What goes through a hole, the hole's diameter, and whether it is a coax connector."""


def _items(design: Design, board: Board, *, in_lid: bool) -> Iterator[Item]:
    """From left to right as seen from the lid: ports as the board has them, then stud, vent and glands."""
    labels = {c.ref: c.subject.strip for c in design.netlist.of_kind("connector")}
    impedance = {strip.label: strip for strip in design.request.strips}
    ports = _ports(board)
    if _ports_above(board) != in_lid:
        ports = ports[::-1]
    lines = {line.part.value: line for line in design.bill.lines if line.part.kind == "hardware"}
    for port in ports:
        strip = impedance[labels[port.ref]]
        kind = strip.connector if strip.connector != "pigtail" else "BNC" if strip.impedance < 60 else "F"
        yield strip.label, SIZES_MM[kind], True
    if design.request.has_earth:
        yield "earth stud", STUD_MM, False
    yield "vent", SIZES_MM["M12"], False
    for n in range(design.spec.control.cables):
        several = f" {n + 1}" if design.spec.control.cables > 1 else ""
        yield f"control{several or ' cable'}", SIZES_MM["M20" if "M20" in lines else "M16"], False


def _gap(one: Item, other: Item, pitch_mm: float) -> float:
    return pitch_mm if one[2] and other[2] else max(pitch_mm, WIDEST_GAP_MM)


def _rows(items: Sequence[Item], pitch_mm: float, room_mm: float) -> list[list[Item]]:
    """One row where all find room; else ports in rows from the first on, and the rest in a row of their own."""
    if sum(_gap(*pair, pitch_mm) for pair in pairwise(items)) <= room_mm:
        return [list(items)]
    ports, others = [item for item in items if item[2]], [item for item in items if not item[2]]
    most = max(1, int(room_mm / pitch_mm) + 1)
    count = -(-len(ports) // most)
    each = -(-len(ports) // count)
    return [*(ports[n : n + each] for n in range(0, len(ports), each)), others]


def _places(row: Sequence[Item], pitch_mm: float, wide: float) -> list[float]:
    """Middles of the holes of a row, the row in the middle of the wall."""
    places = [0.0]
    for pair in pairwise(row):
        places.append(places[-1] + _gap(*pair, pitch_mm))
    left = (wide - places[-1]) / 2
    return [left + place for place in places]


def hole_name(wall: str, what: str) -> str:
    """The name of the size of such holes in all documents."""
    return named("box", wall, what, "size")

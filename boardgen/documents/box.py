"""The box of a board: where its board, its connectors and its other holes lie, each at its size, in millimetres.

The box stands with its lid towards the reader. Coax and cable come in from below, through the lower wall. The board
lies in the back or in the lid with its ports next to that wall; in the lid it faces the other way, so that its ports
come in the opposite order from left to right.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from boardgen.design import Design
from boardgen.documents.identity import named
from boardgen.model.copper import Board, PlacedPart
from boardgen.sizing.box import around

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
    board, wanted = made.board, design.spec.box
    box = around(design.request, found[0].part, (board.width_nm * 1e-9, board.height_nm * 1e-9))
    in_lid = wanted.mounting == "lid"
    holes = tuple(
        Hole(name, x, box.deep_mm - y if in_lid else y, size, COAX if is_coax else name)
        for (x, y), (name, size, is_coax) in zip(box.wall.places_mm, _items(design, board, in_lid=in_lid), strict=True)
    )
    wide, high = box.wide_mm, box.high_mm
    tape = "tape it to the outside, this way up with the lid at the top edge"
    views = (_mounted(board, wide, high, wanted.mounting), View("lower wall", tape, wide, box.deep_mm, holes))
    return Box(box.part.name, wanted.mounting, wanted.pitch * 1e3, views, box.wall.fits)


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


def hole_name(wall: str, what: str) -> str:
    """The name of the size of such holes in all documents."""
    return named("box", wall, what, "size")

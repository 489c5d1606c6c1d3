"""Writes a laid-out board in the S-expression form of KiCad 6, which its editor and others read.

Source: dev-docs.kicad.org, "Board File Format", version 20211014 (recalled). Lengths are millimetres, y points
downwards. An area of copper is written filled, so that nothing has to be filled before it is looked at, and its outline
says where it is filled again.

Method: the format fills rings without holes, so a cut from each clear area to the left makes it and the outline one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from boardgen.formats.kicad_footprint import (
    GENERATOR,
    LIBRARY,
    VALUE_PEN_NM,
    VERSION,
    Joint,
    Pattern,
    drawn,
    letters,
    mm,
    mounted,
    on_layer,
    pads,
    stamp,
    words,
)
from boardgen.formats.s_expression import Item, Word, document
from boardgen.model.copper import Board, MountingHole, PlacedPart, PointNm, Region, Side, SilkscreenText, Stroke
from boardgen.model.netlist import Netlist
from boardgen.model.part import Pad

SCREW = "screw-hole"
"""The footprint of an unplated hole for a screw."""
LEFT_NM = TOP_NM = 25_000_000
"""Where the board lies on its sheet."""
PAPERS_MM = {"A4": (297, 210), "A3": (420, 297), "A2": (594, 420), "A1": (841, 594), "A0": (1189, 841)}
COPPER: Mapping[Side, str] = {"top": "F.Cu", "bottom": "B.Cu"}
LAYERS = (
    (0, "F.Cu", "signal"), (31, "B.Cu", "signal"), (36, "B.SilkS", "user"), (37, "F.SilkS", "user"),
    (38, "B.Mask", "user"), (39, "F.Mask", "user"), (40, "Dwgs.User", "user"), (44, "Edge.Cuts", "user"),
    (45, "Margin", "user"), (46, "B.CrtYd", "user"), (47, "F.CrtYd", "user"), (48, "B.Fab", "user"),
    (49, "F.Fab", "user"),
)  # fmt: skip
"""Number, name and kind of each layer that is used."""
THICKNESS_MM = "1.6"
OUTLINE_NM = 100_000
"""Width of the line of the board's outline."""
LETTER = 0.95
"""How much of its box a letter may take, since the editor's letters are a little wider than ours."""
THIN_NM = 300_000
"""Copper of an area is nowhere thinner."""
ABOUT_A_PART_NM = 250_000
"""So far courtyards of parts reach beyond their bodies."""
CORNERS = 32
"""Sides of the outline about a screw."""
NOT_UNDER_A_SCREW = ("tracks", "vias", "copperpour")


class ThermalRelief(Struct, frozen=True):
    """How an area meets its own pads, and what it keeps off other nets, in nanometres."""

    clearance_nm: int
    gap_nm: int
    spoke_nm: int


class BoardFile(Struct, frozen=True, kw_only=True):
    """A board with what its file says beside the copper.

    Parameters
    ----------
    board, netlist : what is laid out; pads are numbered as the file shall number them
    patterns : by the key of the footprint
    fields : what else is known of each part, by designator
    relief : how areas of copper meet pads
    mask_margin_nm : what the opening of the mask is wider than its pad on each side
    date : ISO date, "" for none

    """

    board: Board
    netlist: Netlist
    patterns: Mapping[str, Pattern]
    fields: Mapping[str, Mapping[str, str]]
    relief: ThermalRelief
    mask_margin_nm: int
    date: str


def board_file(made: BoardFile) -> bytes:
    """The whole board: outline, footprints in their places with their nets, tracks, vias, filled areas, keep-outs."""
    return document(["kicad_pcb", *_Sheet(made).items()], 2).encode()


class _Sheet:
    """A board on its sheet, where y points downwards."""

    def __init__(self, made: BoardFile) -> None:
        self.made, self.board = made, made.board
        self.bottom = TOP_NM + made.board.height_nm
        self.net = {name: number for number, name in enumerate(("", *(net.name for net in made.netlist.nets)))}
        self.joined = {(pad.ref, pad.number): pad for pad in made.board.pads}
        self.designators = designators_of(made.board)
        self.silkscreen = silkscreen_of(made.board)

    def items(self) -> Iterator[Item]:
        """Everything in the order of the format."""
        yield from self.head()
        yield from (["net", number, name] for name, number in self.net.items())
        yield from map(self.part, self.board.parts)
        yield from (self.screw(number, hole) for number, hole in enumerate(self.board.mounting_holes, 1))
        yield from self.outline()
        own = self.designators.values()
        yield from (self.text(text) for text in self.board.silkscreen_texts if not any(text is each for each in own))
        yield from self.copper()
        yield from (self.keepout(hole) for hole in self.board.mounting_holes)

    def head(self) -> Iterator[Item]:
        """Version, sheet, title, layers and settings."""
        made, board = self.made, self.board
        wide, high = (board.width_nm + 2 * LEFT_NM) / 1e6, (board.height_nm + 2 * TOP_NM) / 1e6
        paper = next((name for name, size in PAPERS_MM.items() if wide <= size[0] and high <= size[1]), "A0")
        yield from (["version", VERSION], GENERATOR, ["general", ["thickness", Word(THICKNESS_MM)]], ["paper", paper])
        facts = {"title": board.title, "date": made.date, "rev": board.revision}
        yield ["title_block", *([word, text] for word, text in facts.items() if text)]
        yield ["layers", *([str(number), name, Word(kind)] for number, name, kind in LAYERS)]
        origin = [self.at(word, (0, 0)) for word in ("aux_axis_origin", "grid_origin")]
        yield ["setup", ["pad_to_mask_clearance", mm(made.mask_margin_nm)], *origin]

    def at(self, word: str, point: PointNm, turn: int = 0) -> Item:
        """A place on the sheet."""
        return [word, mm(LEFT_NM + point[0]), mm(self.bottom - point[1]), *([turn] if turn else [])]

    def ring(self, points: Sequence[PointNm]) -> Item:
        """The corners of an outline."""
        return ["pts", *(self.at("xy", point) for point in points)]

    def part(self, part: PlacedPart) -> Item:
        """A part in its place: its fields, texts, lines and pads."""
        component, pattern = self.made.netlist.component[part.ref], self.made.patterns[part.footprint]
        turn = part.rotation * 90
        roles = {pad: role for role, pad in component.part.pins.items()}
        joints = {}
        for pad in pattern.pads:
            placed = self.joined[part.ref, pad.number]
            role = roles.get(pad.number, "")
            joints[pad.number] = Joint(self.net[placed.net], placed.net, role, solid=placed.solid)
        head = [on_layer("F.Cu"), stamp(f"part {part.ref}"), self.at("at", part.at, turn)]
        fields = (["property", name, text] for name, text in self.made.fields[part.ref].items())
        value = words("value", component.value, pattern.middle, turn, "F.Fab")
        drawing = drawn(pattern, self.silkscreen.get(part.ref, ()), part.ref)
        return [
            "footprint", pattern.name, *head, ["descr", pattern.description], *fields, mounted(pattern),
            self.designator(part, pattern), value, *drawing, *pads(pattern, joints, turn, part.ref),
        ]  # fmt: skip

    def designator(self, part: PlacedPart, pattern: Pattern) -> Item:
        """Where the silkscreen has it; on the body, and not printed, where it found no place there."""
        text = self.designators.get(part.ref)
        if text is None:
            return words("reference", part.ref, pattern.middle, part.rotation * 90, "F.Fab")
        x, y = _middle(text)
        at = turned((x - part.at[0], y - part.at[1]), -part.rotation)
        return words("reference", part.ref, at, _degrees(text), "F.SilkS", *_letter(text))

    def screw(self, number: int, hole: MountingHole) -> Item:
        """A hole for a screw, as a footprint, so that it can be moved."""
        pattern, name = screw_pattern(hole), f"H{number}"
        texts = [words("reference", name, (0, 0), 0, "F.Fab"), words("value", SCREW, (0, 0), 0, "F.Fab")]
        head = [on_layer("F.Cu"), stamp(f"part {name}"), self.at("at", hole.at), ["descr", pattern.description]]
        drawing = [*drawn(pattern, (), name), *pads(pattern, {}, 0, name)]
        return ["footprint", f"{LIBRARY}:{SCREW}", *head, mounted(pattern), *texts, *drawing]

    def outline(self) -> Iterator[Item]:
        """The four edges."""
        wide, high = self.board.width_nm, self.board.height_nm
        for start, end in pairwise([(0, 0), (wide, 0), (wide, high), (0, high), (0, 0)]):
            line = [on_layer("Edge.Cuts"), ["width", mm(OUTLINE_NM)], stamp(f"edge {start}")]
            yield ["gr_line", self.at("start", start), self.at("end", end), *line]

    def text(self, text: SilkscreenText) -> Item:
        """A text of the silkscreen that belongs to no part."""
        look = [on_layer("F.SilkS"), stamp(f"text {text.words} {text.box}"), letters(*_letter(text))]
        return ["gr_text", text.words, self.at("at", _middle(text), _degrees(text)), *look]

    def copper(self) -> Iterator[Item]:
        """Tracks, vias and areas."""
        for number, track in enumerate(self.board.tracks):
            ends = [self.at("start", track.start), self.at("end", track.end), ["width", mm(track.width_nm)]]
            joined = [on_layer(COPPER[track.side]), ["net", self.net[track.net]], stamp(f"track {number}")]
            yield ["segment", *ends, *joined]
        for number, via in enumerate(self.board.vias):
            size = [["size", mm(via.pad_nm)], ["drill", mm(via.hole_nm)], ["layers", "F.Cu", "B.Cu"]]
            yield ["via", self.at("at", via.at), *size, ["net", self.net[via.net]], stamp(f"via {number}")]
        for number, region in enumerate(self.board.regions):
            yield self.area(region, f"area {number}")

    def area(self, region: Region, name: str) -> Item:
        """An area of copper, with its filling."""
        relief, layer = self.made.relief, on_layer(COPPER[region.side])
        outlines = [["polygon", self.ring(ring)] for ring in (region.outline, *region.clear)]
        meets = ["fill", Word("yes"), ["thermal_gap", mm(relief.gap_nm)], ["thermal_bridge_width", mm(relief.spoke_nm)]]
        return [
            "zone", ["net", self.net[region.net]], ["net_name", region.net], layer, stamp(name),
            *_zone(relief.clearance_nm), ["filled_areas_thickness", Word("no")], meets, *outlines,
            ["filled_polygon", layer, self.ring(one_ring(region.outline, region.clear))],
        ]  # fmt: skip

    def keepout(self, hole: MountingHole) -> Item:
        """Where no copper may lie; holes and footprints may, since the screw's own hole does."""
        rules = [
            [kind, Word("not_allowed" if kind in NOT_UNDER_A_SCREW else "allowed")]
            for kind in ("tracks", "vias", "pads", "copperpour", "footprints")
        ]
        ring = ["polygon", self.ring(_circle(hole.at, hole.keepout_nm // 2))]
        layers = ["layers", "F.Cu", "B.Cu"]
        where = stamp(f"keep-out {hole.at}")
        return ["zone", ["net", 0], ["net_name", ""], layers, where, *_zone(0), ["keepout", *rules], ["fill"], ring]


def _zone(clearance_nm: int) -> list[Item]:
    """How an area or a keep-out is hatched on the screen, and what it keeps off."""
    hatch: Item = ["hatch", Word("edge"), Word("0.5")]
    return [hatch, ["connect_pads", ["clearance", mm(clearance_nm)]], ["min_thickness", mm(THIN_NM)]]


def screw_pattern(hole: MountingHole) -> Pattern:
    """The footprint of a hole for a screw: unplated; its head may enter the room about a part, but not the part."""
    reach = hole.keepout_nm // 2 - ABOUT_A_PART_NM
    pad = Pad("", 0, 0, hole.hole_nm, hole.hole_nm, hole.hole_nm)
    return Pattern(SCREW, "hole for a screw", (pad,), (-reach, -reach, reach, reach), (_circle((0, 0), reach),), ())


def silkscreen_of(board: Board) -> dict[str, tuple[Stroke, ...]]:
    """The lines of the silkscreen by the part that they draw, from its origin before it was turned."""
    found: dict[str, list[Stroke]] = {}
    standing = {part.ref: part for part in board.parts}
    for stroke in board.silkscreen_lines:
        part = standing[stroke.ref]
        x0, y0 = part.at
        points = tuple(turned((x - x0, y - y0), -part.rotation) for x, y in stroke.points)
        found.setdefault(part.ref, []).append(replace(stroke, points=points))
    return {ref: tuple(strokes) for ref, strokes in found.items()}


def designators_of(board: Board) -> dict[str, SilkscreenText]:
    """The text of each part's designator."""
    return {text.ref: text for text in board.silkscreen_texts if text.ref and text.words == text.ref}


def one_ring(outline: Sequence[PointNm], clear: Sequence[Sequence[PointNm]]) -> tuple[PointNm, ...]:
    """An outline and its clear areas as one ring: each is reached by a cut from its leftmost corner to the left.

    Clear areas are taken from the left, so that a cut meets the outline, or a clear area that is part of it already;
    each runs the other way round than the outline.
    """
    ring = list(outline)
    for area in sorted(clear, key=min):
        hole = area if _runs_left(area) != _runs_left(outline) else area[::-1]
        start = min(range(len(hole)), key=hole.__getitem__)
        x, y = hole[start]
        cuts = []
        for number, ((x1, y1), (x2, y2)) in enumerate(pairwise([*ring, ring[0]])):
            if y1 != y2 and min(y1, y2) <= y <= max(y1, y2):
                cuts.append((x1 + (x2 - x1) * (y - y1) / (y2 - y1), number))
        across, number = max(cut for cut in cuts if cut[0] <= x)
        foot = (round(across), y)
        ring[number + 1 : number + 1] = [foot, *hole[start:], *hole[:start], hole[start], foot]
    return tuple(ring)


def _runs_left(ring: Sequence[PointNm]) -> bool:
    """Whether a ring runs anticlockwise: its area by the shoelace formula is positive."""
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise([*ring, ring[0]])) > 0


def turned(point: PointNm, quarters: int) -> PointNm:
    """A point turned anticlockwise about the origin by so many quarters."""
    x, y = point
    return ((x, y), (-y, x), (-x, -y), (y, -x))[quarters % 4]


def _circle(centre: PointNm, radius: int) -> tuple[PointNm, ...]:
    """A ring of straight sides just about a circle."""
    reach = radius / math.cos(math.pi / CORNERS)
    turns = [2 * math.pi * (number + 0.5) / CORNERS for number in range(CORNERS)]
    return tuple((centre[0] + round(reach * math.cos(a)), centre[1] + round(reach * math.sin(a))) for a in turns)


def _middle(text: SilkscreenText) -> PointNm:
    left, low, right, top = text.box
    return (left + right) // 2, (low + top) // 2


def _degrees(text: SilkscreenText) -> int:
    return 90 if text.upright else 0


def _letter(text: SilkscreenText) -> tuple[int, int]:
    """Height of the letters and width of the pen of a text that fills its box."""
    left, low, right, top = text.box
    pen = text.strokes[0].width_nm if text.strokes else VALUE_PEN_NM
    wide, high = (top - low, right - left) if text.upright else (right - left, top - low)
    longest = (wide - pen) / len(text.words) if len(text.words) > 1 else high - pen
    return round(min(high - pen, longest) * LETTER), pen

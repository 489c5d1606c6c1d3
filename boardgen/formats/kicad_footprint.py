"""Writes footprints in the S-expression form of KiCad 6: as files of a library, and what they draw on a board.

Source: dev-docs.kicad.org, "S-Expression Format" and "Footprint Library File Format", version 20211014 (recalled).
Lengths are millimetres, y points downwards, angles are degrees anticlockwise; places in a footprint are counted from
its origin before it is turned.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from boardgen.formats.s_expression import Item, Word, document
from boardgen.model.copper import PointNm, Stroke
from boardgen.model.part import Pad

VERSION = 20211014
GENERATOR: Item = ["generator", Word("boardgen")]
LIBRARY = "footprints"
"""The library of what a board uses: a folder of this name and `.pretty` beside it."""
COURTYARD_LINE_NM, BODY_LINE_NM = 50_000, 100_000
"""Widths of lines: of courtyards and of bodies."""
VALUE_NM, VALUE_PEN_NM = 800_000, 120_000
"""Height and pen of texts that are not printed."""
_NAMESPACE = uuid.uuid5(uuid.NAMESPACE_OID, "boardgen")


class Pattern(Struct, frozen=True):
    """What a footprint draws, in nanometres from its origin, y upwards.

    `body` is left, bottom, right and top; `courtyard` are the rings that no other part may enter.
    """

    name: str
    description: str
    pads: tuple[Pad, ...]
    body: tuple[int, int, int, int]
    courtyard: tuple[tuple[PointNm, ...], ...]
    silkscreen: tuple[Stroke, ...]

    @property
    def middle(self) -> PointNm:
        """The centre of the body."""
        left, low, right, top = self.body
        return (left + right) // 2, (low + top) // 2


class Joint(Struct, frozen=True):
    """What a pad is joined to on a board: the net's number and name, and the pad's role in its part.

    A `solid` one is joined to areas of copper over its whole edge.
    """

    number: int = 0
    net: str = ""
    role: str = ""
    solid: bool = False


NOWHERE = Joint()
SOLID = 2
"""A pad that meets an area without thermal relief. Source: the published description of the format."""


def footprint_file(pattern: Pattern) -> bytes:
    """One footprint as a file of a library; it is found by the file's name: that of the pattern and `.kicad_mod`."""
    across, name = pattern.middle[0], pattern.name
    return document(
        [
            "footprint", name, ["version", VERSION], GENERATOR, on_layer("F.Cu"),
            ["descr", pattern.description], mounted(pattern),
            words("reference", "REF**", (across, pattern.body[3] + VALUE_NM), 0, "F.SilkS"),
            words("value", name, pattern.middle, 0, "F.Fab"),
            *drawn(pattern, pattern.silkscreen, name), *pads(pattern, {}, 0, name),
        ]
    ).encode()  # fmt: skip


def drawn(pattern: Pattern, strokes: Sequence[Stroke], owner: str) -> Iterator[Item]:
    """Silkscreen in these strokes, body and courtyard. `owner` tells them from those of other parts."""
    for stroke in strokes:
        for start, end in pairwise(stroke.points):
            ends: list[Item] = [place("start", start), place("end", end)]
            line = [on_layer("F.SilkS"), ["width", mm(stroke.width_nm)], stamp(f"{owner} {start} {end}")]
            yield ["fp_line", *ends, *line]
    left, low, right, top = pattern.body
    yield _ring(((left, low), (right, low), (right, top), (left, top)), "F.Fab", BODY_LINE_NM, owner)
    for ring in pattern.courtyard:
        yield _ring(ring, "F.CrtYd", COURTYARD_LINE_NM, owner)


def _ring(ring: Sequence[PointNm], layer: str, width_nm: int, owner: str) -> Item:
    points: Item = ["pts", *(place("xy", point) for point in ring)]
    look = [["width", mm(width_nm)], ["fill", Word("none")], stamp(f"{owner} {layer} {ring[0]}")]
    return ["fp_poly", points, on_layer(layer), *look]


def pads(pattern: Pattern, joints: Mapping[str, Joint], turn: int, owner: str) -> Iterator[Item]:
    """The pads with what each is joined to, by its number; `turn` is how far the part is turned, in degrees."""
    for pad in pattern.pads:
        around = pad.hole_nm and pad.width_nm == pad.height_nm
        kind = "smd" if not pad.hole_nm else "thru_hole" if pad.number else "np_thru_hole"
        item: list[Item] = ["pad", pad.number, Word(kind), Word("circle" if around else "rect")]
        item += [place("at", (pad.x_nm, pad.y_nm), turn), ["size", mm(pad.width_nm), mm(pad.height_nm)]]
        if pad.hole_nm:
            item.append(["drill", mm(pad.hole_nm)])
        item.append(["layers", *(("*.Cu", "*.Mask") if pad.hole_nm else ("F.Cu", "F.Mask"))])
        joint = joints.get(pad.number, NOWHERE)
        if joint.net:
            item.append(["net", joint.number, joint.net])
        if joint.role:
            item += [["pinfunction", joint.role], ["pintype", "passive"]]
        if joint.solid:
            item.append(["zone_connect", SOLID])
        yield [*item, stamp(f"{owner} pad {pad.number}")]


def words(
    kind: str, text: str, at: PointNm, turn: int, layer: str, high_nm: int = VALUE_NM, pen_nm: int = VALUE_PEN_NM
) -> Item:
    """A text of a footprint: its "reference" or "value", centred at a point, turned by so many degrees."""
    look = [on_layer(layer), letters(high_nm, pen_nm), stamp(f"{kind} {text}")]
    return ["fp_text", Word(kind), text, place("at", at, turn), *look]


def letters(high_nm: int, pen_nm: int) -> Item:
    """How a text is written."""
    return ["effects", ["font", ["size", mm(high_nm), mm(high_nm)], ["thickness", mm(pen_nm)]]]


def mounted(pattern: Pattern) -> Item:
    """Whether the part's leads go through the board."""
    return ["attr", Word("through_hole" if any(pad.hole_nm for pad in pattern.pads) else "smd")]


def place(word: str, at: PointNm, turn: int = 0) -> Item:
    """A place in a footprint, and an angle in degrees where it is not 0."""
    return [word, mm(at[0]), mm(-at[1]), *([turn] if turn else [])]


def on_layer(name: str) -> Item:
    """The layer on which something lies."""
    return ["layer", name]


def stamp(what: str) -> Item:
    """The mark by which one thing is told from another; the same for the same board."""
    return ["tstamp", Word(uuid.uuid5(_NAMESPACE, what))]


def mm(length_nm: int) -> Word:
    """Nanometres as millimetres, with no digit lost and none too many."""
    whole, part = divmod(abs(length_nm), 1_000_000)
    text = f"{whole}.{part:06d}".rstrip("0").rstrip(".")
    return Word(f"-{text}" if length_nm < 0 else text)

"""A part's pattern turned by quarters: where its lands, body and courtyard lie about its origin."""

from __future__ import annotations

from functools import cached_property, lru_cache

from msgspec import Struct

from boardgen.model.part import Footprint, Pad

COURTYARD_NM = 250_000
"""Free space about body and lands of a part; two neighbours then stand 0.5 mm apart. IPC-7351, recalled."""
Box = tuple[int, int, int, int]
"""Left, bottom, right, top."""


def turned(x: int, y: int, turn: int) -> tuple[int, int]:
    """A point turned anticlockwise by so many quarters."""
    return ((x, y), (-y, x), (-x, -y), (y, -x))[turn % 4]


class Shape(Struct, frozen=True, dict=True):
    """A footprint in one of its four turns; pads and boxes about its origin, in nanometres."""

    footprint: Footprint
    turn: int

    @cached_property
    def pads(self) -> tuple[Pad, ...]:
        """The pads, turned."""
        found = []
        for pad in self.footprint.pads:
            x, y = turned(pad.x_nm, pad.y_nm, self.turn)
            sides = (pad.width_nm, pad.height_nm)
            width, height = sides if self.turn % 2 == 0 else sides[::-1]
            found.append(Pad(pad.number, x, y, pad.hole_nm, width, height))
        return tuple(found)

    @cached_property
    def land_boxes(self) -> tuple[Box, ...]:
        """A box for every land."""
        return tuple(
            (p.x_nm - p.width_nm // 2, p.y_nm - p.height_nm // 2, p.x_nm + p.width_nm // 2, p.y_nm + p.height_nm // 2)
            for p in self.pads
        )

    @cached_property
    def body(self) -> Box:
        """The body; where the maker's is not known, what the lands cover."""
        footprint = self.footprint
        if footprint.body_x_nm is None or footprint.body_y_nm is None:
            return hull(self.land_boxes)
        x, y = turned(footprint.body_centre_x_nm, footprint.body_centre_y_nm, self.turn)
        half = (footprint.body_x_nm // 2, footprint.body_y_nm // 2)
        wide, high = half if self.turn % 2 == 0 else half[::-1]
        return (x - wide, y - high, x + wide, y + high)

    @cached_property
    def courtyard(self) -> tuple[Box, ...]:
        """Boxes that no other part's courtyard may enter: the body, and the lands grouped by row where that is less."""
        rows: dict[int, list[Box]] = {}
        for box in self.land_boxes:
            rows.setdefault((box[1] + box[3]) // 2, []).append(box)
        boxes = [self.body, *(hull(tuple(row)) for row in rows.values())]
        return tuple(grown(box, COURTYARD_NM) for box in boxes)


@lru_cache(maxsize=4096)
def shape(footprint: Footprint, turn: int) -> Shape:
    """The turned pattern, made once."""
    return Shape(footprint, turn % 4)


def hull(boxes: tuple[Box, ...]) -> Box:
    """The box about all boxes."""
    left, bottom, right, top = zip(*boxes, strict=True)
    return min(left), min(bottom), max(right), max(top)


def grown(box: Box, by: int) -> Box:
    """The box, larger on every side."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def moved(box: Box, x: int, y: int) -> Box:
    """The box in another place."""
    return box[0] + x, box[1] + y, box[2] + x, box[3] + y

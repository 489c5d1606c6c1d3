"""A footprint turned by quarters: where its pads, body and courtyard lie about its origin, in nanometres."""

from __future__ import annotations

from functools import cached_property, lru_cache

from msgspec import Struct

from boardgen.model.part import Footprint, Pad

COURTYARD_NM = 250_000
"""Free space about body and pads of a part; two neighbours then stand 0.5 mm apart. IPC-7351, recalled."""
Box = tuple[int, int, int, int]
"""Left, bottom, right, top."""


def rotate(x: int, y: int, rotation: int) -> tuple[int, int]:
    """A point turned anticlockwise about the origin by so many quarters."""
    return ((x, y), (-y, x), (-x, -y), (y, -x))[rotation % 4]


class RotatedFootprint(Struct, frozen=True, dict=True):
    """A footprint after so many quarter turns anticlockwise."""

    footprint: Footprint
    rotation: int

    @cached_property
    def pads(self) -> tuple[Pad, ...]:
        """The pads, turned."""
        found = []
        for pad in self.footprint.pads:
            x, y = rotate(pad.x_nm, pad.y_nm, self.rotation)
            sides = (pad.width_nm, pad.height_nm)
            width, height = sides if self.rotation % 2 == 0 else sides[::-1]
            found.append(Pad(pad.number, x, y, pad.hole_nm, width, height))
        return tuple(found)

    @cached_property
    def pad_boxes(self) -> tuple[Box, ...]:
        """A box for every pad."""
        return tuple(
            (p.x_nm - p.width_nm // 2, p.y_nm - p.height_nm // 2, p.x_nm + p.width_nm // 2, p.y_nm + p.height_nm // 2)
            for p in self.pads
        )

    @cached_property
    def body(self) -> Box:
        """The body; where the maker's is not known, what the pads cover."""
        footprint = self.footprint
        if footprint.body_x_nm is None or footprint.body_y_nm is None:
            return hull(self.pad_boxes)
        x, y = rotate(footprint.body_centre_x_nm, footprint.body_centre_y_nm, self.rotation)
        half = (footprint.body_x_nm // 2, footprint.body_y_nm // 2)
        wide, high = half if self.rotation % 2 == 0 else half[::-1]
        return (x - wide, y - high, x + wide, y + high)

    @cached_property
    def courtyard(self) -> tuple[Box, ...]:
        """Boxes that no other part's courtyard may enter: the body, and the pads grouped by row where that is less."""
        rows: dict[int, list[Box]] = {}
        for box in self.pad_boxes:
            rows.setdefault((box[1] + box[3]) // 2, []).append(box)
        boxes = [self.body, *(hull(tuple(row)) for row in rows.values())]
        return tuple(grown(box, COURTYARD_NM) for box in boxes)


@lru_cache(maxsize=4096)
def rotated(footprint: Footprint, rotation: int) -> RotatedFootprint:
    """The turned footprint, made once."""
    return RotatedFootprint(footprint, rotation % 4)


def hull(boxes: tuple[Box, ...]) -> Box:
    """The box about all boxes."""
    left, bottom, right, top = zip(*boxes, strict=True)
    return min(left), min(bottom), max(right), max(top)


def grown(box: Box, by_nm: int) -> Box:
    """The box, larger on every side."""
    return box[0] - by_nm, box[1] - by_nm, box[2] + by_nm, box[3] + by_nm


def moved(box: Box, x: int, y: int) -> Box:
    """The box in another place."""
    return box[0] + x, box[1] + y, box[2] + x, box[3] + y

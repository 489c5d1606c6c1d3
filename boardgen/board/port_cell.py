"""The cell at the head of a strip, all at given places: port at the edge of the board, gas tubes, earth track."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from boardgen.board.cell_task import EARTH, CellTask, LocalNet, PartTask, Segment, on_grid
from boardgen.board.rotated_footprint import hull, rotated
from boardgen.board.rules import GRID_NM
from boardgen.kinds import kind_of
from boardgen.model.copper import PointNm
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint

# rows of the grid below the edge of the board, and columns

HEAD_ROWS = 12
"""Height of the port's cell on a board without earth: the screws need that much."""
PAIR_COLUMNS = 4
"""Half the spacing of the pair where it passes from cell to cell: that of the cores and of the ports."""
PORT_ROW = 3
"""Row of the pads of a port: their copper keeps off the edge of the board."""
BEND_ROWS = 4
"""Surge copper bends outward so far above the tube: clear of the screws and of the tube's middle pin."""
TUBE_ROW, EARTH_ROW = 15, 21
"""Rows of a tube that lies across the strip, below the port and its name, and of the earth track below it."""
LONG_TUBE_ROW = 14
"""Row of the upper pins of tubes that lie along the strip."""
EARTH_FOOT, LONG_EARTH_FOOT = 4, 6
"""Rows from the earth track to the foot of the cell; the latter where the pair comes round a tube to the side."""

PORT_NM = 5_080_000
"""Spacing of two pads that lie where the pair passes."""
ACROSS = 3
"""Pins of a tube that lies across the strip, earth in the middle; one of fewer pins lies along the strip."""


class Tubes(Struct, frozen=True):
    """What the tubes at the ports ask of every strip of a board: one track joins the earths of all.

    `aside` is how far from the middle of the strip, in columns, a tube of two electrodes stands; 0 where there is none.
    `wide_nm` is how much of the width of a strip they take, `reach_nm` how far from its middle their outer pins stand,
    `top_nm` how far below the edge of the board they begin.
    """

    earth_row: int = EARTH_ROW
    aside: int = 0
    wide_nm: int = 0
    top_nm: int = 0
    reach_nm: int = 0

    @property
    def least_columns(self) -> int:
        """Where two tubes stand side by side, and others in the next strip, it must be so wide."""
        return 4 * self.aside

    def foot(self, *, to_the_side: bool) -> int:
        """Rows below the earth track; the pair goes straight on, or to the side that is free of the stud."""
        return LONG_EARTH_FOOT if self.aside and to_the_side else EARTH_FOOT


def widest_end_nm(netlist: Netlist, footprints: Mapping[str, Footprint]) -> int:
    """The widest part that a strip may have at its ends: no strip is narrower."""
    kinds = ((component.part.footprint, kind_of(component.part)) for component in netlist.components)
    ends = {footprint for footprint, kind in kinds if kind.outside and kind.side_by_side == 1}
    boxes = [hull(rotated(footprints[key], 0).courtyard) for key in ends]
    return max((right - left for left, _, right, _ in boxes), default=0)


def widest_nm(netlist: Netlist, footprints: Mapping[str, Footprint], outside: str) -> int:
    """The widest part to which a person joins a port, or a line."""
    ends = {component.part.footprint for component in netlist.components if kind_of(component.part).outside == outside}
    boxes = [hull(rotated(footprints[key], 0).courtyard) for key in ends]
    return max((right - left for left, _, right, _ in boxes), default=0)


def tubes(netlist: Netlist, footprints: Mapping[str, Footprint]) -> Tubes:
    """What the tubes of a netlist ask for."""
    at_ports = [component.part for component in netlist.components if component.subject.stage == "surge"]
    long = {part.footprint: rotated(footprints[part.footprint], 3) for part in at_ports if len(part.pins) < ACROSS}
    if not long:
        bodies = [rotated(footprints[key], 0).courtyard[0] for key in {part.footprint for part in at_ports}]
        wide = max((right - left for left, _, right, _ in bodies), default=0)
        pins = (pad.x_nm for key in {part.footprint for part in at_ports} for pad in rotated(footprints[key], 0).pads)
        top = TUBE_ROW * GRID_NM - max((top for *_, top in bodies), default=0)
        return Tubes(wide_nm=wide, top_nm=top, reach_nm=max(map(abs, pins), default=0))
    spans = [abs(footprint.pads[0].y_nm - footprint.pads[-1].y_nm) for footprint in long.values()]
    boxes = [hull(footprint.courtyard) for footprint in long.values()]
    earth_row = max(EARTH_ROW, LONG_TUBE_ROW + _steps(max(spans)))
    aside = _steps(max(max(box[2], -box[0]) for box in boxes))
    above = max(box[3] - max(pad.y_nm for pad in tube.pads) for box, tube in zip(boxes, long.values(), strict=True))
    return Tubes(earth_row, aside, 4 * aside * GRID_NM, LONG_TUBE_ROW * GRID_NM - above, aside * GRID_NM)


def _steps(length_nm: int) -> int:
    """So many steps of the grid, or more."""
    return -(-length_nm // GRID_NM)


def protected_port(
    task: CellTask, tubes: Tubes, surge_nm: int, aside: int, *, crossed: bool, to_the_side: bool
) -> CellTask:
    """Port and tubes at given places, joined by copper wide enough for a surge; the earth track below them.

    Parameters
    ----------
    task : the cell, its port first among the parts, then the tubes
    tubes : what the tubes of the board ask for
    surge_nm : width of the copper that a surge takes
    aside : how far right of the middle port and tubes stand, in columns
    crossed : whether the braid lies on the left
    to_the_side : whether the pair leaves the cell at the side and not in the middle

    """
    middle = task.columns // 2 + aside
    rotation, sign = (2, -1) if crossed else (0, 1)
    parts = [replace(part, fixed=(middle - sign * PAIR_COLUMNS, PORT_ROW, rotation)) for part in task.parts[:1]]
    rows = tubes.earth_row + tubes.foot(to_the_side=to_the_side)
    left, right = on_grid(0, tubes.earth_row), on_grid(task.columns, tubes.earth_row)
    segments = [Segment(1, left, right, surge_nm, EARTH, surge=True)]
    for index, tube in enumerate(task.parts[1:]):
        if len(tube.footprint.pads) < ACROSS:
            line = sign * (-1 if index == 0 else 1)
            start, column = on_grid(middle + PAIR_COLUMNS * line, PORT_ROW), middle + tubes.aside * line
            part, copper = _along(tube, start, column, tubes.earth_row, surge_nm)
        else:
            part, copper = _across(tube, middle, rotation, tubes.earth_row, surge_nm)
        parts.append(part)
        segments += copper
    return replace(task, rows=rows, parts=tuple(parts), segments=tuple(segments), guard_from=rows)


def bare_port(task: CellTask, aside: int, *, crossed: bool) -> CellTask:
    """The port alone, so many columns right of the middle, on a board without earth."""
    rotation, middle = 2 if crossed else 0, task.columns // 2 + aside
    parts, rows = [], HEAD_ROWS
    for part in task.parts:
        if is_pair_in_line(part.footprint):
            place = (middle + (PAIR_COLUMNS if crossed else -PAIR_COLUMNS), PORT_ROW)
        else:
            # in the middle, its pads as near to the edge as those of a pigtail
            footprint = rotated(part.footprint, rotation)
            left, _, right, top = hull(footprint.pad_boxes)
            place = middle - round((left + right) / 2 / GRID_NM), 1 + _steps(top)
            rows = max(rows, place[1] + _steps(-hull(footprint.courtyard)[1]) + EARTH_FOOT)
        parts.append(replace(part, fixed=(*place, rotation)))
    return replace(task, rows=rows, parts=tuple(parts), guard_from=rows)


def is_pair_in_line(footprint: Footprint) -> bool:
    """Whether a port's pads are those of the pair: two, as far apart, along the edge of the board."""
    first, *others = footprint.pads
    return len(others) == 1 and others[0].y_nm == first.y_nm and others[0].x_nm - first.x_nm == PORT_NM


def _along(
    tube: PartTask, start: PointNm, column: int, earth_row: int, surge_nm: int
) -> tuple[PartTask, list[Segment]]:
    """A tube of two electrodes along the strip, its earth down, with copper from the port and to the earth track."""
    rotation = 1 if tube.nets[0] == EARTH else 3
    pads = rotated(tube.footprint, rotation).pads
    row = LONG_TUBE_ROW + max(round(pad.y_nm / GRID_NM) for pad in pads)
    x, y = on_grid(column, row)
    segments: list[Segment] = []
    for pad, net in zip(pads, tube.nets, strict=True):
        end = x + pad.x_nm, y - pad.y_nm
        if net != EARTH:
            segments += _from_port(start, end, surge_nm, net)
        elif end[1] < earth_row * GRID_NM:
            segments.append(Segment(1, end, (end[0], earth_row * GRID_NM), surge_nm, EARTH, surge=True))
    return replace(tube, fixed=(column, row, rotation)), segments


def _across(
    tube: PartTask, middle: int, rotation: int, earth_row: int, surge_nm: int
) -> tuple[PartTask, list[Segment]]:
    """A tube of three electrodes across the strip, with copper from the port and to the earth track."""
    segments: list[Segment] = []
    for pad, net in zip(rotated(tube.footprint, rotation).pads, tube.nets, strict=True):
        end = middle * GRID_NM + pad.x_nm, TUBE_ROW * GRID_NM
        if net == EARTH:
            segments.append(Segment(1, end, (end[0], earth_row * GRID_NM), surge_nm, EARTH, surge=True))
        else:
            start = on_grid(middle + round(math.copysign(PAIR_COLUMNS, pad.x_nm)), PORT_ROW)
            segments += _from_port(start, end, surge_nm, net)
    return replace(tube, fixed=(middle, TUBE_ROW, rotation)), segments


def _from_port(start: PointNm, end: PointNm, width_nm: int, net: LocalNet | None) -> list[Segment]:
    """Surge copper straight down from the port, out at 45 degrees, and straight down to its end."""
    if net is None:
        return []
    first = (start[0], end[1] - BEND_ROWS * GRID_NM)
    second = (end[0], first[1] + abs(end[0] - start[0]))
    points = (start, first, second, end)
    return [Segment(0, one, two, width_nm, net, surge=True) for one, two in itertools.pairwise(points)]

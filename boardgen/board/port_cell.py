"""The head of a strip at given places: its port at the edge of the board, the tubes below it, and the earth rail."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from boardgen.board.cell_task import EARTH, Drawn, Job, SeatJob, Token
from boardgen.board.rotated_footprint import hull, shape
from boardgen.board.routing_grid import GRID_MM
from boardgen.kinds import kind_of
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint

HEAD_ROWS = 12
"""Height of the port's cell on a board without earth: the screws need that much."""
PAIR = 4
"""Half the spacing of the pair where it passes from cell to cell: that of the cores and of the ports."""
PORT_NM = 5_080_000
"""Spacing of two pads that lie where the pair passes."""
PORT_ROW = 3
BEND_ROWS = 4
"""Surge copper turns outward so far above the tube: clear of the screws and of the tube's middle pin."""
TUBE_ROW, EARTH_ROW = 13, 19
LONG_TUBE_ROW = 12
RAIL_FOOT, LONG_RAIL_FOOT = 4, 6
"""Rows from the earth rail to the foot of the port's cell; the latter where the pair comes round a tube to the side."""
ACROSS = 3
"""Pins of a tube that lies across the strip, earth in the middle; one of fewer pins lies along the strip."""
_Set = tuple[SeatJob, list[Drawn]]


class Tubes(Struct, frozen=True):
    """What the tubes at the ports ask of every strip of a board: one rail joins the earths of all.

    `aside` is how far from the middle of the strip, in columns, a tube of two electrodes stands; 0 where there is none.
    """

    earth_row: int = EARTH_ROW
    aside: int = 0

    @property
    def least_columns(self) -> int:
        """Where two tubes stand side by side, and others in the next strip, it must be so wide."""
        return 4 * self.aside

    def foot(self, *, to_the_side: bool) -> int:
        """Rows below the rail; the pair goes straight on, or to the side that is free of the stud."""
        return LONG_RAIL_FOOT if self.aside and to_the_side else RAIL_FOOT


def ends_nm(netlist: Netlist, footprints: Mapping[str, Footprint]) -> int:
    """The widest part that a strip may have at its ends: no strip is narrower."""
    kinds = ((component.part.footprint, kind_of(component.part)) for component in netlist.components)
    ends = {footprint for footprint, kind in kinds if kind.outside and kind.side_by_side == 1}
    boxes = [hull(shape(footprints[key], 0).courtyard) for key in ends]
    return max((right - left for left, _, right, _ in boxes), default=0)


def tubes(netlist: Netlist, footprints: Mapping[str, Footprint]) -> Tubes:
    """What the tubes of a netlist ask for."""
    long = {
        component.part.footprint: shape(footprints[component.part.footprint], 3)
        for component in netlist.components
        if component.subject.stage == "surge" and len(component.part.pins) < ACROSS
    }
    if not long:
        return Tubes()
    spans = [abs(form.pads[0].y_nm - form.pads[-1].y_nm) for form in long.values()]
    boxes = [hull(form.courtyard) for form in long.values()]
    earth_row = max(EARTH_ROW, LONG_TUBE_ROW + _grid(max(spans)))
    return Tubes(earth_row, _grid(max(max(box[2], -box[0]) for box in boxes)))


def _grid(length_nm: int) -> int:
    """So many steps of the grid, or more."""
    return math.ceil(length_nm / 1e6 / GRID_MM - 1e-6)


def head(job: Job, tubes: Tubes, wide_mm: float, *, crossed: bool, to_the_side: bool) -> Job:
    """Port and tubes at given places, joined by copper wide enough for a surge; the earth rail below them."""
    middle = job.columns // 2
    turn = 2 if crossed else 0
    sign = -1 if crossed else 1
    seats = [replace(seat, fixed=(middle - sign * PAIR, PORT_ROW, turn)) for seat in job.parts[:1]]
    rows = tubes.earth_row + tubes.foot(to_the_side=to_the_side)
    drawn = [Drawn(1, (0, tubes.earth_row), (job.columns, tubes.earth_row), wide_mm, EARTH, surge=True)]
    for index, tube in enumerate(job.parts[1:]):
        if len(tube.footprint.pads) < ACROSS:
            line = sign * (-1 if index == 0 else 1)
            start, column = (middle + PAIR * line, PORT_ROW), middle + tubes.aside * line
            seat, copper = _along(tube, start, column, tubes.earth_row, wide_mm)
        else:
            seat, copper = _across(tube, middle, turn, tubes.earth_row, wide_mm)
        seats.append(seat)
        drawn += copper
    return replace(job, rows=rows, parts=tuple(seats), drawn=tuple(drawn), wall_from=rows)


def bare_head(job: Job, *, crossed: bool) -> Job:
    """The port alone, on a board without earth."""
    turn = 2 if crossed else 0
    seats, rows = [], HEAD_ROWS
    for seat in job.parts:
        if in_line(seat.footprint):
            place = (job.columns // 2 + (PAIR if crossed else -PAIR), PORT_ROW)
        else:
            # in the middle, its lands as near to the edge as those of a pigtail
            form = shape(seat.footprint, turn)
            left, _, right, top = hull(form.land_boxes)
            place = job.columns // 2 - round((left + right) / 2e6 / GRID_MM), 1 + _grid(top)
            rows = max(rows, place[1] + _grid(-hull(form.courtyard)[1]) + RAIL_FOOT)
        seats.append(replace(seat, fixed=(*place, turn)))
    return replace(job, rows=rows, parts=tuple(seats), wall_from=rows)


def in_line(pattern: Footprint) -> bool:
    """Whether a port's pads are those of the pair: two, as far apart, along the edge of the board."""
    first, *others = pattern.pads
    return len(others) == 1 and others[0].y_nm == first.y_nm and others[0].x_nm - first.x_nm == PORT_NM


def _along(tube: SeatJob, start: tuple[float, float], column: int, earth_row: int, wide_mm: float) -> _Set:
    """A tube of two electrodes along the strip, its earth down, with copper from the port and to the rail."""
    turn = 1 if tube.nets[0] == EARTH else 3
    ends = {net: (pad.x_nm / 1e6 / GRID_MM, pad.y_nm / 1e6 / GRID_MM)
            for pad, net in zip(shape(tube.footprint, turn).pads, tube.nets, strict=True)}  # fmt: skip
    row = LONG_TUBE_ROW + max(round(y) for _, y in ends.values())
    drawn: list[Drawn] = []
    for net, (x, y) in ends.items():
        end = column + x, row - y
        if net != EARTH:
            drawn += _wide(0, start, end, wide_mm, net)
        elif end[1] < earth_row - 1e-6:
            drawn.append(Drawn(1, end, (end[0], earth_row), wide_mm, EARTH, surge=True))
    return replace(tube, fixed=(column, row, turn)), drawn


def _across(tube: SeatJob, middle: int, turn: int, earth_row: int, wide_mm: float) -> _Set:
    """A tube of three electrodes across the strip, with copper from the port and to the rail."""
    drawn: list[Drawn] = []
    for pad, net in zip(shape(tube.footprint, turn).pads, tube.nets, strict=True):
        x = pad.x_nm / 1e6 / GRID_MM
        if net == EARTH:
            drawn.append(Drawn(1, (middle + x, TUBE_ROW), (middle + x, earth_row), wide_mm, EARTH, surge=True))
        else:
            at = middle + math.copysign(PAIR, x)
            drawn += _wide(0, (at, PORT_ROW), (middle + x, TUBE_ROW), wide_mm, net)
    return replace(tube, fixed=(middle, TUBE_ROW, turn)), drawn


def _wide(
    side: int, start: tuple[float, float], end: tuple[float, float], width: float, net: Token | None
) -> list[Drawn]:
    """Wide copper straight down, out at 45 degrees, and straight down to its end."""
    if net is None:
        return []
    first = (start[0], end[1] - BEND_ROWS)
    second = (end[0], first[1] + abs(end[0] - start[0]))
    points = (start, first, second, end)
    return [Drawn(side, one, two, width, net, surge=True) for one, two in itertools.pairwise(points)]

"""Turns the cells of a strip into tasks: which nets cross which edge, and what is drawn before the search begins.

Cells at the ends and at the bus have their parts and wide copper at given places, which stand here as rows and columns.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from boardgen.board.cell_task import (
    EARTH,
    UPRIGHT,
    ZERO,
    CellTask,
    EdgePin,
    LocalNet,
    PartTask,
    Segment,
    on_grid,
)
from boardgen.board.port_cell import PAIR_COLUMNS, Tubes, bare_port, protected_port
from boardgen.board.rotated_footprint import COURTYARD_NM, hull, rotated
from boardgen.board.routing_grid import SLACK_NM
from boardgen.board.rules import BUS_TRACK_NM, GRID_NM, GUARD_NM, SURGE_SLACK_NM, Rules, TrackClass
from boardgen.board.strips import StripPlan, ends_a_wire
from boardgen.kinds import kind_of
from boardgen.model.cell import Cell, CellPart, Pair
from boardgen.model.netlist import Component, Netlist
from boardgen.model.part import Footprint
from boardgen.model.wiring import BUS
from boardgen.stages.line_nets import COIL_SUPPLY, FEED, FEED_LINE, FEED_LINE_SHARED, FEED_SHARED

# what crosses the edges of cells, in columns

EDGE_COLUMNS, LINE_COLUMNS = 2, 2
"""From the edge of the strip to the first line that crosses, and from one line to the next."""
NARROW_PAIR_COLUMNS = 2
"""Half the spacing of the pair where it passes near the edge of the strip, beside the stud."""
EARTH_COLUMN = 4
"""Column of thin earth copper: a surge's clearance from the guard trace and from the pads of a core."""
BESIDE_STUD = 5
"""The column about which the pair passes the stud."""

# the cell of the bus

FIRST_BUS_ROW, BUS_STEP, BELOW_BUS = 5, 3, 2
"""Row of the first track of the bus, rows from one to the next, and rows below the last."""
RESTING_TO, ONWARD_FROM = 4, 2
"""A broken bus track ends at this column, and starts again so far left of the strip's middle."""

# the cells at the ends

BELOW_PORT = 1
"""Rows from the foot of the port's cell to the guard trace and pour of the next."""
ENTRY_ROWS, ENTRY_PAD_ROW, SCREW_ROWS = 17, 9, 12
"""Height of the entry's cell, row of the terminals' pads, and rows at its foot that the screws take."""
FEW_LINES, ROWS_OF_A_LINE = 2, 2
"""So many lines come to their terminals in any order; each of more takes so many rows."""
STUD_FIRST, STUD_STEP = 9, 17
"""Row of the first stud of the entry, and rows from one to the next."""
RAIL_FOOT, BAR_FOOT = 14, 13
"""Rows from the foot of the board up to the middle of the rail of 0V, and to the end of its bar: above the screws."""
STUD_ROW, STUD_COLUMNS = 10, 7
"""Where the stud of the earth lies: rows from the upper edge of its cell, columns from the right edge of the strip."""
STUD_FOOT = 10
"""Rows below the stud where nothing joins it to 0V."""
JOIN_ROW = 21
"""Row of the upper pin of what joins earth to 0V, below the stud."""
GUARD_HEAD = 4
"""Rows of guard trace below what joins earth to 0V."""
JOIN_COLUMNS, LEAST_EARTH_COLUMN = 2, 5
"""Of what joins them level: its pin on 0V from the right edge of the strip, and the least column of that on earth."""
JOIN_FOOT = 7
"""Rows below it in which the pair comes round its pins."""
STUD_NM = 5_000_000
"""Half the width of a stud's land."""


class LayoutContext(Struct, frozen=True):
    """What all strips of a board share.

    Parameters
    ----------
    netlist, footprints, rules : what is laid out, and how it is drawn
    net_class : the class of each net
    pads : the nets of each part's pads
    columns : width of a strip that has none of its own
    bus : nets of the tracks that run across the board at the bus, top to bottom
    line_guards_on_bus : whether the guards of the lines stand across the tracks of the bus instead of below them
    thorough : whether every arrangement of a cell is tried
    tubes : what the tubes at the ports ask for
    widest_end_nm : width of the widest part at the ends of the strips that shares their width with none
    ports_nm, lines_nm : width of the widest port, and of the widest part at the lines of the control cable
    surge_to_cable : whether a surge goes on from the earth over 0V into wires of the control cable
    has_terminals : whether these enter from the side, into terminals or jacks

    """

    netlist: Netlist
    footprints: Mapping[str, Footprint]
    net_class: Mapping[str, str]
    pads: Mapping[str, tuple[str | None, ...]]
    rules: Rules
    columns: int
    bus: tuple[str, ...]
    line_guards_on_bus: bool = False
    thorough: bool = False
    tubes: Tubes = Tubes()
    widest_end_nm: int = 0
    ports_nm: int = 0
    lines_nm: int = 0
    surge_to_cable: bool = False
    has_terminals: bool = False

    @property
    def has_earth(self) -> bool:
        """Whether there is an earth track."""
        return "earth" in self.net_class


def pad_nets(netlist: Netlist, footprints: Mapping[str, Footprint]) -> dict[str, tuple[str | None, ...]]:
    """The net of each pad by designator, in the footprint's order."""
    found = {}
    for component in netlist.components:
        net_of = {component.part.pins[role]: net for role, net in netlist.pin_nets[component.ref].items()}
        pads = footprints[component.part.footprint].pads
        found[component.ref] = tuple(net_of.get(pad.number) for pad in pads)
    return found


class StripCell(Struct):
    """A cell of a strip: its task, the nets that its local nets stand for, and the components of its parts."""

    task: CellTask
    nets: dict[LocalNet, str]
    components: tuple[Component, ...]


class Crossing(NamedTuple):
    """Where a net crosses an edge of a cell: its column, and its side (0 top, 1 bottom)."""

    net: str
    column: int
    side: int


class LocalNets:
    """Numbers the nets of a cell in the order they are met."""

    def __init__(self, net_class: Mapping[str, str]) -> None:
        self.net_class = net_class
        self.local_nets: dict[str, LocalNet] = {"0V": ZERO, "earth": EARTH}

    def of(self, net: str) -> LocalNet:
        """The local net of a net."""
        if net not in self.local_nets:
            self.local_nets[net] = (self.net_class[net], len(self.local_nets))
        return self.local_nets[net]

    @property
    def nets(self) -> dict[LocalNet, str]:
        """Nets by local net."""
        return {local: net for net, local in self.local_nets.items()}


def cells(context: LayoutContext, strip: StripPlan) -> list[Cell]:
    """The cells of a strip from top to foot; the bus among them."""
    if context.line_guards_on_bus:
        guards, *others = strip.lower
        return [*strip.upper, Cell("rails", guards.parts, place="bus"), *others]
    return [*strip.upper, Cell("rails", place="bus"), *strip.lower]


def cell_tasks(context: LayoutContext, strip: StripPlan) -> list[StripCell]:
    """The tasks of a strip from top to foot; the bus among them, the fillers not yet."""
    if strip.columns:
        context = replace(context, columns=strip.columns)
    of_strip = cells(context, strip)
    nets = [_nets(context, strip, cell) for cell in of_strip]
    pair: Pair | None = None
    found: list[StripCell] = []
    above: list[Crossing] = []
    for index, cell in enumerate(of_strip):
        pair = cell.inward or pair
        crossing = set().union(*nets[: index + 1]) & set().union(*nets[index + 1 :]) - {"0V"}
        if cell.place == "bus":
            pair = None
        if index + 1 == len(of_strip):
            crossing = set()
        crossed = any(later.crossed for later in of_strip[index + 1 :])
        before_stud = index + 1 < len(of_strip) and of_strip[index + 1].place == "earth"
        middle = BESIDE_STUD if before_stud else context.columns // 2
        if before_stud:
            # earth comes down to the stud as wide copper
            crossing = crossing - {"earth"}
        below = _crossings(context, strip, crossing, pair if index < len(strip.upper) else None, crossed, middle)
        found.append(_cell_task(context, strip, cell, above, below, crossed or cell.crossed))
        above = below
    return found


def _nets(context: LayoutContext, strip: StripPlan, cell: Cell) -> set[str]:
    """The nets that have copper of their own in a cell."""
    found = {*context.bus[len(BUS) :], *strip.pairs} if cell.place == "bus" else set()
    found |= {net for part in cell.parts for net in context.pads[part.component.ref] if net}
    if cell.place == "port" and context.has_earth:
        found.add("earth")
    return found - {"earth"} if cell.place == "earth" else found


def _crossings(
    context: LayoutContext,
    strip: StripPlan,
    nets: set[str],
    pair: Pair | None,
    crossed: bool,
    middle: int,
) -> list[Crossing]:
    """Everything that crosses an edge: the pair about the column `middle`, lines at the sides."""
    found = []
    if pair:
        half = (PAIR_COLUMNS if middle > 2 * PAIR_COLUMNS else NARROW_PAIR_COLUMNS) * (1 if crossed else -1)
        found = [Crossing(pair[0], middle + half, 0), Crossing(pair[1], middle - half, 0)]
        nets = nets - set(pair)
    classes = dict(context.rules.net_classes)
    left, right = EDGE_COLUMNS, context.columns - EDGE_COLUMNS
    # beside a core where no other line needs the left side, else in the middle
    alone = all(net == "earth" or context.net_class[net] == "feed" for net in nets)
    for net in sorted(nets, key=lambda net: line_order(net, context)):
        # a wide track keeps off the guard trace, and so does its neighbour from it
        more = more_columns(classes[context.net_class[net]].track)
        if net == "earth":
            found.append(Crossing(net, EARTH_COLUMN if alone and not strip.is_output else context.columns // 2, 1))
        elif context.net_class[net] == "feed" and not strip.is_output:
            found.append(Crossing(net, right - more, 1))
            right -= LINE_COLUMNS + 2 * more
        else:
            found.append(Crossing(net, left + more, 1))
            left += LINE_COLUMNS + 2 * more
    return found


def more_columns(track: TrackClass) -> int:
    """So much further than other lines from the guard trace the middle of a track lies that is wide."""
    reach = GUARD_NM / 2 + track.clearance_nm + track.half_nm
    return max(0, math.ceil((reach - SLACK_NM) / GRID_NM) - EDGE_COLUMNS)


LAST_LINES = frozenset({COIL_SUPPLY, FEED, FEED_LINE, FEED_SHARED, FEED_LINE_SHARED})
"""Lines that come after all others at an edge, by what their nets are called apart from the strip."""


def line_order(net: str, context: LayoutContext) -> tuple[bool, bool, str]:
    """The order of the lines at an edge."""
    called = context.netlist.called[net]
    return (called.before or called.after) in LAST_LINES, context.net_class[net] != "control", net


def _cell_task(
    context: LayoutContext,
    strip: StripPlan,
    cell: Cell,
    above: Sequence[Crossing],
    below: Sequence[Crossing],
    crossed: bool,
) -> StripCell:
    local = LocalNets(context.net_class)
    pins = [tuple(EdgePin(local.of(net), column, side) for net, column, side in edge) for edge in (above, below)]
    parts = tuple(_part(context, local, part) for part in cell.parts)
    after_port = context.has_earth and cell in strip.upper[1:2] and cell != strip.upper[0]
    task = CellTask(
        cell.stage, context.columns, 0, parts, pins[0], pins[1], (), (), (True, True), context.rules.net_classes,
        guard_from=BELOW_PORT if after_port else 0, place=cell.place, shared=cell.shared, thorough=context.thorough,
    )  # fmt: skip
    if cell.place == "bus":
        task = _bus(context, strip, local, task)
    elif cell.place == "port" and context.has_earth:
        task = protected_port(
            task, context.tubes, context.rules.surge_nm, strip.port_aside, crossed=crossed, to_the_side=strip.is_output
        )
    elif cell.place == "port":
        task = bare_port(task, strip.port_aside, crossed=crossed)
    elif cell.place == "earth":
        task = _earth(context, task)
    elif cell.place == "entry":
        task = _entry(context, task, strip.entry_aside)
    return StripCell(task, local.nets, tuple(part.component for part in cell.parts))


def _part(context: LayoutContext, local: LocalNets, part: CellPart) -> PartTask:
    """A part lying, or on end where a footprint for that is known; a surge needs the longer way between pads."""
    footprint = context.footprints[part.component.part.footprint]
    nets = tuple(local.of(net) if net else None for net in context.pads[part.component.ref])
    upright = context.footprints.get(footprint.upright)
    kind = kind_of(part.component.part)
    clear = kind.clear_beneath
    solid = kind.bolted or (context.surge_to_cable and ends_a_wire(part.component))
    if upright is None or EARTH in nets:
        return PartTask(footprint, part.rotations, nets, clear_beneath=clear, solid=solid)
    rotations = (*part.rotations, *(UPRIGHT + rotation for rotation in part.rotations))
    return PartTask(footprint, rotations, nets, upright=upright, clear_beneath=clear)


def _bus(context: LayoutContext, strip: StripPlan, local: LocalNets, task: CellTask) -> CellTask:
    """The tracks of the bus on top across the strip; the guard trace goes under them. Guards may stand across them."""
    columns = context.columns
    segments = []
    for index, net in enumerate(context.bus):
        row = bus_row(context, index)
        for start, end, here in _stretches(strip, index, net, columns):
            segments.append(Segment(0, on_grid(start, row), on_grid(end, row), BUS_TRACK_NM, local.of(here)))
    first, last = bus_row(context, 0), bus_row(context, len(context.bus) - 1)
    half = BUS_TRACK_NM // 2 + context.rules.grid_clearance_nm
    covered = first * GRID_NM - half, last * GRID_NM + half
    vias = tuple((on_grid(column, last), ZERO) for column in (0, columns))
    rows = 0 if task.parts else last + BELOW_BUS
    return replace(
        task, rows=rows, segments=tuple(segments), vias=vias, guard_traces=(True, True), bus_to=last, bus_nm=covered
    )


def bus_row(context: LayoutContext, index: int) -> int:
    """The row of a track of the bus below the upper edge of its cell."""
    return FIRST_BUS_ROW + (1 if context.line_guards_on_bus else 0) + BUS_STEP * index


def _stretches(strip: StripPlan, index: int, net: str, columns: int) -> list[tuple[int, int, str]]:
    """From column to column the nets of one track of the bus: the first two are the pair, which a changeover breaks."""
    if index >= len(BUS):
        return [(0, columns, net)]
    if strip.onward == strip.resting:
        return [(0, columns, strip.onward[index])]
    found = [(columns // 2 - ONWARD_FROM, columns, strip.onward[index])]
    return found if strip.resting is None else [(0, RESTING_TO, strip.resting[index]), *found]


def _earth(context: LayoutContext, task: CellTask) -> CellTask:
    """The stud below the earth track at the edge of the board, then what joins earth to 0V, all in surge copper."""
    columns, wide = context.columns, context.rules.surge_nm
    column = columns - STUD_COLUMNS
    parts, segments = [], []
    rows, guard_row = STUD_ROW + STUD_FOOT + GUARD_HEAD, STUD_ROW + STUD_FOOT
    for part in task.parts:
        if len(part.footprint.pads) == 1:
            parts.append(replace(part, fixed=(column, STUD_ROW, 0)))
            track_row = -context.tubes.foot(to_the_side=True)
            ends = on_grid(column, track_row), on_grid(column, STUD_ROW)
            segments.append(Segment(1, *ends, wide, EARTH, surge=True))
            continue
        joined = _joined_level(context, part) or _joined_upright(context, part)
        parts.append(joined.part)
        segments += joined.segments
        rows, guard_row = joined.rows, joined.row
    # the upper end of the right guard trace: one piece on both sides, however short the cell below is
    top, foot_end = on_grid(columns, guard_row), on_grid(columns, rows)
    segments += [Segment(side, top, foot_end, GUARD_NM, ZERO) for side in (0, 1)]
    # clear of the hole of a pin beside the upper end
    vias = ((on_grid(columns, rows - GUARD_HEAD // 2), ZERO),)
    return replace(task, rows=rows, parts=tuple(parts), segments=tuple(segments), vias=vias, guard_traces=(True, False))


class _Joined(NamedTuple):
    """What joins earth to 0V in its place, its copper, the row of its pin on 0V, and the rows of the cell."""

    part: PartTask
    segments: tuple[Segment, ...]
    row: int
    rows: int


def _joined_level(context: LayoutContext, part: PartTask) -> _Joined | None:
    """Level below the stud with its pin on 0V at the right; None where it is too long, and no way round it is left."""
    rotation, wide = 0 if part.nets[0] == EARTH else 2, context.rules.surge_nm
    footprint = rotated(part.footprint, rotation)
    pads = dict(zip(part.nets, footprint.pads, strict=True))
    span = round((pads[ZERO].x_nm - pads[EARTH].x_nm) / GRID_NM)
    column = context.columns - JOIN_COLUMNS
    if column - span < LEAST_EARTH_COLUMN or pads[ZERO].y_nm != pads[EARTH].y_nm:
        return None
    _, low, _, top = hull(footprint.courtyard)
    keep = context.rules.surge_clearance_nm + SURGE_SLACK_NM + pads[ZERO].width_nm // 2
    row = STUD_ROW + math.ceil((STUD_NM + max(top + COURTYARD_NM, keep)) / GRID_NM)
    stud, earth = on_grid(context.columns - STUD_COLUMNS, STUD_ROW), on_grid(column - span, row)
    slant = min(abs(earth[0] - stud[0]), earth[1] - stud[1])
    bend = stud[0] + (slant if earth[0] > stud[0] else -slant), stud[1] + slant
    ends = [pair for pair in pairwise((stud, bend, earth)) if pair[0] != pair[1]]
    segments = (
        *(Segment(1, *pair, wide, EARTH, surge=True) for pair in ends),
        # to the guard trace, whose upper end this is; the round end stays on the board
        Segment(1, on_grid(column - 1, row), on_grid(column, row), wide, ZERO, surge=True),
    )
    rows = row + max(JOIN_FOOT, math.ceil(-low / GRID_NM))
    at = column - round(pads[ZERO].x_nm / GRID_NM), row, rotation
    return _Joined(replace(part, fixed=at), segments, row, rows)


def _joined_upright(context: LayoutContext, part: PartTask) -> _Joined:
    """Upright below the stud, its pin on 0V at the foot."""
    column, wide = context.columns - STUD_COLUMNS, context.rules.surge_nm
    rotation = 3 if part.nets[0] == EARTH else 1
    pads = {net: pad for pad, net in zip(rotated(part.footprint, rotation).pads, part.nets, strict=True)}
    origin = JOIN_ROW + round(pads[EARTH].y_nm / GRID_NM)
    foot_nm = origin * GRID_NM - pads[ZERO].y_nm
    foot = round(foot_nm / GRID_NM)
    segments = (
        Segment(1, on_grid(column, STUD_ROW), on_grid(column, JOIN_ROW), wide, EARTH, surge=True),
        Segment(1, on_grid(column, foot), on_grid(context.columns - 2, foot), wide, ZERO, surge=True),
    )
    rows = -(-foot_nm // GRID_NM) + GUARD_HEAD
    return _Joined(replace(part, fixed=(column, origin, rotation)), segments, rows - GUARD_HEAD, rows)


def _entry(context: LayoutContext, task: CellTask, aside: int) -> CellTask:
    """Terminals at the foot, so many columns right of the middle; the guard trace stops short of the screws.

    A surge's 0V comes to each.
    """
    if not task.parts:
        return _with_rail(context, replace(task, rows=ENTRY_ROWS, guard_to=SCREW_ROWS))
    if len(task.parts) == 1 and len(task.parts[0].footprint.pads) > 1:
        part = task.parts[0]
        left, _, right, _ = rotated(part.footprint, 0).body
        column = round(context.columns / 2 + aside - (left + right) / 2 / GRID_NM)
        # more than two lines come in another order than that of the pads, and change places above them
        more = 0 if len(task.above) <= FEW_LINES else ROWS_OF_A_LINE * len(task.above)
        part = replace(part, fixed=(column, ENTRY_PAD_ROW + more, 0))
        return _with_rail(context, replace(task, rows=ENTRY_ROWS + more, parts=(part,), guard_to=SCREW_ROWS))
    return _studs(context, task, aside)


def _studs(context: LayoutContext, task: CellTask, aside: int) -> CellTask:
    """Studs side by side where the strip is wide enough, that on 0V at the right; else one above the other."""
    middle, parts = context.columns // 2 + aside, task.parts
    apart = studs_apart(context, [part.footprint for part in parts])
    if apart:
        order = sorted(parts, key=lambda part: part.nets == (ZERO,))
        left = middle - apart * (len(parts) - 1) // 2
        places = [(left + apart * order.index(part), STUD_FIRST) for part in parts]
    else:
        places = [(middle, STUD_FIRST + STUD_STEP * number) for number in range(len(parts))]
    rows = STUD_FIRST + max(row for _, row in places)
    segments = []
    for part, (column, row) in zip(parts, places, strict=True):
        if context.surge_to_cable and part.nets == (ZERO,):
            # to the bar at the edge of the board, as level as the screw beside it allows
            level = min(row, rows - BAR_FOOT)
            ends = on_grid(column, level), on_grid(context.columns, level)
            segments.append(Segment(1, *ends, context.rules.surge_nm, ZERO, surge=True))
    fixed = tuple(replace(part, fixed=(*place, 0)) for part, place in zip(parts, places, strict=True))
    return replace(task, rows=rows, parts=fixed, segments=tuple(segments), guard_to=SCREW_ROWS)


def studs_apart(context: LayoutContext, studs: Sequence[Footprint]) -> int:
    """Columns from one stud of an entry to the next beside it; 0 where they do not stand side by side."""
    boxes = [hull(rotated(stud, 0).courtyard) for stud in studs]
    step = max(math.ceil((right - left) / GRID_NM) for left, _, right, _ in boxes)
    room = context.columns * GRID_NM - GUARD_NM
    return step if len(studs) > 1 and step * len(studs) * GRID_NM <= room else 0


def _with_rail(context: LayoutContext, task: CellTask) -> CellTask:
    """Where earth is joined to 0V, an entry with the rail on top that leads a surge to the screws on 0V."""
    if not context.surge_to_cable or not context.has_terminals:
        return task
    row = task.rows - RAIL_FOOT
    wide = context.rules.surge_nm
    rail = [Segment(0, on_grid(0, row), on_grid(task.columns, row), wide, ZERO, surge=True)]
    for part in task.parts:
        column, foot, rotation = part.fixed or (0, 0, 0)
        pads = [pad.x_nm + column * GRID_NM for pad in part.rotated(rotation).pads]
        at = dict(zip(pads, part.nets, strict=True))
        for x in (x for x, net in at.items() if part.solid and net == ZERO):
            sides = (0,) if _cuts_off(task, at, x) else (0, 1)
            ends = (x, row * GRID_NM), (x, foot * GRID_NM)
            rail += [Segment(side, *ends, wide, ZERO, surge=True) for side in sides]
    return replace(task, segments=tuple(rail))


def _cuts_off(task: CellTask, pads: Mapping[int, LocalNet | None], x: int) -> bool:
    """Whether upright copper there lies between a line and the pad it goes to."""
    lines = [(pin.column * GRID_NM, pad) for pin in task.above for pad, net in pads.items() if net == pin.net]
    return any(min(line) <= x <= max(line) for line in lines)


def filler(below: StripCell, rows: int, guard_from: int) -> StripCell:
    """A cell of so many rows that lets everything pass straight to the cell below it."""
    task, pins = below.task, below.task.above
    empty = CellTask(
        "filler", task.columns, rows, (), pins, pins, (), (), (True, True), task.net_classes, guard_from,
        place="filler",
    )  # fmt: skip
    return StripCell(empty, below.nets, ())

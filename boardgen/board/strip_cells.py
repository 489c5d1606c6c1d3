"""Turns the cells of a strip into tasks: which nets cross which edge, and what is drawn before the search begins."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
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
from boardgen.board.end_cells import earth, entry
from boardgen.board.layout_context import LayoutContext
from boardgen.board.port_cell import PAIR_COLUMNS, bare_port, protected_port
from boardgen.board.routing_grid import SLACK_NM
from boardgen.board.rules import BUS_TRACK_NM, GRID_NM, GUARD_NM, TrackClass
from boardgen.board.strips import StripPlan, ends_a_wire
from boardgen.kinds import kind_of
from boardgen.model.cell import Cell, CellPart, Pair
from boardgen.model.netlist import Component
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

BELOW_PORT = 1
"""Rows from the foot of the port's cell to the guard trace and pour of the next."""


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
        task = earth(context, task)
    elif cell.place == "entry":
        task = entry(context, task, strip.entry_aside)
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


def filler(below: StripCell, rows: int, guard_from: int) -> StripCell:
    """A cell of so many rows that lets everything pass straight to the cell below it."""
    task, pins = below.task, below.task.above
    empty = CellTask(
        "filler", task.columns, rows, (), pins, pins, (), (), (True, True), task.net_classes, guard_from,
        place="filler",
    )  # fmt: skip
    return StripCell(empty, below.nets, ())

"""Turns the cells of a strip into jobs: which nets cross which edge, and what is drawn before the search begins."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from boardgen.board.cell_task import EARTH, FENCE_MM, ZERO, Drawn, Job, PortJob, SeatJob, Token
from boardgen.board.port_cell import PAIR, Tubes, bare_head, head
from boardgen.board.rotated_footprint import shape
from boardgen.board.routing_grid import GRID_MM, Class
from boardgen.board.rules import Rules
from boardgen.board.strips import StripPlan
from boardgen.model.cell import Cell, CellPart
from boardgen.model.netlist import Component, Netlist
from boardgen.model.part import Footprint
from boardgen.model.wiring import BUS
from boardgen.stages.line_nets import COIL_SUPPLY, FEED, FEED_LINE, FEED_LINE_SHARED, FEED_SHARED

RAIL_MM = 1.5
FIRST_RAIL, RAIL_STEP, UNDER_RAILS = 5, 3, 2
RAIL_AWAY = 1
"""Rows from the foot of the port's cell to the fence and pour of the next."""
ENTRY_ROWS, ENTRY_PAD_ROW, SCREW_ROWS = 17, 9, 12
FEW_LINES, ROWS_OF_A_LINE = 2, 2
STUD_ROW, JOIN_ROW = 10, 21
RESTING_TO, ONWARD_FROM = 4, 2
"""A broken rail ends at this column, and starts again so far left of the strip's middle."""
STUD_FIRST, STUD_STEP = 9, 17
EARTH_LANE = 4
"""Column of thin earth copper: a surge's clearance from the fence and from the pads of a core."""
BY_STUD = 5
"""The column about which the pair passes the stud."""
FENCE_HEAD = 4
STUD_COLUMNS = 7
"""The stud's centre lies so far from the right edge of the output's strip."""


class Context(Struct, frozen=True):
    """What all strips of a board share.

    `pads` are the nets of each part's pads; `rails` those that run across the board at the bus, top to bottom.
    """

    netlist: Netlist
    footprints: Mapping[str, Footprint]
    kinds: Mapping[str, str]
    pads: Mapping[str, tuple[str | None, ...]]
    rules: Rules
    columns: int
    rails: tuple[str, ...]
    across: bool = False
    """Whether the guards stand across the rails instead of below them."""
    thorough: bool = False
    """Whether every arrangement of a cell is tried."""
    tubes: Tubes = Tubes()
    ends_nm: int = 0
    """Width of the widest part at the ends of the strips."""

    @property
    def has_earth(self) -> bool:
        """Whether there is an earth rail."""
        return "earth" in self.kinds


def pad_nets(netlist: Netlist, footprints: Mapping[str, Footprint]) -> dict[str, tuple[str | None, ...]]:
    """The net of each pad by designator, in the footprint's order."""
    found = {}
    for component in netlist.components:
        net_of = {component.part.pins[role]: net for role, net in netlist.joins[component.ref].items()}
        pads = footprints[component.part.footprint].pads
        found[component.ref] = tuple(net_of.get(pad.number) for pad in pads)
    return found


class CellJob(Struct):
    """A job with the names that its tokens stand for."""

    job: Job
    names: dict[Token, str]
    refs: tuple[Component, ...]


class Names:
    """Gives the nets of a cell their tokens in the order they are met."""

    def __init__(self, kinds: Mapping[str, str]) -> None:
        self.kinds = kinds
        self.tokens: dict[str, Token] = {"0V": ZERO, "earth": EARTH}

    def token(self, net: str) -> Token:
        """The token of a net."""
        if net not in self.tokens:
            self.tokens[net] = (self.kinds[net], len(self.tokens))
        return self.tokens[net]

    @property
    def names(self) -> dict[Token, str]:
        """Nets by token."""
        return {token: net for net, token in self.tokens.items()}


def cells(context: Context, strip: StripPlan) -> list[Cell]:
    """The cells of a strip from top to foot; the bus among them."""
    if context.across:
        guards, *others = strip.lower
        return [*strip.upper, Cell("rails", guards.parts), *others]
    return [*strip.upper, Cell("rails"), *strip.lower]


def cell_jobs(context: Context, strip: StripPlan) -> list[CellJob]:
    """The jobs of a strip from top to foot; the bus among them, the fillers not yet."""
    of_strip = cells(context, strip)
    nets = [_nets(context, strip, cell) for cell in of_strip]
    pair: tuple[str, str] | None = None
    found: list[CellJob] = []
    above: list[tuple[str, int, int]] = []
    for index, cell in enumerate(of_strip):
        pair = cell.inward or pair
        crossing = set().union(*nets[: index + 1]) & set().union(*nets[index + 1 :]) - {"0V"}
        if cell.stage == "rails":
            pair = None
        if index + 1 == len(of_strip):
            crossing = set()
        crossed = any(later.crossed for later in of_strip[index + 1 :])
        before_stud = index + 1 < len(of_strip) and of_strip[index + 1].stage == "earth"
        middle = BY_STUD if before_stud else context.columns // 2
        if before_stud:
            # the rail comes down to the stud as wide copper
            crossing = crossing - {"earth"}
        below = _ports(context, strip, crossing, pair if index < len(strip.upper) else None, crossed, middle)
        found.append(_job(context, strip, cell, above, below, crossed or cell.crossed))
        above = below
    return found


def _nets(context: Context, strip: StripPlan, cell: Cell) -> set[str]:
    """The nets that have copper of their own in a cell."""
    found = {*context.rails[len(BUS) :], *strip.pairs} if cell.stage == "rails" else set()
    found |= {net for seat in cell.parts for net in context.pads[seat.component.ref] if net}
    if cell.stage == "port" and context.has_earth:
        found.add("earth")
    return found - {"earth"} if cell.stage == "earth" else found


def _ports(
    context: Context,
    strip: StripPlan,
    crossing: set[str],
    pair: tuple[str, str] | None,
    crossed: bool,
    middle: int,
) -> list[tuple[str, int, int]]:
    """Net, column and side of everything that crosses an edge: the pair about the middle, lines at the sides."""
    ports = []
    if pair:
        half = (PAIR if middle > 2 * PAIR else 2) * (1 if crossed else -1)
        ports = [(pair[0], middle + half, 0), (pair[1], middle - half, 0)]
        crossing = crossing - set(pair)
    kinds = dict(context.rules.kinds)
    left, right = 2, context.columns - 2
    # beside a core where no other line needs the left side, else in the middle
    alone = all(net == "earth" or context.kinds[net] == "feed" for net in crossing)
    for net in sorted(crossing, key=lambda net: line_order(net, context)):
        # a wide track keeps off the fence, and so does its neighbour from it
        more = more_columns(kinds[context.kinds[net]].track)
        if net == "earth":
            ports.append((net, EARTH_LANE if alone and not strip.is_output else context.columns // 2, 1))
        elif context.kinds[net] == "feed" and not strip.is_output:
            ports.append((net, right - more, 1))
            right -= 2 + 2 * more
        else:
            ports.append((net, left + more, 1))
            left += 2 + 2 * more
    return ports


def more_columns(track: Class) -> int:
    """So much further than two columns from the fence the middle of a track lies that is wide."""
    return max(0, math.ceil((FENCE_MM / 2 + track.clear_mm + track.half_mm) / GRID_MM - 1e-6) - 2)


LAST_LINES = frozenset({COIL_SUPPLY, FEED, FEED_LINE, FEED_SHARED, FEED_LINE_SHARED})
"""Lines that come after all others at an edge, by what their nets are called apart from the strip."""


def line_order(net: str, context: Context) -> tuple[bool, bool, str]:
    """The order of the lines at an edge."""
    called = context.netlist.called[net]
    return (called.before or called.after) in LAST_LINES, context.kinds[net] != "control", net


def _job(
    context: Context,
    strip: StripPlan,
    cell: Cell,
    above: Sequence[tuple[str, int, int]],
    below: Sequence[tuple[str, int, int]],
    crossed: bool,
) -> CellJob:
    names = Names(context.kinds)
    ports = [tuple(PortJob(names.token(net), column, side) for net, column, side in edge) for edge in (above, below)]
    seats = tuple(_seat(context, names, seat) for seat in cell.parts)
    after_port = context.has_earth and cell in strip.upper[1:2] and cell != strip.upper[0]
    job = Job(
        cell.stage, context.columns, 0, seats, ports[0], ports[1], (), (), (True, True), context.rules.kinds,
        wall_from=RAIL_AWAY if after_port else 0, thorough=context.thorough,
    )  # fmt: skip
    special = {"earth": _earth, "entry": _entry}.get(cell.stage)
    if cell.stage == "rails":
        job = _rails(context, strip, names, job)
    elif cell.stage == "port" and context.has_earth:
        job = head(job, context.tubes, context.rules.surge_nm / 1e6, crossed=crossed, to_the_side=strip.is_output)
    elif cell.stage == "port":
        job = bare_head(job, crossed=crossed)
    elif special:
        job = special(context, names, job, crossed)
    return CellJob(job, names.names, tuple(seat.component for seat in cell.parts))


def _seat(context: Context, names: Names, seat: CellPart) -> SeatJob:
    """A part lying, or on end where a pattern for that is known; a surge needs the longer way between pads."""
    footprint = context.footprints[seat.component.part.footprint]
    nets = tuple(names.token(net) if net else None for net in context.pads[seat.component.ref])
    upright = context.footprints.get(footprint.upright)
    if upright is None or EARTH in nets:
        return SeatJob(footprint, seat.rotations, nets)
    return SeatJob(footprint, (*seat.rotations, *(4 + turn for turn in seat.rotations)), nets, upright=upright)


def _rails(context: Context, strip: StripPlan, names: Names, job: Job) -> Job:
    """The rails on top across the strip; the fence goes under them. Guards may stand across them."""
    columns = context.columns
    drawn = []
    for index, net in enumerate(context.rails):
        row = rail_row(context, index)
        for start, end, here in _stretches(strip, index, net, columns):
            drawn.append(Drawn(0, (start, row), (end, row), RAIL_MM, names.token(here)))
    first, zero_row = rail_row(context, 0), rail_row(context, len(context.rails) - 1)
    half = RAIL_MM / 2 + context.rules.clear_nm / 1e6
    covered = (round((first * GRID_MM - half) * 1e6), round((zero_row * GRID_MM + half) * 1e6))
    vias = tuple((float(column), float(zero_row), ZERO) for column in (0, columns))
    rows = 0 if job.parts else zero_row + UNDER_RAILS
    return replace(
        job, rows=rows, drawn=tuple(drawn), vias=vias, walls=(True, True), rails_to=zero_row, rails_nm=covered
    )


def rail_row(context: Context, index: int) -> int:
    """The row of a rail below the upper edge of its cell."""
    return FIRST_RAIL + (1 if context.across else 0) + RAIL_STEP * index


def _stretches(strip: StripPlan, index: int, net: str, columns: int) -> list[tuple[int, int, str]]:
    """From column to column the nets of one rail: the first two are the pair, which a changeover breaks."""
    if index >= len(BUS) or strip.onward == strip.resting:
        return [(0, columns, net)]
    found = [(columns // 2 - ONWARD_FROM, columns, strip.onward[index])]
    return found if strip.resting is None else [(0, RESTING_TO, strip.resting[index]), *found]


def _earth(context: Context, names: Names, job: Job, crossed: bool) -> Job:
    """The stud below the earth rail at the edge of the board, then what joins earth to 0V, all in surge copper."""
    columns, wide = context.columns, context.rules.surge_nm / 1e6
    column = columns - STUD_COLUMNS
    seats, drawn = [], []
    rows = STUD_ROW + 10 + FENCE_HEAD
    for seat in job.parts:
        if len(seat.footprint.pads) == 1:
            seats.append(replace(seat, fixed=(column, STUD_ROW, 0)))
            rail = -context.tubes.foot(to_the_side=True)
            drawn.append(Drawn(1, (column, rail), (column, STUD_ROW), wide, EARTH, surge=True))
            continue
        turn = 3 if seat.nets[0] == EARTH else 1
        ends = {net: pad for pad, net in zip(shape(seat.footprint, turn).pads, seat.nets, strict=True)}
        origin = JOIN_ROW + round(ends[EARTH].y_nm / 1e6 / GRID_MM)
        foot = origin - ends[ZERO].y_nm / 1e6 / GRID_MM
        seats.append(replace(seat, fixed=(column, origin, turn)))
        drawn.append(Drawn(1, (column, STUD_ROW), (column, JOIN_ROW), wide, EARTH, surge=True))
        rows = math.ceil(foot) + FENCE_HEAD
        # to the fence, whose upper end this is; the round end stays on the board
        foot = round(foot)
        drawn.append(Drawn(1, (column, foot), (columns - 2, foot), wide, ZERO, surge=True))
    # the upper end of the right fence: one piece on both sides, however short the cell below is
    head = rows - FENCE_HEAD
    drawn += [Drawn(side, (columns, head), (columns, rows), FENCE_MM, ZERO, wall=True) for side in (0, 1)]
    vias = ((float(columns), float(head), ZERO),)
    return replace(job, rows=rows, parts=tuple(seats), drawn=tuple(drawn), vias=vias, walls=(True, False))


def _entry(context: Context, names: Names, job: Job, crossed: bool) -> Job:
    """Terminals at the foot in the middle; the fence stops short of the screws."""
    if not job.parts:
        return replace(job, rows=ENTRY_ROWS, wall_to=SCREW_ROWS)
    if len(job.parts) == 1 and len(job.parts[0].footprint.pads) > 1:
        seat = job.parts[0]
        boxes = shape(seat.footprint, 0).body
        column = round(context.columns / 2 - (boxes[0] + boxes[2]) / 2e6 / GRID_MM)
        # more than two lines come in another order than that of the pads, and change places above them
        more = 0 if len(job.above) <= FEW_LINES else ROWS_OF_A_LINE * len(job.above)
        place = column, ENTRY_PAD_ROW + more, 0
        return replace(job, rows=ENTRY_ROWS + more, parts=(replace(seat, fixed=place),), wall_to=SCREW_ROWS)
    # studs one above the other in the middle, clear of the screws
    seats = tuple(
        replace(seat, fixed=(context.columns // 2, STUD_FIRST + STUD_STEP * number, 0))
        for number, seat in enumerate(job.parts)
    )
    return replace(job, rows=2 * STUD_FIRST + STUD_STEP * (len(seats) - 1), parts=seats, wall_to=SCREW_ROWS)


def filler(below: Job, rows: int, names: dict[Token, str], wall_from: int) -> CellJob:
    """A cell of so many rows that lets everything pass straight to the cell below it."""
    job = Job("filler", below.columns, rows, (), below.above, below.above, (), (), (True, True), below.kinds, wall_from)
    return CellJob(job, names, ())

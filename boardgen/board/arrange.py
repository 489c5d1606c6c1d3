"""Sets the cells of all strips side by side, and makes the copper of the whole board of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from boardgen.board.job import Drawn, Laid, Token
from boardgen.board.jobs import RAIL_MM, CellJob, Context, cell_jobs, filler
from boardgen.board.lay import NoRoomError, earth_nm, lay, stitches
from boardgen.board.maze import VIA_HOLE_MM, VIA_LAND_MM
from boardgen.board.pack import FEW_TRIALS, pack
from boardgen.board.pour import poured
from boardgen.board.rules import Rules
from boardgen.board.shape import moved, shape
from boardgen.board.strips import StripPlan, net_kinds, plan
from boardgen.model.copper import Board, Land, Opening, Point, Region, Standing, Track, Via
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint

GRID_NM = 635_000
MARGIN_NM, ROOMY_NM = 4_200_000, 15_240_000
"""The margin for screws beside the strips, and the strip width below which half of what is missing is added to it."""
SCREW_HOLE_NM, SCREW_KEEP_NM = 3_200_000, 6_400_000
SCREW_IN_NM = 3_300_000
HEADER_NM = 2_540_000
"""Spacing of the upright copper that joins two rows."""
RAIL_NM = round(RAIL_MM * 1e6)
STUB_NM = 4 * 2_540_000
"""Level earth copper shorter than this leads to the stud, longer is the rail."""
COLUMNS = (22, 24, 26, 28, 32, 36, 44)
"""Widths of a strip that are tried, in columns of 0.635 mm: 13.97 to 35.56 mm."""
PATH = ("feed", "braid breaker", "selector")
WAYS: tuple[tuple[tuple[str, ...], bool], ...] = ((), True), (PATH, True), ((), False)
"""Stages whose parts share one cell, so that small ones fill the room beside large ones; guards across the rails."""
ROUTED = 2
"""So many arrangements are drawn, the most promising first; the smallest is kept."""


@dataclass
class Stack:
    """A strip laid out: its cells from the top edge to the foot."""

    cells: list[tuple[CellJob, Laid]]

    @property
    def rows(self) -> int:
        """Height in rows."""
        return sum(laid.rows for _, laid in self.cells)


@dataclass
class Row:
    """Strips side by side, equal in height and with the bus at one height."""

    context: Context
    stacks: list[Stack]

    @property
    def width_nm(self) -> int:
        """Width without margins."""
        return len(self.stacks) * self.context.columns * GRID_NM

    @property
    def margin_nm(self) -> int:
        """Room for screws and the earth bar on either side."""
        return _margin_nm(self.context)

    @property
    def height_nm(self) -> int:
        """Height of the row."""
        return self.stacks[0].rows * GRID_NM


def arrange(netlist: Netlist, footprints: Mapping[str, Footprint], rules: Rules, pour: bool = True) -> Board:
    """The smallest board that a strip width of the list gives. Raises NoRoomError where none does."""
    kinds = net_kinds(netlist)
    rails = tuple(n for n in ("bus centre", "bus braid", "coil supply", "feed shared", "0V") if n in kinds)
    promising: list[tuple[int, Context, list[StripPlan]]] = []
    for together, across in WAYS:
        strips = plan(netlist, together)
        for columns in COLUMNS:
            context = Context(netlist, footprints, kinds, rules, columns, rails, across)
            height = estimate(context, strips)
            if height is not None:
                promising.append((_area(context, len(strips), height), context, strips))
    best: tuple[int, Context, list[Row]] | None = None
    failed, drawn = NoRoomError("no strip width"), 0
    for area, context, strips in sorted(promising, key=lambda each: each[0]):
        if drawn == ROUTED or (best is not None and area >= best[0]):
            break
        try:
            rows = [lay_row(context, part) for part in folded(context, strips)]
        except NoRoomError as error:
            failed = error
            continue
        drawn += 1
        area = _area(context, max(len(row.stacks) for row in rows), sum(row.stacks[0].rows for row in rows))
        if best is None or area < best[0]:
            best = area, context, rows
    if best is None:
        raise failed
    return assemble(best[1], best[2], pour)


def folded(context: Context, strips: list[StripPlan]) -> list[list[StripPlan]]:
    """The strips in one row, or in two where one would be longer than the board house's stated length.

    The lower row, with the output, is the longer one: the earth bar then passes beside the upper.
    """
    if len(strips) * context.columns * GRID_NM * 1e-6 <= context.rules.house.longest or len(strips) < 4:
        return [strips]
    upper = (len(strips) - 1) // 2
    return [strips[:upper], strips[upper:]]


def _area(context: Context, strips: int, rows: int) -> int:
    """Square nanometres of a board of one row."""
    return (strips * context.columns * GRID_NM + 2 * _margin_nm(context)) * rows * GRID_NM


def _margin_nm(context: Context) -> int:
    """Room for screws and the earth bar on either side."""
    return MARGIN_NM + max(0, ROOMY_NM - context.columns * GRID_NM) // 2


def estimate(context: Context, strips: list[StripPlan]) -> int | None:
    """The least rows that the strips may take, from packing alone; None where a part is too wide."""
    heights: list[tuple[int, int, int]] = []
    for strip in strips:
        rows = []
        for cell in cell_jobs(context, strip):
            if not cell.job.seats:
                rows.append(cell.job.rows)
                continue
            packed = pack(cell.job, 0, earth_nm(cell.job), FEW_TRIALS)
            if packed is None:
                return None
            rows.append(packed[0])
        bus = len(strip.upper)
        heights.append((sum(rows[:bus]), sum(rows[bus:-1]), rows[-1]))
    return sum(max(row[part] for row in heights) for part in range(3))


def lay_row(context: Context, strips: list[StripPlan]) -> Row:
    """Every strip laid out, with fillers that bring bus and edge to one height."""
    stacks = [Stack([(cell, _laid(cell)) for cell in cell_jobs(context, strip)]) for strip in strips]
    upper = max(sum(laid.rows for _, laid in s.cells[: _bus(s)]) for s in stacks)
    lower = max(sum(laid.rows for _, laid in s.cells[_bus(s) : -1]) for s in stacks)
    entry = max(s.cells[-1][1].rows for s in stacks)
    for stack in stacks:
        bus = _bus(stack)
        missing = lower - sum(laid.rows for _, laid in stack.cells[bus:-1])
        missing += entry - stack.cells[-1][1].rows
        _fill(stack, len(stack.cells) - 1, missing)
        have = sum(laid.rows for _, laid in stack.cells[:bus])
        at = bus - 1 if stack.cells[bus - 1][0].job.stage == "bus" else bus
        _fill(stack, at, upper - have)
        stack.cells = [(cell, laid) for cell, laid in stack.cells if laid.rows]
    return Row(context, stacks)


def _laid(cell: CellJob) -> Laid:
    """The cell laid out; nothing where it has neither parts nor height."""
    return lay(cell.job) if cell.job.seats or cell.job.rows else Laid(0, (), (), ())


def _bus(stack: Stack) -> int:
    return next(i for i, (cell, _) in enumerate(stack.cells) if cell.job.stage == "rails")


def _fill(stack: Stack, before: int, rows: int) -> None:
    """A filler of so many rows before the cell with that index."""
    if rows > 0:
        below, _ = stack.cells[before]
        edge_free = before > 0 and not stack.cells[before - 1][0].job.walls[1]
        cell = filler(below.job, rows, below.names, edge_free)
        stack.cells.insert(before, (cell, lay(cell.job)))


def assemble(context: Context, rows: list[Row], pour: bool) -> Board:
    """The board's copper: every cell put in its place, screws at the corners, the earth bar at the side."""
    margin = rows[0].margin_nm
    header = HEADER_NM * (len(context.rails) + 1) if len(rows) > 1 else 0
    width = max(row.width_nm for row in rows) + 2 * margin + header
    height = sum(row.height_nm for row in rows)
    maker = _Maker()
    regions: list[Region] = []
    top = height
    for row in rows:
        for number, stack in enumerate(row.stacks):
            left = margin + header + number * context.columns * GRID_NM
            y = top
            for cell, laid in stack.cells:
                maker.add(cell, laid, left, y, number + 1 == len(row.stacks))
                if pour:
                    regions += poured(cell.job, laid, left, y)
                y -= laid.rows * GRID_NM
        top -= row.height_nm
    maker.bar()
    if header:
        maker.header(context.rails, margin + header)
    corners = [
        (x, y)
        for x in (SCREW_IN_NM, width - SCREW_IN_NM)
        for y in (SCREW_IN_NM + 200_000, height - SCREW_IN_NM - 200_000)
    ]
    return Board(
        title=context.netlist.title,
        revision=context.netlist.revision,
        width_nm=width,
        height_nm=height,
        tracks=merged(maker.tracks),
        lands=tuple(maker.lands),
        vias=tuple(dict.fromkeys(maker.vias)),
        regions=tuple(regions),
        openings=tuple(Opening(at, SCREW_HOLE_NM, SCREW_KEEP_NM) for at in corners),
        standings=tuple(maker.standings),
        facts={
            "pitch_m": context.columns * GRID_NM * 1e-9,
            "strips": sum(len(row.stacks) for row in rows),
            "rows": len(rows),
        },
    )


class _Maker:
    def __init__(self) -> None:
        self.tracks: list[Track] = []
        self.lands: list[Land] = []
        self.vias: list[Via] = []
        self.standings: list[Standing] = []

    def add(self, cell: CellJob, laid: Laid, left: int, top: int, last: bool) -> None:
        names = cell.names
        for drawn in laid.tracks:
            self.tracks.append(_track(drawn, names, left, top))
        for column, row, net in (*laid.vias, *stitches(cell.job, laid.rows, last)):
            at = (left + round(column * GRID_NM), top - round(row * GRID_NM))
            self.vias.append(Via(at, round(VIA_LAND_MM * 1e6), round(VIA_HOLE_MM * 1e6), names[net]))
        for component, seat, (column, row, turn) in zip(cell.refs, cell.job.seats, laid.places, strict=True):
            x, y = left + column * GRID_NM, top - row * GRID_NM
            form = shape(seat.footprint, turn)
            for pad, token in zip(form.pads, seat.nets, strict=True):
                at = (x + pad.x_nm, y + pad.y_nm)
                hole = pad.hole_nm or 0
                name = names[token] if token else ""
                self.lands.append(Land(component.ref, pad.number, at, pad.width_nm, pad.height_nm, hole, name))
            self.standings.append(
                Standing(
                    component.ref, seat.footprint.key, (x, y), turn, moved(form.body, x, y),
                    seat.footprint.body_height_nm, component.fitted, component.part.kind,
                )
            )  # fmt: skip

    def bar(self) -> None:
        """Earth copper that comes out of the last strip is led up its side, to the rail of every row."""
        level = [t for t in self.tracks if t.net == "earth" and t.surge and t.start[1] == t.end[1]]
        out = next((t for t in level if t.end[0] - t.start[0] < STUB_NM), None)
        rails: dict[int, Track] = {}
        for track in level:
            if track is not out and (track.start[1] not in rails or track.start[0] < rails[track.start[1]].start[0]):
                rails[track.start[1]] = track
        if out is None:
            return
        far = out.end[0]
        self.tracks.append(replace(out, start=(far, max(rails)), end=out.end))
        self.tracks += [replace(rail, end=(far, y)) for y, rail in rails.items()]

    def header(self, nets: tuple[str, ...], left: int) -> None:
        """Upright copper on the bottom at the left that joins the rails of two rows, one column a net."""
        for number, net in enumerate(nets, 1):
            # half a column off, since the earth rail's end is near
            x = left - number * HEADER_NM - HEADER_NM // 2
            rails = {
                t.start[1]: t for t in self.tracks if t.net == net and t.start[0] == left and t.width_nm == RAIL_NM
            }
            top, foot = max(rails), min(rails)
            for y, rail in rails.items():
                self.tracks.append(replace(rail, start=(x, y), end=(left, y)))
                self.vias.append(Via((x, y), round(VIA_LAND_MM * 1e6), round(VIA_HOLE_MM * 1e6), net))
            self.tracks.append(Track("bottom", (x, foot), (x, top), RAIL_NM, net))


def _track(drawn: Drawn, names: Mapping[Token, str], left: int, top: int) -> Track:
    ends = [(left + round(x * GRID_NM), top - round(y * GRID_NM)) for x, y in (drawn.start, drawn.end)]
    return Track(
        ("top", "bottom")[drawn.side], ends[0], ends[1], round(drawn.width_mm * 1e6), names[drawn.net], drawn.surge
    )


def merged(tracks: list[Track]) -> tuple[Track, ...]:
    """Straight tracks of one net and width that touch end to end, or lie on each other, made into one."""
    lines: dict[tuple[Track, Point, int], list[tuple[int, int]]] = {}
    found = []
    for track in tracks:
        (x1, y1), (x2, y2) = sorted((track.start, track.end))
        kind = replace(track, start=(0, 0), end=(0, 0))
        if x1 == x2:
            lines.setdefault((kind, (0, 1), x1), []).append((y1, y2))
        elif y1 == y2:
            lines.setdefault((kind, (1, 0), y1), []).append((x1, x2))
        elif abs(x2 - x1) == abs(y2 - y1):
            rise = 1 if y2 > y1 else -1
            lines.setdefault((kind, (1, rise), y1 - rise * x1), []).append((x1, x2))
        else:
            found.append(track)
    for (kind, (across, rise), at), spans in lines.items():
        for low, high in _joined(spans):
            if not across:
                found.append(replace(kind, start=(at, low), end=(at, high)))
            else:
                found.append(replace(kind, start=(low, at + rise * low), end=(high, at + rise * high)))
    return tuple(found)


def _joined(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found

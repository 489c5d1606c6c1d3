"""Makes the copper of the whole board of its cells, each put in its place."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from boardgen.board.cell_task import ZERO, LocalNet, Segment
from boardgen.board.layout_context import LayoutContext
from boardgen.board.mounting import SCREW_HOLE_NM, SCREW_KEEPOUT_NM, PlacedCell, mounting, placed_cells, reach_nm
from boardgen.board.pour import in_place, poured
from boardgen.board.rotated_footprint import moved
from boardgen.board.router import stitching_vias
from boardgen.board.rules import BUS_TRACK_NM, GRID_NM, GUARD_NM, VIA_HOLE_NM, VIA_PAD_NM
from boardgen.board.strip_cells import bus_row
from boardgen.board.strip_rows import StripRow
from boardgen.model.copper import (
    SIDES,
    Board,
    Bus,
    LayoutFacts,
    MountingHole,
    PlacedPad,
    PlacedPart,
    PointNm,
    Region,
    Side,
    Track,
    Via,
)
from boardgen.model.wiring import BUS

BAR_COLUMNS = 3
"""The earth bar beside two rows lies so far right of the last strip."""
HEADER_NM = 2_540_000
"""Spacing of the upright copper that joins two rows."""
BAR_VIA_NM, BAR_VIAS_NM = 600_000, (-600_000, 600_000, 1_800_000)
"""Of the vias between rail and bar: how far beside its middle, and how far above that of the rail."""
_Line = tuple[Side, int, str, bool, int, int, int]
"""What tracks that become one have in common: side, width, net, surge; across and up by step; where it begins."""


def assemble(context: LayoutContext, rows: list[StripRow], pour: bool) -> Board:
    """The board's copper: every cell put in its place, with its screws, and the earth bar beside two rows."""
    header = HEADER_NM * (len(context.bus) + 1) if len(rows) > 1 else 0
    size, screws = mounting(context, rows, header)
    left = size.margin + header
    copper = _Copper()
    regions: list[Region] = []
    bus_tops: dict[int, None] = {}
    for placed in placed_cells(context, rows, left, size.height):
        copper.add(placed)
        if placed.cell.task.place == "bus":
            bus_tops[placed.top] = None
        if pour:
            regions += in_place(poured(placed.cell.task, placed.routed), placed.left, placed.top)
    feet = [sum(row.height_nm + reach_nm(context) for row in rows[number + 1 :]) for number in range(len(rows))]
    for row, foot in zip(rows, feet, strict=True):
        copper.clip_bus(size.margin, left + row.width_nm, foot, foot + row.height_nm)
    if context.surge_to_cable:
        copper.join_zero(left + rows[-1].width_nm, rows[-1].height_nm, context.rules.surge_nm)
    copper.join_earth(max(row.width_nm for row in rows) + left + BAR_COLUMNS * GRID_NM)
    if header:
        copper.join_rows(context.bus, left)
        copper.join_rails(_header_x(left, len(context.bus) - 1))
    return Board(
        title=context.netlist.title,
        revision=context.netlist.revision,
        width_nm=size.width,
        height_nm=size.height,
        tracks=merged(copper.tracks),
        pads=tuple(copper.pads),
        vias=tuple(dict.fromkeys(copper.vias)),
        regions=tuple(regions),
        mounting_holes=tuple(MountingHole(at, SCREW_HOLE_NM, SCREW_KEEPOUT_NM) for at in screws),
        parts=tuple(copper.parts),
        layout=LayoutFacts(
            pitch_nm=context.columns * GRID_NM,
            widest_nm=max(strip.columns for row in rows for strip in row.strips) * GRID_NM,
            lefts_nm=tuple(left + right for right in max((row.lefts_nm for row in rows), key=len)),
            strips=sum(len(row.strips) for row in rows),
            rows=len(rows),
            along_nm=_along(rows),
            bus=_bus(context, tuple(bus_tops), left),
        ),
    )


def _bus(context: LayoutContext, tops_nm: tuple[int, ...], left_nm: int) -> Bus | None:
    """Where the pair of the bus runs, from the upper edges of its cells and the left edge of the strips."""
    if not set(BUS) <= set(context.bus):
        return None
    centre, braid = (context.bus.index(net) for net in BUS)
    down = [GRID_NM * bus_row(context, index) for index in (centre, braid)]
    rows = tuple((top - down[0], top - down[1]) for top in tops_nm)
    return Bus(rows, BUS_TRACK_NM, _header_x(left_nm, centre))


def _header_x(left_nm: int, index: int) -> int:
    """Where the upright copper of a bus track lies; half a column off, since the end of the earth track is near."""
    return left_nm - (index + 1) * HEADER_NM - HEADER_NM // 2


def _along(rows: list[StripRow]) -> tuple[tuple[str, int], ...]:
    """What the strip with the least empty room takes along its length, by stage, in nanometres."""
    strips = [strip for row in rows for strip in row.strips]
    fullest = min(strips, key=lambda s: sum(routed.rows for cell, routed in s.cells if cell.task.place == "filler"))
    return tuple({cell.task.stage: routed.rows * GRID_NM for cell, routed in fullest.cells}.items())


class _Copper:
    """The copper of a board as it grows, cell by cell."""

    def __init__(self) -> None:
        self.tracks: list[Track] = []
        self.pads: list[PlacedPad] = []
        self.vias: list[Via] = []
        self.parts: list[PlacedPart] = []
        self.bus_tracks: set[Track] = set()
        self.rails: set[Track] = set()
        self.earth_tracks: set[Track] = set()

    def add(self, placed: PlacedCell) -> None:
        """The copper and the parts of one more cell."""
        cell, routed, left, top, last = placed
        nets = cell.nets
        tracks = [_track(segment, nets, left, top) for segment in routed.segments]
        self.tracks += tracks
        if cell.task.place == "bus":
            # what is given comes first
            self.bus_tracks.update(tracks[: len(cell.task.segments)])
        if cell.task.place == "entry":
            self.rails.update(track for track in tracks if track.surge and track.start[1] == track.end[1])
        if cell.task.place == "port":
            self.earth_tracks.update(t for t in tracks if t.net == "earth" and t.surge and t.start[1] == t.end[1])
        for (x, y), net in (*routed.vias, *stitching_vias(cell.task, routed.rows, last)):
            self.vias.append(Via((left + x, top - y), VIA_PAD_NM, VIA_HOLE_NM, nets[net]))
        for component, part, (column, row, rotation) in zip(
            cell.components, cell.task.parts, routed.places, strict=True
        ):
            x, y = left + column * GRID_NM, top - row * GRID_NM
            footprint = part.rotated(rotation)
            for pad, local in zip(footprint.pads, part.nets, strict=True):
                at = (x + pad.x_nm, y + pad.y_nm)
                net_name, size = nets[local] if local else "", (pad.width_nm, pad.height_nm, pad.hole_nm or 0)
                is_solid = part.solid and local == ZERO
                self.pads.append(PlacedPad(component.ref, pad.number, at, *size, net_name, is_solid))
            self.parts.append(
                PlacedPart(
                    component.ref, footprint.footprint.key, (x, y), footprint.rotation, moved(footprint.body, x, y),
                    footprint.footprint.body_height_nm, component.fitted, component.part.kind,
                )
            )  # fmt: skip

    def clip_bus(self, left: int, right: int, foot: int, top: int) -> None:
        """What is wider than the guard trace in which a row ends, bus and rail, reaches no further than its edge."""
        for index, track in enumerate(self.tracks):
            kept = self.bus_tracks if track in self.bus_tracks else self.rails
            if track in kept and foot < track.start[1] < top:
                (x1, y), (x2, _), over = track.start, track.end, (track.width_nm - GUARD_NM) // 2
                x1 = x1 + over if x1 == left else x1
                x2 = x2 - over if x2 == right else x2
                self.tracks[index] = replace(track, start=(x1, y), end=(x2, y))
                kept.add(self.tracks[index])

    def join_zero(self, right: int, top: int, wide: int) -> None:
        """A bar of 0V outside of the last guard trace, from what joins earth to 0V down to the rail or the stud.

        The rail lies on top and the bar below: vias join them, whose walls together are as thick as the copper.
        """
        bar = right + (wide - GUARD_NM) // 2
        levels = []
        for index, track in enumerate(self.tracks):
            (x1, y), (x2, _) = track.start, track.end
            if track.net == "0V" and track.surge and track.end[1] == y < top and max(x1, x2) > right - wide:
                self.tracks[index] = replace(track, start=(x1, y), end=(bar, y))
                levels.append(y)
                if track.side == "top":
                    self.tracks.append(replace(track, start=(bar, y), end=(bar, y + BAR_VIAS_NM[-1])))
                    places = [(bar + x, y + up) for up in BAR_VIAS_NM for x in (-BAR_VIA_NM, BAR_VIA_NM)]
                    self.vias += [Via(at, VIA_PAD_NM, VIA_HOLE_NM, "0V") for at in places]
        if levels:
            self.tracks.append(Track("bottom", (bar, max(levels)), (bar, min(levels)), wide, "0V", surge=True))

    def join_earth(self, bar: int) -> None:
        """Each earth track from its first to its last part; those of two rows are led to the bar beside the rows."""
        level = {track.start[1]: track for track in self.tracks if track in self.earth_tracks}
        self.tracks = [track for track in self.tracks if track not in self.earth_tracks]
        ends = [pad.at for pad in self.pads if pad.net == "earth"]
        ends += [end for track in self.tracks if track.net == "earth" for end in (track.start, track.end)]
        for y, track in level.items():
            across = [x for x, at in ends if at == y] + ([bar] if len(level) > 1 else [])
            self.tracks.append(replace(track, start=(min(across), y), end=(max(across), y)))
        if len(level) > 1:
            track = next(iter(level.values()))
            self.tracks.append(replace(track, start=(bar, max(level)), end=(bar, min(level))))

    def join_rows(self, nets: tuple[str, ...], left: int) -> None:
        """Upright copper on the bottom at the left that joins the bus tracks of two rows, one column a net."""
        for index, net in enumerate(nets):
            x = _header_x(left, index)
            level = {t.start[1]: t for t in self.tracks if t.net == net and t.start[0] == left and t in self.bus_tracks}
            top, foot = max(level), min(level)
            for y, track in level.items():
                self.tracks.append(replace(track, start=(x, y), end=(left, y)))
                self.vias.append(Via((x, y), VIA_PAD_NM, VIA_HOLE_NM, net))
            self.tracks.append(Track("bottom", (x, foot), (x, top), BUS_TRACK_NM, net))

    def join_rails(self, x: int) -> None:
        """Upright copper on top, beside all other, that leads a surge from the rail of one row to that of the other."""
        rails = {t.start[1]: t for t in sorted(self.rails.intersection(self.tracks), key=lambda t: -t.start[0])}
        if len(rails) > 1:
            self.tracks += [replace(track, start=(x, y), end=track.start) for y, track in rails.items()]
            self.tracks.append(replace(next(iter(rails.values())), start=(x, min(rails)), end=(x, max(rails))))


def _track(segment: Segment, nets: Mapping[LocalNet, str], left: int, top: int) -> Track:
    def place(end: PointNm) -> PointNm:
        return left + end[0], top - end[1]

    ends = place(segment.start), place(segment.end)
    return Track(SIDES[segment.side], *ends, segment.width_nm, nets[segment.net], segment.surge)


def merged(tracks: list[Track]) -> tuple[Track, ...]:
    """Straight tracks of one net and width that touch end to end, or lie on each other, made into one."""
    lines: dict[_Line, list[tuple[int, int]]] = {}
    found = []
    for track in tracks:
        (x1, y1), (x2, y2) = track.start, track.end
        if track.end < track.start:
            x1, y1, x2, y2 = x2, y2, x1, y1
        if x1 == x2:
            line, span = (0, 1, x1), (y1, y2)
        elif y1 == y2:
            line, span = (1, 0, y1), (x1, x2)
        elif abs(y2 - y1) == x2 - x1:
            rise = 1 if y2 > y1 else -1
            line, span = (1, rise, y1 - rise * x1), (x1, x2)
        else:
            found.append(track)
            continue
        lines.setdefault((track.side, track.width_nm, track.net, track.surge, *line), []).append(span)
    for (side, width, net, surge, across, rise, at), spans in lines.items():
        for low, high in _joined(spans):
            start, end = ((low, at + rise * low), (high, at + rise * high)) if across else ((at, low), (at, high))
            found.append(Track(side, start, end, width, net, surge))
    return tuple(found)


def _joined(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found

"""Makes the copper of the whole board of its cells, each put in its place."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from boardgen.board.cell_layout import GRID_NM, stitches
from boardgen.board.cell_task import FENCE_MM, Drawn, Token
from boardgen.board.merge import merged
from boardgen.board.mounting import SCREW_HOLE_NM, SCREW_KEEP_NM, Placed, laid_places, mounting
from boardgen.board.pour import Piece, in_place, poured
from boardgen.board.rotated_footprint import moved
from boardgen.board.routing_grid import VIA_HOLE_MM, VIA_LAND_MM
from boardgen.board.strip_cells import RAIL_MM, Context, rail_row
from boardgen.board.strip_rows import Row
from boardgen.model.copper import (
    SIDES,
    Board,
    Bus,
    LayoutFacts,
    MountingHole,
    PlacedPad,
    PlacedPart,
    Region,
    Track,
    Via,
)
from boardgen.model.wiring import BUS

BAR_COLUMNS = 3
"""The earth bar beside two rows lies so far right of the last strip."""
HEADER_NM = 2_540_000
"""Spacing of the upright copper that joins two rows."""
RAIL_NM = round(RAIL_MM * 1e6)
RAIL_OVER_NM = round((RAIL_MM - FENCE_MM) * 5e5)


def assemble(context: Context, rows: list[Row], pour: bool) -> Board:
    """The board's copper: every cell put in its place, with its screws, and the earth bar beside two rows."""
    header = HEADER_NM * (len(context.rails) + 1) if len(rows) > 1 else 0
    size, places = mounting(context, rows, header)
    margin, (width, height) = size.margin, (size.width, size.height)
    maker = _Maker()
    regions: list[Region] = []
    pieces: dict[tuple[int, int], tuple[Piece, ...]] = {}
    bus_tops: dict[int, None] = {}
    for placed in laid_places(context, rows, margin + header, height):
        maker.add(placed)
        if placed.cell.job.stage == "rails":
            bus_tops[placed.top] = None
        if pour:
            # strips of one form share the very same cells
            key = id(placed.cell.job), id(placed.laid)
            if key not in pieces:
                pieces[key] = poured(placed.cell.job, placed.laid)
            regions += in_place(pieces[key], placed.left, placed.top)
    maker.clip(margin, [margin + header + row.width_nm for row in rows])
    maker.earth(max(row.width_nm for row in rows) + margin + header + BAR_COLUMNS * GRID_NM)
    if header:
        maker.header(context.rails, margin + header)
    return Board(
        title=context.netlist.title,
        revision=context.netlist.revision,
        width_nm=width,
        height_nm=height,
        tracks=merged(maker.tracks),
        pads=tuple(maker.pads),
        vias=tuple(dict.fromkeys(maker.vias)),
        regions=tuple(regions),
        mounting_holes=tuple(MountingHole(at, SCREW_HOLE_NM, SCREW_KEEP_NM) for at in places),
        parts=tuple(maker.parts),
        layout=LayoutFacts(
            pitch_nm=context.columns * GRID_NM,
            strips=sum(len(row.stacks) for row in rows),
            rows=len(rows),
            along_nm=_along(rows),
            bus=_bus(context, tuple(bus_tops), margin + header),
        ),
    )


def _bus(context: Context, tops_nm: tuple[int, ...], left_nm: int) -> Bus | None:
    """Where the pair of the bus runs, from the upper edges of its cells and the left edge of the strips."""
    if not set(BUS) <= set(context.rails):
        return None
    centre, braid = (context.rails.index(net) for net in BUS)
    down = [GRID_NM * rail_row(context, index) for index in (centre, braid)]
    rows = tuple((top - down[0], top - down[1]) for top in tops_nm)
    return Bus(rows, RAIL_NM, _header_x(left_nm, centre))


def _header_x(left_nm: int, index: int) -> int:
    """Where the upright copper of a rail lies; half a column off, since the earth rail's end is near."""
    return left_nm - (index + 1) * HEADER_NM - HEADER_NM // 2


def _along(rows: list[Row]) -> tuple[tuple[str, int], ...]:
    """What the strip with the least empty room takes along its length, by stage, in nanometres."""
    stacks = [stack for row in rows for stack in row.stacks]
    fullest = min(stacks, key=lambda s: sum(laid.rows for cell, laid in s.cells if cell.job.stage == "filler"))
    lengths = {cell.job.stage: laid.rows * GRID_NM for cell, laid in fullest.cells}
    return tuple(lengths.items())


class _Maker:
    def __init__(self) -> None:
        self.tracks: list[Track] = []
        self.pads: list[PlacedPad] = []
        self.vias: list[Via] = []
        self.parts: list[PlacedPart] = []

    def add(self, placed: Placed) -> None:
        cell, laid, left, top, last = placed
        names = cell.names
        for drawn in laid.tracks:
            self.tracks.append(_track(drawn, names, left, top))
        for column, row, net in (*laid.vias, *stitches(cell.job, laid.rows, last)):
            at = (left + round(column * GRID_NM), top - round(row * GRID_NM))
            self.vias.append(Via(at, round(VIA_LAND_MM * 1e6), round(VIA_HOLE_MM * 1e6), names[net]))
        for component, seat, (column, row, turn) in zip(cell.refs, cell.job.parts, laid.places, strict=True):
            x, y = left + column * GRID_NM, top - row * GRID_NM
            form = seat.form(turn)
            for pad, token in zip(form.pads, seat.nets, strict=True):
                at = (x + pad.x_nm, y + pad.y_nm)
                hole = pad.hole_nm or 0
                name = names[token] if token else ""
                self.pads.append(PlacedPad(component.ref, pad.number, at, pad.width_nm, pad.height_nm, hole, name))
            self.parts.append(
                PlacedPart(
                    component.ref, form.footprint.key, (x, y), form.turn, moved(form.body, x, y),
                    form.footprint.body_height_nm, component.fitted, component.part.kind,
                )
            )  # fmt: skip

    def clip(self, left: int, rights: list[int]) -> None:
        """Rails are wider than the fence in which they end: their round ends reach no further than its edge."""
        for index, track in enumerate(self.tracks):
            if track.width_nm == RAIL_NM and track.start[1] == track.end[1]:
                (x1, y), (x2, _) = track.start, track.end
                x1 = x1 + RAIL_OVER_NM if x1 == left else x1
                x2 = x2 - RAIL_OVER_NM if x2 in rights else x2
                self.tracks[index] = replace(track, start=(x1, y), end=(x2, y))

    def earth(self, bar: int) -> None:
        """Each earth rail from its first to its last part; two rails are led to the bar beside the rows."""
        rails = {t.start[1]: t for t in self.tracks if t.net == "earth" and t.surge and t.start[1] == t.end[1]}
        self.tracks = [t for t in self.tracks if not (t.net == "earth" and t.surge and t.start[1] == t.end[1])]
        ends = [pad.at for pad in self.pads if pad.net == "earth"]
        ends += [p for t in self.tracks if t.net == "earth" for p in (t.start, t.end)]
        for y, rail in rails.items():
            across = [x for x, at in ends if at == y] + ([bar] if len(rails) > 1 else [])
            self.tracks.append(replace(rail, start=(min(across), y), end=(max(across), y)))
        if len(rails) > 1:
            rail = next(iter(rails.values()))
            self.tracks.append(replace(rail, start=(bar, max(rails)), end=(bar, min(rails))))

    def header(self, nets: tuple[str, ...], left: int) -> None:
        """Upright copper on the bottom at the left that joins the rails of two rows, one column a net."""
        for index, net in enumerate(nets):
            x = _header_x(left, index)
            rails = {
                t.start[1]: t for t in self.tracks if t.net == net and t.start[0] == left and t.width_nm == RAIL_NM
            }
            top, foot = max(rails), min(rails)
            for y, rail in rails.items():
                self.tracks.append(replace(rail, start=(x, y), end=(left, y)))
                self.vias.append(Via((x, y), round(VIA_LAND_MM * 1e6), round(VIA_HOLE_MM * 1e6), net))
            self.tracks.append(Track("bottom", (x, foot), (x, top), RAIL_NM, net))


def _track(drawn: Drawn, names: Mapping[Token, str], left: int, top: int) -> Track:
    (x1, y1), (x2, y2) = drawn.start, drawn.end
    start = left + round(x1 * GRID_NM), top - round(y1 * GRID_NM)
    end = left + round(x2 * GRID_NM), top - round(y2 * GRID_NM)
    return Track(SIDES[drawn.side], start, end, round(drawn.width_mm * 1e6), names[drawn.net], drawn.surge)

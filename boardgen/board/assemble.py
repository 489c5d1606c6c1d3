"""Makes the copper of the whole board of its cells, each put in its place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from boardgen.board.job import Drawn, Laid, Token
from boardgen.board.jobs import RAIL_MM, CellJob, Context
from boardgen.board.lay import GRID_NM, stitches
from boardgen.board.maze import VIA_HOLE_MM, VIA_LAND_MM
from boardgen.board.merge import merged
from boardgen.board.pour import poured
from boardgen.board.rows import Row
from boardgen.board.shape import moved
from boardgen.model.copper import Board, Land, Opening, Region, Standing, Track, Via

SCREW_HOLE_NM, SCREW_KEEP_NM = 3_200_000, 6_400_000
SCREW_IN_NM = 3_300_000
HEADER_NM = 2_540_000
"""Spacing of the upright copper that joins two rows."""
RAIL_NM = round(RAIL_MM * 1e6)
STUB_NM = 4 * 2_540_000
"""Level earth copper shorter than this leads to the stud, longer is the rail."""


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
            form = seat.form(turn)
            for pad, token in zip(form.pads, seat.nets, strict=True):
                at = (x + pad.x_nm, y + pad.y_nm)
                hole = pad.hole_nm or 0
                name = names[token] if token else ""
                self.lands.append(Land(component.ref, pad.number, at, pad.width_nm, pad.height_nm, hole, name))
            self.standings.append(
                Standing(
                    component.ref, form.footprint.key, (x, y), form.turn, moved(form.body, x, y),
                    form.footprint.body_height_nm, component.fitted, component.part.kind,
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

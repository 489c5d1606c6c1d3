"""The copper of a built folder: whether it makes the netlist, bears its own labels and keeps the house's limits.

Algorithm: that of boardgen.board.connectivity, over pieces of one side each, joined where a plated hole goes through.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
import shapely
from numpy.typing import NDArray

from boardgen.board.check import clearance, drills
from boardgen.board.check_assembly import mask_webs
from boardgen.board.connectivity import BOTTOM, TOP, TOUCH_NM, CopperGeometry, compare, components, fault
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Board, PlacedPad, PointNm
from boardgen.model.problem import Problem
from boardgen.proof.built import COPPER, Built
from boardgen.proof.lands import drawn_board, pin_of

SLACK_NM = 200.0
"""Rounding of the outlines of the pour; what is short by less is no fault."""
FUNCTIONS = {"track": "Conductor", "via": "ViaPad", "land": "ComponentPad", "surface land": "SMDPad,CuDef"}
"""What each piece's aperture has to say that it is for; an area has none."""


class _Pieces:
    """The pieces of copper of both sides as they are met, each with the label that it bears."""

    def __init__(self, built: Built) -> None:
        self.cores: list[object] = []
        self.radius: list[float] = []
        self.sides: list[int] = []
        self.pad: list[int] = []
        self.what: list[str] = []
        self.label: list[str] = []
        self.function: list[str] = []
        self.pads: list[PlacedPad] = []
        self.joints: dict[PointNm, list[int]] = {}
        holes = {hole.at: hole.size_nm for hole in built.plated.holes}
        for side, name in zip((TOP, BOTTOM), COPPER, strict=True):
            layer = built.layers[name]
            for area in layer.areas:
                core = shapely.Polygon(area.outline, area.clear)
                self._add(core, 0.0, side, "region", area.attributes)
            for draw in layer.draws:
                core = shapely.LineString([draw.start, draw.end])
                self._add(core, draw.width_nm / 2, side, "track", draw.attributes, draw.function)
            for flash in layer.flashes:
                pin, at = pin_of(flash), flash.at
                if pin:
                    hole = holes.get(at, 0)
                    self.pads.append(PlacedPad(*pin, at, flash.width_nm, flash.height_nm, hole, ""))
                self.joints.setdefault(at, []).append(len(self.cores))
                reach = flash.width_nm / 2 if flash.round else 0.0
                wide, high = flash.width_nm / 2, flash.height_nm / 2
                core = shapely.Point(at) if flash.round else shapely.box(
                    at[0] - wide, at[1] - high, at[0] + wide, at[1] + high
                )  # fmt: skip
                what = ("land" if at in holes else "surface land") if pin else "via"
                number = len(self.pads) - 1 if pin else -1
                self._add(core, reach, side, what, flash.attributes, flash.function, number)

    def _add(
        self, core: object, reach: float, side: int, what: str, attributes: tuple[tuple[str, str], ...],
        function: str = "", pad: int = -1,
    ) -> None:  # fmt: skip
        self.cores.append(core)
        self.radius.append(reach)
        self.sides.append(side)
        self.pad.append(pad)
        self.what.append(what)
        self.label.append(dict(attributes).get("N", ""))
        self.function.append(function)

    def geometry(self) -> CopperGeometry:
        """All of them as parallel arrays."""
        return CopperGeometry(
            np.array(self.cores, object), np.array(self.radius), np.array(self.sides, np.int64),
            np.array(self.pad, np.int64), tuple(self.what), np.zeros(len(self.cores), np.int64),
        )  # fmt: skip


def copper(built: Built) -> Iterator[Problem]:
    """Every fault of the copper and of the holes in it."""
    board, house, pieces = drawn_board(built), built.house, _Pieces(built)
    geometry = pieces.geometry()
    yield from _areas(geometry, house)
    near = geometry.near(house.clearance_nm)
    touching = near[2] <= TOUCH_NM
    drilled = {hole.at for hole in built.plated.holes}
    # only a plated hole joins the two sides
    through = [numbers for at, numbers in pieces.joints.items() if at in drilled and len(numbers) > 1]
    first = np.array([numbers[0] for numbers in through for _ in numbers[1:]], np.int64)
    later = np.array([number for numbers in through for number in numbers[1:]], np.int64)
    component = components(
        len(geometry.cores),
        np.concatenate([near[0][touching], first]),
        np.concatenate([near[1][touching], later]),
    )
    yield from compare(geometry, tuple(pieces.pads), component, built.netlist.net)
    yield from _labels(pieces, geometry, component, built.netlist.net)
    yield from clearance(geometry, near, component, house.clearance_nm)
    yield from _widths(board, house)
    yield from _edges(board, geometry, house)
    yield from _cut(board, geometry, house)
    yield from drills(board, house)
    yield from mask_webs(board, house)


def _labels(
    pieces: _Pieces, geometry: CopperGeometry, component: NDArray[np.int64], nets: Mapping[tuple[str, str], str]
) -> Iterator[Problem]:
    """Pieces whose attributes name another net than that of the pins they are joined to, or another use."""
    joined: dict[int, set[str]] = {}
    for root, number in zip(component.tolist(), pieces.pad, strict=True):
        if number >= 0:
            pad = pieces.pads[number]
            joined.setdefault(root, set()).add(nets.get((pad.ref, pad.number), "N/C"))
    told = set()
    for piece, (root, label) in enumerate(zip(component.tolist(), pieces.label, strict=True)):
        what, function = pieces.what[piece], pieces.function[piece]
        if function != FUNCTIONS.get(what, ""):
            found = f"the aperture of a {what} says it is {function or 'nothing'}"
            yield fault("P206 label", geometry.place(piece), found, f"{FUNCTIONS.get(what) or 'nothing'} is expected")
        nets_here = joined.get(root, set())
        if len(nets_here) == 1 and label not in nets_here and (label, root) not in told:
            told.add((label, root))
            found = f'a {what} of {next(iter(nets_here))} says its net is "{label}"'
            yield fault("P206 label", geometry.place(piece), found)


def _areas(geometry: CopperGeometry, house: BoardHouse) -> Iterator[Problem]:
    """Areas whose outline crosses itself, or that are thinner than a track in all their parts."""
    for core, what in zip(geometry.cores, geometry.what, strict=True):
        if what == "region":
            place = shapely.get_coordinates(core)[0]
            if not shapely.is_valid(core):
                yield fault("P207 area", tuple(place), "the outline of an area crosses itself")
            elif shapely.is_empty(shapely.buffer(core, SLACK_NM - house.track_nm / 2)):
                yield fault("P207 area", tuple(place), "an area is nowhere as wide as a track must be")


def _widths(board: Board, house: BoardHouse) -> Iterator[Problem]:
    for track in board.tracks:
        if track.width_nm < house.track_nm:
            found = f"a track is {track.width_nm * 1e-6:.2f} mm wide"
            yield fault("B203 track width", track.start, found, f"{house.track_nm * 1e-6:.2f} mm are needed")


def _edges(board: Board, geometry: CopperGeometry, house: BoardHouse) -> Iterator[Problem]:
    """Copper outside the board or too near its edge."""
    box = geometry.boxes
    room = np.min([box[:, 0], box[:, 1], board.width_nm - box[:, 2], board.height_nm - box[:, 3]], axis=0)
    for piece in np.nonzero(room < house.copper_to_edge_nm - SLACK_NM)[0].tolist():
        found = f"a {geometry.what[piece]} is {room[piece] * 1e-6:.2f} mm from the edge"
        wanted = f"{house.copper_to_edge_nm * 1e-6:.2f} mm are needed"
        yield fault("B204 copper to edge", geometry.place(piece), found, wanted)


def _cut(board: Board, geometry: CopperGeometry, house: BoardHouse) -> Iterator[Problem]:
    """Copper that an unplated hole cuts, or that stands as near to it as no house allows between two nets."""
    if not board.mounting_holes:
        return
    holes = shapely.points([hole.at for hole in board.mounting_holes])
    reach = max(hole.hole_nm for hole in board.mounting_holes) / 2 + house.clearance_nm + geometry.radius_nm.max()
    for number, piece in shapely.STRtree(geometry.cores).query(holes, predicate="dwithin", distance=reach).T.tolist():
        gap = float(shapely.distance(holes[number], geometry.cores[piece])) - geometry.radius_nm[piece]
        gap -= board.mounting_holes[number].hole_nm / 2
        if gap < house.clearance_nm - SLACK_NM:
            found = f"an unplated hole cuts a {geometry.what[piece]}"
            if gap > 0:
                found = f"an unplated hole is {gap * 1e-6:.2f} mm from a {geometry.what[piece]}"
            wanted = f"{house.clearance_nm * 1e-6:.2f} mm are needed"
            yield fault("P205 hole in copper", board.mounting_holes[number].at, found, wanted)

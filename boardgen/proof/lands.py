"""A board made of nothing but what its layers and drill files hold, and what about its holes and lands disagrees."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from boardgen.board.connectivity import fault
from boardgen.formats.read_gerber import Draw, Flash, Layer
from boardgen.model.copper import SIDES, Board, MountingHole, PlacedPad, PointNm, Region, Side, Track, Via
from boardgen.model.problem import Problem
from boardgen.proof.built import COPPER, OUTLINE, Built

FREE = "N/C"
"""What the layers call the net of a pin that is left free."""
SIDE_OF: Mapping[str, Side] = dict(zip(COPPER, SIDES, strict=True))


def net_of(item: Flash | Draw, names: Mapping[str, str] | None = None) -> str:
    """The net that an object says it belongs to, "" for none."""
    net = dict(item.attributes).get("N", "") if names is None else names.get("N", "")
    return "" if net == FREE else net


def pin_of(flash: Flash) -> tuple[str, str] | None:
    """Designator and number of a pad, None for a via."""
    pin = dict(flash.attributes).get("P")
    if pin is None:
        return None
    ref, _, number = pin.partition(",")
    return ref, number


def drawn_board(built: Built) -> Board:
    """The board as the layers draw and the drill files drill it. A land that is on one side only is taken as it is."""
    holes = {hole.at: hole.size_nm for hole in built.plated.holes}
    flashes = [flash for name in COPPER for flash in built.layers[name].flashes]
    # a land that goes through is on both sides
    whole = {(flash.at, pin_of(flash)): flash for flash in reversed(flashes)}
    pads = [
        PlacedPad(*pin, at, flash.width_nm, flash.height_nm, holes.get(at, 0), net_of(flash))
        for (at, pin), flash in whole.items()
        if pin
    ]
    vias = [Via(at, flash.width_nm, holes.get(at, 0), net_of(flash)) for (at, pin), flash in whole.items() if not pin]
    wide, high = size_of(built.layers[OUTLINE])
    return Board(
        title=built.editor.title,
        revision=built.editor.revision,
        width_nm=wide,
        height_nm=high,
        tracks=tuple(
            Track(side, draw.start, draw.end, draw.width_nm, net_of(draw))
            for name, side in SIDE_OF.items()
            for draw in built.layers[name].draws
        ),
        pads=tuple(reversed(pads)),
        vias=tuple(reversed(vias)),
        regions=tuple(
            Region(side, area.outline, tuple(area.clear), dict(area.attributes).get("N", ""))
            for name, side in SIDE_OF.items()
            for area in built.layers[name].areas
        ),
        mounting_holes=tuple(MountingHole(hole.at, hole.size_nm, hole.size_nm) for hole in built.unplated.holes),
        parts=(),
    )


def size_of(outline: Layer) -> PointNm:
    """Width and height from the origin to the farthest corner of an outline."""
    corners = [point for draw in outline.draws for point in (draw.start, draw.end)]
    return max((x for x, _ in corners), default=0), max((y for _, y in corners), default=0)


def lands(built: Built) -> Iterator[Problem]:
    """Lands without a plated hole, plated holes without a land, and lands that are not alike on both sides."""
    sizes = {hole.at: hole.size_nm for hole in built.plated.holes}
    at = [{flash.at: flash for flash in built.layers[name].flashes} for name in COPPER]
    for point in sorted(at[0].keys() | at[1].keys()):
        first, second = (side.get(point) for side in at)
        if first and second:
            if point not in sizes:
                yield fault("P201 hole missing", point, "lands on both sides but no plated hole")
            if first != second:
                yield fault("P202 land", point, "the lands of a hole are not alike on both sides")
    for name, side in zip(COPPER, at, strict=True):
        for point, size in sorted(sizes.items()):
            flash = side.get(point)
            if flash is None or min(flash.width_nm, flash.height_nm) <= size:
                yield fault("P202 land", point, f"a plated hole without a land in {name}")
        for point, count in Counter(flash.at for flash in built.layers[name].flashes).items():
            if count > 1:
                yield fault("P202 land", point, f"{count} lands at one place in {name}")
    for point, count in Counter(hole.at for hole in (*built.plated.holes, *built.unplated.holes)).items():
        if count > 1:
            yield fault("P204 hole twice", point, f"{count} holes are drilled at one place")

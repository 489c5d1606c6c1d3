"""The other layers of a built folder: what files say that they are, the outline, the openings of the mask."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import shapely

from boardgen.board.connectivity import fault
from boardgen.formats.read_gerber import Layer
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import SIDES, PointNm
from boardgen.model.problem import Problem
from boardgen.proof.built import LAYERS, MASKS, OUTLINE, PLATED, UNPLATED, Built, fault_in
from boardgen.proof.lands import drawn_board, size_of

DRILLS = {
    PLATED: ("Plated,1,2,PTH", ("Plated,PTH,ComponentDrill", "Plated,PTH,ViaDrill")),
    UNPLATED: ("NonPlated,1,2,NPTH", ("NonPlated,NPTH,MechanicalDrill",)),
}
"""What each drill file has to say that it is, and its tools that they are for."""


def layers(built: Built) -> Iterator[Problem]:
    """Every fault of what files say of themselves, of the outline and of the mask."""
    yield from _said(built)
    yield from _outline(built.layers[OUTLINE], built.house)
    yield from _masks(built)


def _said(built: Built) -> Iterator[Problem]:
    """Attributes of whole files that do not fit their names, and layers that hold what they cannot."""
    for name, function in LAYERS.items():
        layer = built.layers[name]
        polarity = "Negative" if name in MASKS else "Positive"
        for attribute, wanted in (("FileFunction", function), ("FilePolarity", polarity), ("Part", "Single")):
            said = layer.attributes.get(attribute, "nothing")
            if said != wanted:
                yield fault_in(name, "P101 attribute", f"its {attribute} is {said}", f"{wanted} is expected")
    for name, drill in ((PLATED, built.plated), (UNPLATED, built.unplated)):
        wanted, uses = DRILLS[name]
        if drill.function != wanted:
            said = drill.function or "nothing"
            yield fault_in(name, "P101 attribute", f"its FileFunction is {said}", f"{wanted} is expected")
        for use in sorted({hole.function for hole in drill.holes} - set(uses)):
            found = f"a tool says it is for {use or 'nothing'}"
            yield fault_in(name, "P101 attribute", found, f"{' or '.join(uses)} is expected")


def _outline(layer: Layer, house: BoardHouse) -> Iterator[Problem]:
    """An outline that is not one closed rectangle from the origin, or larger than the house makes."""
    if layer.flashes or layer.areas:
        yield fault_in(OUTLINE, "P208 outline", "it holds more than lines")
    if any(draw.function != "Profile" for draw in layer.draws):
        yield fault_in(OUTLINE, "P101 attribute", "a line does not say that it is the profile")
    ends = Counter(point for draw in layer.draws for point in (draw.start, draw.end))
    if not ends:
        yield fault_in(OUTLINE, "P208 outline", "the board has no outline")
        return
    odd = sorted(point for point, count in ends.items() if count != 2)
    if odd:
        yield fault("P208 outline", odd[0], f"{ends[odd[0]]} lines of the outline end in one point", "2 are needed")
        return
    rings = shapely.get_parts(shapely.line_merge(shapely.MultiLineString([(d.start, d.end) for d in layer.draws])))
    wide, high = size_of(layer)
    ring = shapely.Polygon(rings[0]) if len(rings) == 1 and rings[0].is_closed else None
    if ring is None or not ring.equals(shapely.box(0, 0, wide, high)):
        yield fault_in(OUTLINE, "P208 outline", "it is not one rectangle that begins at the origin")
    if max(wide, high) > house.longest_nm:
        found = f"the board is {max(wide, high) * 1e-6:.2f} mm long"
        yield fault_in(OUTLINE, "P208 outline", found, f"{house.name} makes {house.longest_nm * 1e-6:.2f} mm")


Opening = tuple[PointNm, bool, int, int]
"""Middle, whether it is a disc, width and height."""


def _masks(built: Built) -> Iterator[Problem]:
    """Openings that are not just those of the lands and unplated holes, with the house's margin about each."""
    board, more = drawn_board(built), 2 * built.house.mask_margin_nm
    for side, name in zip(SIDES, MASKS, strict=True):
        layer = built.layers[name]
        if layer.draws or layer.areas:
            yield fault_in(name, "P203 mask", "it holds more than openings of lands and holes")
        wanted: dict[PointNm, Opening] = {
            pad.at: (pad.at, pad.is_round, pad.width_nm + more, pad.height_nm + more)
            for pad in board.pads
            if side in pad.sides
        }
        for hole in board.mounting_holes:
            wanted[hole.at] = (hole.at, True, hole.hole_nm + more, hole.hole_nm + more)
        opened = Counter((flash.at, flash.round, flash.width_nm, flash.height_nm) for flash in layer.flashes)
        for opening in sorted((Counter(wanted.values()) - opened).elements()):
            wide, high = (f"{size * 1e-6:.2f}" for size in opening[2:])
            found = f"{name} does not leave a land or hole bare by {wide} x {high} mm"
            yield fault("P203 mask", opening[0], found)
        for opening in sorted((opened - Counter(wanted.values())).elements()):
            wide, high = (f"{size * 1e-6:.2f}" for size in opening[2:])
            yield fault("P203 mask", opening[0], f"{name} has an opening of {wide} x {high} mm that no land asks for")

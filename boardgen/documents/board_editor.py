"""The folder for a board editor: the board as laid out, a library of its footprints, net classes."""

from __future__ import annotations

import shapely
from msgspec.structs import replace

from boardgen.board.pour import SPOKE_MM, THERMAL_GAP_MM
from boardgen.board.rotated_footprint import grown, moved, rotated
from boardgen.board.rules import VIA_HOLE_NM, VIA_PAD_NM
from boardgen.board.strips import net_classes
from boardgen.design import Design
from boardgen.documents.named import Names, library_name, named_board, named_netlist
from boardgen.formats.kicad_footprint import LIBRARY, Pattern, footprint_file
from boardgen.formats.kicad_pcb import BoardFile, ThermalRelief, board_file, screw_pattern, silkscreen_of, turned
from boardgen.formats.kicad_project import NetClass, library_table, project_file
from boardgen.formats.netlist import facts
from boardgen.model.copper import SIDES, Board, PlacedPart, PointNm, Side, Stroke
from boardgen.model.part import Footprint, FootprintName
from boardgen.spec.label import folder_name

FOLDER = "board-editor/"
ASIDE_NM = 1_000
"""So much smaller are courtyards, since the editor calls it a fault where two touch."""


def editor_files(design: Design, names: Names, date: str, mark: str = "") -> dict[str, bytes]:
    """Board, project and library by path; without a layout the library alone. `mark` stands before a bad board's name.

    The library holds what netlist and board name, but for footprints with a name of the user's own.
    """
    board = design.layout.board if design.layout else None
    if board:
        board = replace(board, parts=tuple(_standing(part, names) for part in board.parts))
    keys = {part.footprint for part in board.parts} if board else {c.part.footprint for c in design.netlist.components}
    strokes = _silkscreens(board) if board else {}
    footprints = design.catalogue.footprints
    patterns = {key: _pattern(footprints[key], strokes.get(key, ()), names) for key in sorted(keys) if key}
    library = [replace(patterns[key], name=key) for key in patterns if key not in names and patterns[key].pads]
    if board and board.mounting_holes:
        library.append(screw_pattern(board.mounting_holes[0]))
    files = {"fp-lib-table": library_table()}
    files |= {f"{LIBRARY}.pretty/{each.name}.kicad_mod": footprint_file(each) for each in library}
    if board:
        name = f"{mark}{folder_name(board.title)}"
        labels = {s.label: s.label for s in design.request.strips}
        made = BoardFile(
            board=with_ends_in_areas(named_board(board, names)),
            netlist=named_netlist(design.netlist, board, names),
            patterns=patterns,
            fields={c.ref: facts(c, labels) for c in design.netlist.components},
            relief=ThermalRelief(design.rules.clearance_nm, round(THERMAL_GAP_MM * 1e6), round(SPOKE_MM * 1e6)),
            mask_margin_nm=design.rules.house.mask_margin_nm,
            date=date,
        )
        files[f"{name}.kicad_pcb"] = board_file(made)
        files[f"{name}.kicad_pro"] = _project(design, f"{name}.kicad_pro")
    return {f"{FOLDER}{name}": data for name, data in files.items()}


def with_ends_in_areas(board: Board) -> Board:
    """The same copper, with tracks cut in two where an area has none of its net's ends inside.

    The editor sees an area joined by ends of tracks, pads and vias, not by a track that runs along its edge.
    """
    ends: dict[tuple[Side, str], list[PointNm]] = {}
    for track in board.tracks:
        ends.setdefault((track.side, track.net), []).extend((track.start, track.end))
    for point, sides, net in (
        *((p.at, p.sides, p.net) for p in board.pads),
        *((v.at, SIDES, v.net) for v in board.vias),
    ):
        for side in sides:
            ends.setdefault((side, net), []).append(point)
    tracks = list(board.tracks)
    for region in board.regions:
        area = shapely.Polygon(region.outline, region.clear)
        shapely.prepare(area)
        if shapely.intersects(area, shapely.points(ends[region.side, region.net])).any():
            continue
        for number, track in enumerate(tracks):
            if (track.side, track.net) == (region.side, region.net):
                inside = shapely.intersection(area, shapely.LineString([track.start, track.end]))
                if inside.length:
                    x, y = inside.interpolate(0.5, normalized=True).coords[0]
                    middle = round(x), round(y)
                    tracks[number : number + 1] = [replace(track, end=middle), replace(track, start=middle)]
                    break
    return replace(board, tracks=tuple(tracks))


def _pattern(footprint: Footprint, strokes: tuple[Stroke, ...], names: Names) -> Pattern:
    """What the footprint draws, from the origin of the one that stands in its place."""
    own = names.get(footprint.key, FootprintName(""))
    drawn = rotated(footprint, -own.quarters)
    x, y = turned((own.x_nm, own.y_nm), -own.quarters)
    return Pattern(
        name=library_name(footprint.key, names),
        description=footprint.description,
        pads=tuple(
            replace(pad, number=own.pads.get(pad.number, pad.number), x_nm=pad.x_nm - x, y_nm=pad.y_nm - y)
            for pad in drawn.pads
        ),
        body=moved(drawn.body, -x, -y) if footprint.pads else (0, 0, 0, 0),
        courtyard=_rings(tuple(moved(box, -x, -y) for box in drawn.courtyard)) if footprint.pads else (),
        silkscreen=strokes,
    )


def _standing(part: PlacedPart, names: Names) -> PlacedPart:
    """The part with the origin of the footprint that stands in its place."""
    own = names.get(part.footprint)
    if own is None:
        return part
    x, y = turned((own.x_nm, own.y_nm), part.rotation)
    return replace(part, at=(part.at[0] + x, part.at[1] + y), rotation=(part.rotation + own.quarters) % 4)


def _rings(boxes: tuple[tuple[int, int, int, int], ...]) -> tuple[tuple[PointNm, ...], ...]:
    """The outlines of all boxes together."""
    whole = shapely.union_all(shapely.box(*zip(*(grown(box, -ASIDE_NM) for box in boxes), strict=True)))
    areas = shapely.get_parts(shapely.simplify(whole, 0))
    return tuple(
        tuple((round(x), round(y)) for x, y in shapely.get_coordinates(shapely.get_exterior_ring(area))[:-1].tolist())
        for area in areas
    )


def _silkscreens(board: Board) -> dict[str, tuple[Stroke, ...]]:
    """The silkscreen of each footprint as its first part bears it."""
    strokes = silkscreen_of(board)
    found: dict[str, tuple[Stroke, ...]] = {}
    for part in board.parts:
        found.setdefault(part.footprint, strokes.get(part.ref, ()))
    return found


def _project(design: Design, name: str) -> bytes:
    """Net classes as they were drawn, and what the board house asks at least."""
    rules = design.rules
    least = {
        "signal": (rules.signal_nm, rules.clearance_nm),
        "feed": (rules.feed_nm, rules.clearance_nm),
        "control": (rules.control_nm, rules.clearance_nm),
        "0V": (rules.signal_nm, rules.clearance_nm),
        "earth": (rules.surge_nm or rules.signal_nm, max(rules.surge_clearance_nm, rules.clearance_nm)),
    }
    of = net_classes(design.netlist)
    classes = [
        NetClass(each, *sizes, tuple(net for net, drawn in of.items() if drawn == each))
        for each, sizes in least.items()
    ]
    return project_file(classes, (VIA_PAD_NM, VIA_HOLE_NM), rules.house, name)

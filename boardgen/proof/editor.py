"""The board editor's files of a built folder against its layers, its netlist and each other."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from typing import Any

import shapely

from boardgen.board.connectivity import fault
from boardgen.formats.kicad_footprint import LIBRARY
from boardgen.formats.kicad_pcb import LAYERS, THICKNESS_MM, one_ring
from boardgen.formats.kicad_project import library_table, limits
from boardgen.formats.read_kicad_pcb import EditorBoard, EditorFootprint, EditorPad
from boardgen.model.copper import Board, PointNm, Track
from boardgen.model.problem import Problem
from boardgen.proof.built import EDITOR, Built, fault_in
from boardgen.proof.lands import drawn_board

KIND = "P401 board editor"
ROUNDED_NM = 2.0
"""So far a point in the middle of a track may lie beside it."""


def editor(built: Built) -> Iterator[Problem]:
    """Every fault of the editor's files."""
    board, made = drawn_board(built), built.editor
    yield from _copper(board, made)
    yield from _parts(built)
    yield from _library(built)
    wide, high = board.width_nm, board.height_nm
    corners = [(0, 0), (wide, 0), (wide, high), (0, high)]
    edges = Counter(frozenset(pair) for pair in zip(corners, [*corners[1:], corners[0]], strict=True))
    if Counter(map(frozenset, made.outline)) != edges:
        yield fault_in(EDITOR, KIND, "the outline of the board is not that of the layers")
    source = f"{made.title}, revision {made.revision}"
    pairs: Iterable[tuple[str, Any, Any]] = (
        ("title and revision", source, built.netlist.source),
        ("margin of the mask", made.mask_margin_nm, built.house.mask_margin_nm),
        ("nets", made.nets, {"", *built.netlist.net.values()}),
        ("table of libraries", built.table, library_table().decode()),
        ("limits of the project", _within(built.project, "board", "design_settings", "rules"), limits(built.house)),
        ("layers", made.layers, LAYERS),
        ("thickness", made.thickness_mm, THICKNESS_MM),
    )
    for what, said, wanted in pairs:
        if said != wanted:
            yield fault_in(EDITOR, KIND, f"the {what} are not those of the other files")
    yield from _classes(built)
    yield from _screws(board, made)
    for area in made.areas:
        if area.clearance_nm < built.house.clearance_nm:
            yield fault(KIND, area.region.outline[0], "an area keeps less clearance than the house asks for")


def _within(document: Any, *keys: str) -> Any:
    """What stands there in a JSON document, None where it has no such place."""
    for key in keys:
        document = document.get(key) if isinstance(document, dict) else None
    return document


def _classes(built: Built) -> Iterator[Problem]:
    """Classes of nets that are drawn finer than the house makes, and nets that are in none or in several."""
    classes = _within(built.project, "net_settings", "classes")
    members: Counter[str] = Counter()
    for each in classes if isinstance(classes, list) else ():
        name = _within(each, "name")
        least = {"clearance": built.house.clearance_nm, "track_width": built.house.track_nm}
        for key, nm in least.items():
            size = _within(each, key)
            if not isinstance(size, int | float) or size * 1e6 < nm - 1:
                yield fault_in(EDITOR, KIND, f"the {key} of the class {name} is {size}", f"{nm / 1e6:g} mm are needed")
        members.update(str(net) for net in _within(each, "nets") or ())
    if members != Counter(set(built.netlist.net.values())):
        yield fault_in(EDITOR, KIND, "the classes do not hold every net of the netlist once")


def _screws(board: Board, made: EditorBoard) -> Iterator[Problem]:
    """Unplated holes about which the editor's file does not keep copper out."""
    rings = [shapely.Polygon(ring) for ring in made.keepouts]
    for hole in board.mounting_holes:
        if not any(ring.contains(shapely.Point(hole.at).buffer(hole.hole_nm / 2)) for ring in rings):
            yield fault(KIND, hole.at, "the editor's file does not keep copper out of the room about a hole")


def _copper(board: Board, made: EditorBoard) -> Iterator[Problem]:
    """Copper and holes that only the layers or only the editor's file have."""
    pads = [(part.ref, pad) for part in made.footprints for pad in part.pads]
    drawn: dict[str, list[tuple[Any, ...]]] = {
        "land": [(p.at, p.ref, p.number, p.width_nm, p.height_nm, p.hole_nm, p.is_round, p.net) for p in board.pads],
        "via": [(via.at, via.pad_nm, via.hole_nm, via.net) for via in board.vias],
        "unplated hole": [(hole.at, hole.hole_nm) for hole in board.mounting_holes],
        "area": [
            (r.outline[0], r.side, r.outline, r.clear, r.net, one_ring(r.outline, r.clear)) for r in board.regions
        ],
    }
    edited: dict[str, list[tuple[Any, ...]]] = {
        "land": [
            (p.at, ref, p.number, p.width_nm, p.height_nm, p.hole_nm, p.form == "circle", p.net)
            for ref, p in pads
            if p.kind != "np_thru_hole"
        ],
        "via": [(via.at, via.pad_nm, via.hole_nm, via.net) for via in made.vias],
        "unplated hole": [(p.at, p.hole_nm) for _, p in pads if p.kind == "np_thru_hole"],
        "area": [
            (a.region.outline[0], a.region.side, a.region.outline, a.region.clear, a.region.net, a.filled)
            for a in made.areas
        ],
    }
    for what in drawn:
        yield from _unlike(what, drawn[what], edited[what])
    yield from _tracks(board.tracks, made.tracks)
    for ref, pad in pads:
        if (pad.kind == "smd") != (pad.hole_nm == 0):
            yield fault(KIND, pad.at, f"{ref}-{pad.number} is {pad.kind} there with a hole of {pad.hole_nm / 1e6:g} mm")


def _unlike(what: str, drawn: Iterable[tuple[Any, ...]], edited: Iterable[tuple[Any, ...]]) -> Iterator[Problem]:
    """Things, of which each begins with its place, that one has and the other has not."""
    one, other = Counter(drawn), Counter(edited)
    for each in one - other:
        yield fault(KIND, each[0], f"a {what} of the layers is not so in the editor's file")
    for each in other - one:
        yield fault(KIND, each[0], f"a {what} of the editor's file is not so in the layers")


def _tracks(drawn: Iterable[Track], edited: Iterable[Track]) -> Iterator[Problem]:
    """Tracks that only one has; the editor may have one of the layers in several pieces."""
    one, other = Counter(drawn), Counter(edited)
    left = other - one
    for track in one - other:
        at = track.start
        while at != track.end:
            piece = next((each for each in left if left[each] and _is_piece(each, at, track)), None)
            if piece is None:
                yield fault(KIND, track.start, "a track of the layers is not so in the editor's file")
                break
            left[piece] -= 1
            at = piece.end
    for track in +left:
        yield fault(KIND, track.start, "a track of the editor's file is not so in the layers")


def _is_piece(piece: Track, start: PointNm, track: Track) -> bool:
    """Whether a piece goes on from a point along a track of its side, width and net."""
    if (piece.side, piece.width_nm, piece.net, piece.start) != (track.side, track.width_nm, track.net, start):
        return False
    return math.dist(start, piece.end) + math.dist(piece.end, track.end) - math.dist(start, track.end) < ROUNDED_NM


def _parts(built: Built) -> Iterator[Problem]:
    """Parts that are not those of the netlist, by designator, value, footprint, fields and roles of pads."""
    netlist = built.netlist
    standing = [part for part in built.editor.footprints if any(pad.number for pad in part.pads) or not part.pads]
    for ref, count in (Counter(part.ref for part in standing) - Counter(netlist.components.keys())).items():
        yield fault_in(EDITOR, KIND, f"{ref} stands there {count} times more than in the netlist")
    for ref in sorted(netlist.components.keys() - {part.ref for part in standing}):
        yield fault_in(EDITOR, KIND, f"{ref} is absent")
    for part in standing:
        if (component := netlist.components.get(part.ref)) is None:
            continue
        pairs: dict[str, tuple[object, object]] = {
            "value": (part.value, component.value),
            "footprint": (part.name, component.footprint or part.name),
            "maker, number or place": (part.fields, component.fields),
        }
        for what, (said, wanted) in pairs.items():
            if said != wanted:
                yield fault_in(EDITOR, KIND, f"{what} of {part.ref} is not as in the netlist")
        for pad in part.pads:
            role = netlist.role.get((part.ref, pad.number), pad.role)
            if pad.role != role:
                yield fault_in(EDITOR, KIND, f"{part.ref}-{pad.number} is called {pad.role}", f"{role} is expected")


def _library(built: Built) -> Iterator[Problem]:
    """Footprints of the library that are absent, needless, or not those of the board."""
    used = {part.name: part for part in reversed(built.editor.footprints) if part.name.startswith(f"{LIBRARY}:")}
    for name in sorted(used.keys() ^ built.library.keys()):
        yield fault_in(EDITOR, KIND, f"the footprint {name} is on the board or in the library alone")
    for name in sorted(used.keys() & built.library.keys()):
        if _shape(used[name]) != _shape(built.library[name]):
            yield fault_in(EDITOR, KIND, f"the footprint {name} is not as the board has it")
    for part in built.editor.footprints:
        if part.name in used and _lands(part) != _lands(used[part.name]):
            yield fault_in(EDITOR, KIND, f"the lands of {part.ref} are not those of other parts with its footprint")


def _shape(part: EditorFootprint) -> Mapping[str, Hashable]:
    """Lands, body, courtyard and lines about the footprint's own origin."""
    lines = Counter((frozenset(_about(part, point) for point in s.points), s.width_nm) for s in part.lines)
    rings = {
        layer: tuple(tuple(_about(part, p) for p in ring) for ring in rings) for layer, rings in part.rings.items()
    }
    return {"lands": _lands(part), "lines": frozenset(lines.items()), **rings}


def _lands(part: EditorFootprint) -> frozenset[tuple[Hashable, ...]]:
    return frozenset((pad.number, _about(part, pad.at), *_size(part, pad), pad.hole_nm, pad.form) for pad in part.pads)


def _size(part: EditorFootprint, pad: EditorPad) -> tuple[int, int]:
    return (pad.height_nm, pad.width_nm) if part.degrees % 180 else (pad.width_nm, pad.height_nm)


def _about(part: EditorFootprint, point: PointNm) -> PointNm:
    """A point of the board as the footprint has it before it is turned."""
    x, y = point[0] - part.at[0], point[1] - part.at[1]
    return ((x, y), (y, -x), (-x, -y), (-y, x))[part.degrees // 90 % 4]

"""The lists of a built folder against its layers: test list, positions, netlist, note, and the archive of all."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections import Counter
from collections.abc import Iterator

from msgspec.structs import replace

from boardgen.board.stroke_font import ascii_text
from boardgen.formats.csv_text import harmless
from boardgen.formats.ipc_d_356 import MOST_UM, ListedPoint
from boardgen.formats.kicad_footprint import LIBRARY
from boardgen.model.copper import Board, PointNm
from boardgen.model.problem import Problem
from boardgen.proof.built import (
    BILL,
    EDITOR,
    FABRICATION,
    NEEDS,
    NETLIST,
    NOTE,
    POSITIONS,
    REBUILD,
    TEST_LIST,
    Built,
    fault_in,
)
from boardgen.proof.lands import drawn_board
from boardgen.purchasing.money import plain

_SIZE = re.compile(r"^Size +([\d.]+) x ([\d.]+) mm,", re.MULTILINE)
_LEAST = re.compile(r"^Least +track ([\d.]+) mm, clearance [\d.]+ mm, ring ([\d.]+) mm$", re.MULTILINE)
_HOLES = re.compile(r"^ +([\d.]+) mm +(plated|not plated) +(\d+)$", re.MULTILINE)
CUT = "..."
"""What ends a name of the test list that was too long."""


def lists(built: Built) -> Iterator[Problem]:
    """Every fault of the lists."""
    board = drawn_board(built)
    yield from _titles(built)
    yield from _test_list(built, board)
    yield from _positions(built)
    yield from _pins(built, board)
    yield from _bill(built)
    yield from _needs(built)
    yield from _note(built, board)
    yield from _archive(built)


def _titles(built: Built) -> Iterator[Problem]:
    """Files that bear another title or revision than the netlist."""
    source = built.netlist.source
    job = ascii_text(source)
    said = built.test_list.job
    if not _is(said, job):
        yield fault_in(TEST_LIST, "P301 test list", f'its job is "{said}"', f'"{job}" is expected')
    date = built.netlist.date
    first = f"{source}, {date}" if date else source
    if built.note.partition("\n")[0] != first:
        yield fault_in(NOTE, "P304 note", "its first line is not title, revision and date", f'"{first}" is expected')
    dates = {name: layer.attributes.get("CreationDate", "").partition("T")[0] for name, layer in built.layers.items()}
    for name, said in {**dates, EDITOR: built.editor.date}.items():
        if said != date:
            yield fault_in(name, "P306 date", f"it is of {said or 'no day'}", f"the netlist is of {date or 'no day'}")


def _is(said: str, name: str) -> bool:
    """Whether a name of the test list is this one, or its beginning where it was cut."""
    return said == name or (said.endswith(CUT) and name.startswith(said.removesuffix(CUT)))


def _test_list(built: Built, board: Board) -> Iterator[Problem]:
    """Points that only the list or only the layers have."""
    names = sorted({pad.net for pad in board.pads} | {via.net for via in board.vias})
    net = {
        said: next((name for name in names if _is(said, name)), said)
        for said in {point.net for point in built.test_list.points}
    }
    listed = Counter(replace(point, net=net[point.net]) for point in built.test_list.points)
    drawn = Counter(
        ListedPoint(
            pad.net, pad.ref[:6], pad.number[:4], _um(pad.hole_nm), pad.hole_nm > 0, _place(pad.at),
            _um(pad.width_nm), 0 if pad.is_round else _um(pad.height_nm),
        )
        for pad in board.pads
    )  # fmt: skip
    drawn += Counter(
        ListedPoint(via.net, "VIA", "", _um(via.hole_nm), True, _place(via.at), _um(via.pad_nm), 0)
        for via in board.vias
    )
    drawn += Counter(
        ListedPoint("", "", "", _um(hole.hole_nm), False, _place(hole.at), _um(hole.hole_nm), 0)
        for hole in board.mounting_holes
    )
    for point in drawn - listed:
        yield fault_in(TEST_LIST, "P301 test list", f"{_said(point)} is not in it as the layers have it")
    for point in listed - drawn:
        yield fault_in(TEST_LIST, "P301 test list", f"{_said(point)} is not in the layers as the list has it")
    wide, high = board.width_nm // 1000, board.height_nm // 1000
    corners = built.test_list.outline_um
    if corners != ((0, 0), (wide, 0), (wide, high), (0, high), (0, 0)):
        yield fault_in(TEST_LIST, "P301 test list", "its outline is not that of the board")


def _um(size_nm: int) -> int:
    return min(round(size_nm / 1000), MOST_UM)


def _place(at: PointNm) -> tuple[int, int]:
    return round(at[0] / 1000), round(at[1] / 1000)


def _said(point: ListedPoint) -> str:
    name = f"{point.ref}-{point.pad}" if point.pad else point.ref or "a screw's hole"
    return f'{name} at {point.at_um[0] / 1000:.2f}, {point.at_um[1] / 1000:.2f} mm, net "{point.net}"'


def _positions(built: Built) -> Iterator[Problem]:
    """Lines that are not of the part, its value, footprint or place as netlist and editor have it."""
    components = built.netlist.components
    lines = {line.ref: line for line in built.positions}
    for ref in sorted(lines.keys() ^ components.keys()):
        where, there = (POSITIONS, NETLIST) if ref in components else (NETLIST, POSITIONS)
        yield fault_in(where, "P302 positions", f"{ref} is absent", f"{there} has it")
    if len(lines) < len(built.positions):
        yield fault_in(POSITIONS, "P302 positions", "it has a part in two lines")
    standing = {part.ref: part for part in built.editor.footprints}
    turned: dict[str, set[int]] = {}
    for ref in (ref for ref in lines if ref in components and ref in standing):
        line, component, part = lines[ref], components[ref], standing[ref]
        pairs = {
            "value": (line.value, harmless(component.value)),
            "fitted": (line.fitted, component.fields.get("Fitted", "")),
            "side": (line.side, "top"),
        }
        own = not component.footprint.startswith(f"{LIBRARY}:")
        if not own:
            pairs["footprint"] = (f"{LIBRARY}:{line.footprint}", component.footprint)
        for what, (said, wanted) in pairs.items():
            if said != wanted:
                yield fault_in(POSITIONS, "P302 positions", f"the {what} of {ref} is {said}", f"{wanted} is expected")
        # a footprint of the user's own may lie turned in his library
        turned.setdefault(line.footprint, set()).add((part.degrees - line.degrees) % 360)
        if len(turned[line.footprint]) > 1 or (not own and turned[line.footprint] != {0}):
            found = f"{ref} is turned by {line.degrees} degrees"
            yield fault_in(POSITIONS, "P302 positions", found, f"the editor's file turns it by {part.degrees}")
        xs, ys = zip(*(point for ring in part.rings.get("F.Fab", ()) for point in ring), strict=True)
        middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
        if part.pads and max(abs(a - b) for a, b in zip(middle, line.middle, strict=True)) > ROUNDED_NM:
            found = f"{ref} stands at {line.middle[0] / 1e6:.3f}, {line.middle[1] / 1e6:.3f} mm"
            wanted = f"the editor's file has it at {middle[0] / 1e6:.3f}, {middle[1] / 1e6:.3f} mm"
            yield fault_in(POSITIONS, "P302 positions", found, wanted)


ROUNDED_NM = 501
"""Positions have three decimals of a millimetre."""


def _pins(built: Built, board: Board) -> Iterator[Problem]:
    """Parts whose lands are not the pins that the netlist's library gives them, or whose pins have another role."""
    netlist = built.netlist
    lands: dict[str, set[str]] = {}
    for pad in board.pads:
        lands.setdefault(pad.ref, set()).add(pad.number)
    for ref, component in netlist.components.items():
        roles = netlist.roles.get(component.part, ())
        # a land may be there for its hold alone
        fitting = [each for each in roles if each.keys() <= lands.get(ref, set())]
        if not fitting:
            yield fault_in(NETLIST, "P303 netlist", f"{ref} has pins there that the layers have no lands for")
            continue
        for number, role in fitting[0].items():
            said = netlist.role.get((ref, number), role)
            if said != role:
                yield fault_in(NETLIST, "P303 netlist", f"{ref}-{number} is called {said}", f"{role} is expected")
    for ref in sorted(lands.keys() - netlist.components.keys()):
        yield fault_in(NETLIST, "P303 netlist", f"{ref} is absent", "the layers have its lands")


def _bill(built: Built) -> Iterator[Problem]:
    """Parts of the netlist that the bill does not have once, or has of another maker, number or count."""
    components = built.netlist.components
    billed: Counter[str] = Counter()
    for row in built.bill:
        refs = (row.get("designators") or "").split()
        billed.update(refs)
        if refs and row.get("per board") != str(len(refs)):
            yield fault_in(BILL, "P307 bill", f"it counts {row.get('per board')} of {' '.join(refs)}")
        for ref in (ref for ref in refs if ref in components):
            fields = components[ref].fields
            for column, field in (("maker", "Maker"), ("maker's number", "Number")):
                said, wanted = row.get(column), harmless(fields.get(field, ""))
                if said != wanted:
                    yield fault_in(BILL, "P307 bill", f"the {column} of {ref} is {said}", f"{wanted} is expected")
    for ref in sorted({*billed, *components}):
        fields = components[ref].fields if ref in components else {}
        # what no maker makes, such as a link, is bought as wire or not at all
        times = int(fields.get("Fitted") == "yes" and fields.get("Maker") != "none")
        if billed[ref] != times:
            yield fault_in(BILL, "P307 bill", f"{ref} stands there {billed[ref]} times", f"{times} is expected")


def _needs(built: Built) -> Iterator[Problem]:
    """What an order of the folder would buy that the bill does not have, or otherwise."""
    if (said := f"{built.needs.title}, revision {built.needs.revision}") != built.netlist.source:
        yield fault_in(NEEDS, "P308 needs", f"it is of {said}", f"{built.netlist.source} is expected")
    columns = ("maker", "maker's number", "designators", "per board", "unit")
    billed: Counter[tuple[str, ...]] = Counter(
        tuple(row.get(column) or "" for column in columns) for row in built.bill if row.get("line")
    )
    needed: Counter[tuple[str, ...]] = Counter(
        (harmless(part.maker), harmless(part.number), " ".join(x.designators), plain(x.per_board), part.unit)
        for x in built.needs.needs
        for part in (x.part,)
    )
    for where, there, lines in ((NEEDS, BILL, billed - needed), (BILL, NEEDS, needed - billed)):
        for _, number, refs, per_board, _ in lines:
            found = f"{per_board} of {number} {refs}".rstrip()
            yield fault_in(where, "P308 needs", f"it does not have {found} as {there} has it")


def _note(built: Built, board: Board) -> Iterator[Problem]:
    """Size and holes that the note counts otherwise than the layers and drill files."""
    said = _SIZE.search(built.note)
    size = f"{board.width_nm / 1e6:.2f}", f"{board.height_nm / 1e6:.2f}"
    if said is None or said.groups() != size:
        yield fault_in(NOTE, "P304 note", "the size is not that of the outline", f"{' x '.join(size)} mm is expected")
    pads, vias = [(pad.width_nm, pad.height_nm, pad.hole_nm) for pad in board.pads if pad.hole_nm], board.vias
    rings = [(min(wide, tall) - hole) / 2e6 for wide, tall, hole in pads]
    rings += [(via.pad_nm - via.hole_nm) / 2e6 for via in vias]
    track, ring = min((track.width_nm for track in board.tracks), default=0) / 1e6, min(rings, default=0.0)
    least = _LEAST.search(built.note)
    if least is None or least.groups() != (f"{track:.2f}", f"{ring:.2f}"):
        found = "the least track or ring is not that of the layers"
        yield fault_in(NOTE, "P304 note", found, f"{track:.2f} and {ring:.2f} mm are expected")
    if f"\nDrawn for  {built.house.name} (" not in built.note:
        yield fault_in(NOTE, "P304 note", "it names another board house", f"{built.house.name} is expected")
    drilled = ((built.plated, "plated"), (built.unplated, "not plated"))
    holes = Counter((f"{hole.size_nm / 1e6:.2f}", plated) for file, plated in drilled for hole in file.holes)
    told: Counter[tuple[str, str]] = Counter()
    for diameter, plated, count in _HOLES.findall(built.note):
        told[diameter, plated] += int(count)
    for diameter, plated in sorted({*(holes - told), *(told - holes)}):
        found = f"it counts {told[diameter, plated]} holes of {diameter} mm, {plated}"
        yield fault_in(NOTE, "P304 note", found, f"{holes[diameter, plated]} are drilled")


def _archive(built: Built) -> Iterator[Problem]:
    """What in the archive, which is what a board house gets, is not as the file beside it."""
    name = FABRICATION
    try:
        with zipfile.ZipFile(io.BytesIO(built.archive)) as archive:
            entries = archive.infolist()
            # what has another size is not unpacked: it may be huge
            alike = {
                entry.filename
                for entry in entries
                if len(data := built.loose.get(entry.filename, b"")) == entry.file_size and archive.read(entry) == data
            }
    except (zipfile.BadZipFile, OSError, RuntimeError, NotImplementedError, zlib.error, EOFError) as error:
        yield fault_in(name, "P305 archive", f"the archive cannot be read: {error}", REBUILD)
        return
    counted = Counter(entry.filename for entry in entries)
    for each in sorted({*counted, *built.loose}):
        if each not in alike or each not in built.loose or counted[each] != 1:
            yield fault_in(name, "P305 archive", f"{each} in the archive is not as beside it, or there twice", REBUILD)

"""Ways to change the files of a built board, each found by what the files say, so that they hold for other boards."""

from __future__ import annotations

import json
import math
import re
import zipfile
from collections.abc import Callable
from io import BytesIO

from shapely import LineString, Point

from boardgen.formats.read_gerber import Draw, read_gerber
from boardgen.formats.xnc import read_drill
from boardgen.model.copper import PointNm
from tests.proof.built_folder import Files, archive_in, good

Change = Callable[[Files], Files]
TOP, BOTTOM, MASK = "fabrication/copper-top.gbr", "fabrication/copper-bottom.gbr", "fabrication/mask-top.gbr"
OTHER_MASK = "fabrication/mask-bottom.gbr"
LEGEND, OUTLINE = "fabrication/silkscreen-top.gbr", "fabrication/outline.gbr"
PLATED, UNPLATED = "fabrication/drill-plated.drl", "fabrication/drill-unplated.drl"
TEST_LIST, POSITIONS = "fabrication/test-list.ipc", "fabrication/positions.csv"
NOTE, NETLIST, BILL, NEEDS = "fabrication/fabrication-note.txt", "netlist.net", "bill.csv", "needs.json"
LIBRARY, TABLE = "board-editor/footprints.pretty/", "board-editor/fp-lib-table"
BOARD, PROJECT = ".kicad_pcb", ".kicad_pro"
MM = 1_000_000


def path_of(name: str, files: Files) -> str:
    """A file by its path, or the only one with an ending."""
    return name if name in files else next(path for path in files if path.endswith(name))


def lines(name: str, change: Callable[[list[str]], list[str]]) -> Change:
    """A change of a file's lines."""

    def changed(files: Files) -> Files:
        path = path_of(name, files)
        return {**files, path: "\n".join(change(files[path].decode().split("\n"))).encode()}

    return changed


def text(name: str, pattern: str, new: str | Callable[[re.Match[str]], str], count: int = 1) -> Change:
    """What a pattern finds first, or so many times, written anew."""

    def changed(files: Files) -> Files:
        path = path_of(name, files)
        written, found = re.subn(pattern, new, files[path].decode(), count=count, flags=re.MULTILINE)
        assert found, pattern
        return {**files, path: written.encode()}

    return changed


def both(*changes: Change) -> Change:
    """One change after another."""

    def changed(files: Files) -> Files:
        for change in changes:
            files = change(files)
        return files

    return changed


def later(make: Callable[[], Change]) -> Change:
    """A change that asks first where on the board something lies."""
    return lambda files: make()(files)


def absent(name: str) -> Change:
    return lambda files: {path: data for path, data in files.items() if path != path_of(name, files)}


def swapped(one: str, other: str) -> Change:
    return lambda files: {**files, one: files[other], other: files[one]}


def cut_short(name: str) -> Change:
    return lambda files: {**files, name: files[name][: len(files[name]) // 2]}


def added(name: str, *words: str) -> Change:
    """Statements before the end of a layer."""
    return text(name, r"^M02\*$", "\n".join([*words, "M02*"]))


def drawn(name: str, size: str, start: PointNm, end: PointNm) -> Change:
    """A line more with an aperture of its own."""
    line = f"X{start[0]}Y{start[1]}D02*\nX{end[0]}Y{end[1]}D01*"
    return added(name, "%TA.AperFunction,Conductor*%", f"%ADD99C,{size}*%", "D99*", line)


def moved(name: str, dx_nm: int, dy_nm: int, *, mirrored_at: int = 0) -> Change:
    """All coordinates of a layer, across by so much and up by so much, or mirrored left to right first."""

    def place(found: re.Match[str]) -> str:
        x = mirrored_at - int(found.group(1)) if mirrored_at else int(found.group(1))
        return f"X{x + dx_nm}Y{int(found.group(2)) + dy_nm}D0"

    return text(name, r"^X(\d+)Y(\d+)D0", place, 0)


LAND_NM = 1_500_000
"""No land reaches farther from its middle than this."""


def size() -> PointNm:
    corners = [draw.end for draw in read_gerber(good()[OUTLINE].decode()).draws]
    return max(x for x, _ in corners), max(y for _, y in corners)


def pad(pin: str) -> PointNm:
    """Where a pad lies."""
    return next(f.at for f in read_gerber(good()[TOP].decode()).flashes if dict(f.attributes).get("P") == pin)


def long_track(net: str) -> Draw:
    """The longest track of a net on the top."""
    tracks = [draw for draw in read_gerber(good()[TOP].decode()).draws if dict(draw.attributes)["N"] == net]
    return max(tracks, key=lambda draw: abs(draw.end[0] - draw.start[0]) + abs(draw.end[1] - draw.start[1]))


def middle(track: Draw) -> PointNm:
    return (track.start[0] + track.end[0]) // 2, (track.start[1] + track.end[1]) // 2


def is_free(at: PointNm, reach_nm: int) -> bool:
    """Whether no track of the top comes that near to a place, and no land reaches it."""
    layer = read_gerber(good()[TOP].decode())
    tracks = (LineString([d.start, (d.end[0] + 1, d.end[1])]).distance(Point(at)) - d.width_nm / 2 for d in layer.draws)
    return all(far >= reach_nm for far in tracks) and all(math.dist(at, f.at) > LAND_NM for f in layer.flashes)


def beside(gap_nm: int) -> Change:
    """A dot so far from the edge of the bus, and clear of everything else."""
    tracks = [draw for draw in read_gerber(good()[TOP].decode()).draws if dict(draw.attributes)["N"] == "bus centre"]
    places = (
        (track, share, side)
        for track in sorted(tracks, key=lambda draw: -math.dist(draw.start, draw.end))
        for share in (0.5, 0.25, 0.75)
        for side in (1, -1)
    )
    for track, share, side in places:
        x, y = (round(a + share * (b - a)) for a, b in zip(track.start, track.end, strict=True))
        away = side * (track.width_nm // 2 + gap_nm + 150_000)
        at = (x, y + away) if track.start[1] == track.end[1] else (x + away, y)
        if is_free(at, gap_nm + 150_000 - 10):
            return drawn(TOP, "0.3", at, at)
    raise AssertionError("no place beside the bus is free")


def drop_first(start: str, end: str) -> Callable[[list[str]], list[str]]:
    """Without the first line that ends so, after one that reads so."""

    def change(all_lines: list[str]) -> list[str]:
        at = all_lines.index(start)
        gone = next(number for number in range(at, len(all_lines)) if all_lines[number].endswith(end))
        return all_lines[:gone] + all_lines[gone + 1 :]

    return change


def without_largest_area(all_lines: list[str]) -> list[str]:
    """The area of the most corners, with what is cleared out of it."""
    starts = [k for k, line in enumerate(all_lines) if line == "G36*"] + [len(all_lines)]
    first = max(range(len(starts) - 1), key=lambda k: all_lines.index("G37*", starts[k]) - starts[k])
    end = all_lines.index("G37*", starts[first]) + 1
    while all_lines[end] in ("%LPC*%", "G36*"):
        end = all_lines.index("G37*", end) + 1
    head = all_lines[: starts[first]]
    return head + (["%LPD*%"] if all_lines[end - 1] != "%LPD*%" else []) + all_lines[end:]


def crossing_area(all_lines: list[str]) -> list[str]:
    """The first area with its second and third corner exchanged for corners across it."""
    at = all_lines.index("G36*")
    end = all_lines.index("G37*", at)
    middle_ = (at + end) // 2
    all_lines = list(all_lines)
    all_lines[at + 2], all_lines[middle_] = all_lines[middle_], all_lines[at + 2]
    return all_lines


def hole_line(at: PointNm) -> str:
    return f"X{at[0] / 1e6:.6f}Y{at[1] / 1e6:.6f}"


def via_of(net: str) -> PointNm:
    """A via that joins both sides of a net."""
    flashes = read_gerber(good()[TOP].decode()).flashes
    return next(f.at for f in flashes if dict(f.attributes).get("N") == net and "P" not in dict(f.attributes))


def screw() -> PointNm:
    return read_drill(good()[UNPLATED].decode()).holes[0].at


def unplated(*at: PointNm) -> Change:
    """More unplated holes of the screws' size."""
    return text(UNPLATED, r"^M30$", "\n".join([*map(hole_line, at), "M30"]))


def screw_to(at: PointNm) -> Change:
    return text(UNPLATED, f"^{re.escape(hole_line(screw()))}$", hole_line(at))


def exchanged(name: str, one: str, other: str) -> Change:
    """Two pieces of text in each other's place, everywhere."""
    return text(name, f"{re.escape(one)}|{re.escape(other)}", lambda m: other if m.group() == one else one, 0)


def packed(change: Callable[[Files], list[tuple[str, bytes]]]) -> Change:
    """Another archive."""

    def changed(files: Files) -> Files:
        made = BytesIO()
        with zipfile.ZipFile(made, "w") as archive:
            for name, data in change(files):
                archive.writestr(name, data)
        return {**files, archive_in(files): made.getvalue()}

    return changed


def loose(files: Files) -> list[tuple[str, bytes]]:
    name = archive_in(files)
    start = "fabrication/"
    return [(p.removeprefix(start), data) for p, data in files.items() if p.startswith(start) and p != name]


def project(change: Callable[[dict[str, float]], None]) -> Change:
    def changed(files: Files) -> Files:
        path = path_of(PROJECT, files)
        document = json.loads(files[path])
        change(document["board"]["design_settings"]["rules"])
        return {**files, path: json.dumps(document).encode()}

    return changed


def column(ref: str, number: int, new: str) -> Change:
    """Another word in a column of the line of a part."""

    def change(all_lines: list[str]) -> list[str]:
        at = next(k for k, line in enumerate(all_lines) if line.startswith(f"{ref},"))
        cells = all_lines[at].split(",")
        cells[number] = new
        return [*all_lines[:at], ",".join(cells), *all_lines[at + 1 :]]

    return lines(POSITIONS, change)


def without_line(start: str) -> Callable[[list[str]], list[str]]:
    return lambda all_lines: [line for line in all_lines if not line.startswith(start)]


def without_comp(ref: str) -> Callable[[list[str]], list[str]]:
    return lambda all_lines: [line for line in all_lines if f'(comp (ref "{ref}")' not in line]


def across() -> Change:
    """A line right across the board at a relay's pin."""
    y = pad("K1,1")[1]
    return drawn(TOP, "0.3", (2 * MM, y), (size()[0] - 2 * MM, y))


def thin() -> Change:
    track = long_track("bus centre")
    return drawn(TOP, "0.02", track.start, track.end)


def on_its_own() -> Change:
    """A dot near the upper edge, clear of everything."""
    wide, high = size()
    at = next((x, high - 600_000) for x in range(1_000_000, wide, 500_000) if is_free((x, high - 600_000), 800_000))
    return drawn(TOP, "0.3", at, at)


def absent_segment(net: str) -> Change:
    """The editor's file without its first track of a net."""

    def changed(files: Files) -> Files:
        path = path_of(BOARD, files)
        whole = files[path].decode()
        number = re.search(rf'^  \(net (\d+) "{net}"\)$', whole, re.MULTILINE)
        assert number
        found = re.search(
            rf"^  \(segment\n(?:    .*\n)*?    \(net {number.group(1)}\)\n(?:    .*\n)*?  \)\n", whole, re.M
        )
        assert found
        return {**files, path: (whole[: found.start()] + whole[found.end() :]).encode()}

    return changed


def flash_again(pin: str) -> list[str]:
    x, y = pad(pin)
    net = next(f for f in read_gerber(good()[TOP].decode()).flashes if dict(f.attributes).get("P") == pin)
    return [f"%TO.N,{dict(net.attributes)['N']}*%", f"%TO.P,{pin}*%", f"X{x}Y{y}D03*"]


def exchanged_copper(files: Files) -> Files:
    """Each with what the other says that it is."""
    top, bottom = files[TOP].replace(b"L1,Top", b"L2,Bot"), files[BOTTOM].replace(b"L2,Bot", b"L1,Top")
    return {**files, TOP: bottom, BOTTOM: top}


def renewed_hole(new: Callable[[PointNm], str]) -> Change:
    """The line of a via's hole written anew."""

    def make() -> Change:
        via = via_of("bus braid")
        return text(PLATED, f"^{re.escape(hole_line(via))}\\n", new(via))

    return later(make)


def ring(more_x: int = 0, more_y: int = 0, dx: int = 0) -> Change:
    """The outline so much wider and higher, and so far from the origin."""

    def make() -> Change:
        wide, high = size()
        right, top = wide + more_x, high + more_y
        corners = [(dx, 0), (right, 0), (right, top), (dx, top), (dx, 0)]
        body = "\n".join(f"X{x}Y{y}D0{1 if k else 2}*" for k, (x, y) in enumerate(corners))
        return text(OUTLINE, r"^X(?:.|\n)*\*\nM02\*$", f"{body}\nM02*")

    return later(make)


def over_lands() -> Change:
    (x1, y1), (x2, y2) = pad("K1,1"), pad("K1,2")
    return added(LEGEND, f"X{x1}Y{y1}D02*", f"X{x2}Y{y2}D01*")


def half() -> Change:
    """A second line of the outline, through the middle of the board."""
    wide, high = size()
    return added(OUTLINE, f"X{wide // 2}Y0D02*", f"X{wide // 2}Y{high}D01*")


def unlike(files: Files) -> list[tuple[str, bytes]]:
    """What the archive holds, one layer changed."""
    return [(name, data + b" " * (name == "copper-top.gbr")) for name, data in loose(files)]

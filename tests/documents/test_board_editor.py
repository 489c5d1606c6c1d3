"""The folder for a board editor: read by the editor itself, and by a reader of S-expressions."""

from __future__ import annotations

import json
import math
import os
import shutil
import subprocess
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from pathlib import Path

import pytest
import sexpdata
import shapely

from boardgen.design import Design, make_design
from boardgen.documents import PROGRAM
from boardgen.documents.board_editor import FOLDER, editor_files, with_ends_in_areas
from boardgen.documents.fabrication import fabrication_files
from boardgen.documents.named import named_board, named_netlist, narrow_holes
from boardgen.formats.kicad_pcb import one_ring
from boardgen.formats.netlist import netlist_text
from boardgen.formats.read_gerber import read_gerber
from boardgen.inputs.footprint_names import read_footprint_names
from boardgen.model.part import FootprintName
from boardgen.request import Request
from boardgen.spec.load import read_text
from tests.board.independent_copper import pieces
from tests.catalogue.shipped import CATALOGUE
from tests.circuit.netlist_file import read_netlist
from tests.circuit.options import ALL, DEFAULTS, specification

EDITOR = Path(__file__).with_name("kicad_editor.py")
PYTHON = Path("/usr/bin/python3")
"""The one that Debian's package puts the editor's modules beside."""
STOCK = Path(__file__).parents[2] / "parts" / "footprint_names_kicad.csv"
STOCK_LIBRARY = Path("/usr/share/kicad/footprints")
LEFT, TOP = 25.0, 25.0
"""Where the board lies on its sheet, in millimetres."""
BOARDS: dict[str, tuple[dict[str, object], int]] = {
    "one way": ({"feed": "plain"}, 1),
    "two ways": ({"feed": "local rail", "earth_to_0v": "gas tube"}, 2),
    "three ways": ({"relays_in_series": 2, "idle": "open", "surge": False}, 3),
    "four ways": ({"feed": "common-mode choked", "feed_lines": "shared", "indicators": True}, 4),
    "five ways": ({"braid_breakers": "none", "drive": "low side"}, 5),
    "six ways": ({"entry": "studs", "earth_to_0v": "linked"}, 6),
    "seven ways": ({"unfitted": True, "output_feed": True, "feed": "plain"}, 7),
    "eight ways": ({"rest": "way 1", "idle": "open", "feed": "none"}, 8),
    "sixteen ways": ({"feed": "local rail", "bus_braid": "floating"}, 16),
    "feed with selection": ({"feed": "plain", "feed_lines": "with selection", "indicators": False}, 2),
    "output breaker alone": ({"braid_breakers": "output", "reverse": False, "unfitted": True}, 2),
    "antennas' breakers alone": ({"braid_breakers": "antennas", "earth_to_0v": "open", "idle": "open"}, 3),
    "studs, low side": ({"entry": "studs", "drive": "low side", "relays_in_series": 2, "indicators": True}, 2),
    "fed output": ({"output_feed": True, "feed": "plain", "feed_lines": "shared", "bus_braid": "floating"}, 3),
    "single terminations": ({"termination": "single", "surge": False, "attenuator": "6 dB, 10 dB"}, 2),
}
"""One to sixteen ways, with every value of every option but the jack, whose pattern a user supplies."""


@lru_cache(maxsize=2)
def design(name: str = "two ways") -> Design:
    option, ways = BOARDS[name]
    return make_design(Request(read_text(specification(option, ways)), CATALOGUE), laid_out=True)


def test_every_value_of_every_option_is_among_the_boards() -> None:
    had = {(name, value) for option, _ in BOARDS.values() for name, value in (DEFAULTS | option).items()}
    assert {(name, value) for name, values in ALL.items() for value in values} - had == {("entry", "jack")}


@pytest.fixture(scope="module", autouse=True)
def laid_out() -> None:
    """Most tests look at one board."""
    design()


def files(made: Design, names: Mapping[str, FootprintName] | None = None) -> dict[str, bytes]:
    return {path.removeprefix(FOLDER): data for path, data in editor_files(made, names or {}, "2026-11-25").items()}


def board_of(made: Mapping[str, bytes]) -> list[object]:
    (data,) = (data for name, data in made.items() if name.endswith(".kicad_pcb"))
    return sexpdata.loads(data.decode(), nil=None, true=None, false=None)


def inside(item: list[object], word: str) -> Iterator[list[object]]:
    return (each for each in item if isinstance(each, list) and each[0] == sexpdata.Symbol(word))


def one(item: list[object], word: str) -> list[object]:
    (found,) = inside(item, word)
    return found[1:]


def pads_of(board: list[object]) -> dict[tuple[str, str], str]:
    found = {}
    for footprint in inside(board, "footprint"):
        ref = next(text[2] for text in inside(footprint, "fp_text") if text[1] == sexpdata.Symbol("reference"))
        for pad in inside(footprint, "pad"):
            found[ref, pad[1]] = next((net[2] for net in inside(pad, "net")), "")
    return {pin: net for pin, net in found.items() if not pin[0].startswith("H")}


def test_every_pad_has_its_net() -> None:
    made = design()
    nets = {(node.ref, node.pad): net.name for net in made.netlist.nets for node in net.nodes}
    found = pads_of(board_of(files(made)))
    assert {pin: net for pin, net in found.items() if net} == nets
    layout = made.layout
    assert layout is not None
    assert set(found) == {(pad.ref, pad.number) for pad in layout.board.pads}


def test_what_a_surge_takes_meets_its_areas_without_thermal_relief() -> None:
    """Areas that the editor fills anew join what carries a surge to 0V over its whole edge, as they are written."""
    made = design()
    layout = made.layout
    assert layout is not None
    wanted = {(pad.ref, pad.number) for pad in layout.board.pads if pad.solid}
    assert {made.netlist.component[ref].part.kind for ref, _ in wanted} >= {"terminal"}
    assert {pad.net for pad in layout.board.pads if pad.solid} == {"0V"}
    found = set()
    for footprint in inside(board_of(files(made)), "footprint"):
        ref = next(text[2] for text in inside(footprint, "fp_text") if text[1] == sexpdata.Symbol("reference"))
        found |= {
            (ref, pad[1]) for pad in inside(footprint, "pad") if [2] in [way[1:] for way in inside(pad, "zone_connect")]
        }
    assert found == wanted


def test_pads_lie_where_the_layers_flash_them() -> None:
    """Turned as the format turns them: y down, angles anticlockwise, places before the part is turned."""
    made = design()
    layout = made.layout
    assert layout is not None
    written = fabrication_files(layout.board, made.netlist, made.rules, (), (), PROGRAM, "")
    flashed = {}
    for flash in read_gerber(written["fabrication/copper-top.gbr"].decode()).flashes:
        if "P" in (attributes := dict(flash.attributes)):
            flashed[tuple(attributes["P"].split(","))] = (flash.at, flash.width_nm, flash.height_nm)
    found = {pin: pad for pin, (*pad, _) in placed_pads(board_of(files(made)), layout.board.height_nm).items()}
    assert found == {pin: list(pad) for pin, pad in flashed.items()}


def placed_pads(board: list[object], high_nm: int) -> dict[tuple[str, str], tuple[tuple[int, int], int, int, str]]:
    """Place on the board, width, height and net of each pad of a part."""
    found = {}
    for footprint in inside(board, "footprint"):
        ref = next(text[2] for text in inside(footprint, "fp_text") if text[1] == sexpdata.Symbol("reference"))
        x0, y0, *turn = one(footprint, "at")
        quarters = (turn[0] if turn else 0) // 90
        for pad in inside(footprint, "pad"):
            x, y, *own = one(pad, "at")
            assert own == turn
            across, down = ((x, y), (y, -x), (-x, -y), (-y, x))[quarters]
            size = one(pad, "size")
            size = size[::-1] if quarters % 2 else size
            at = round((x0 + across - LEFT) * 1e6), round((TOP + high_nm / 1e6 - y0 - down) * 1e6)
            net = next((each[2] for each in inside(pad, "net")), "")
            found[ref, pad[1]] = (at, *(round(side * 1e6) for side in size), net)
    return {pin: pad for pin, pad in found.items() if not pin[0].startswith("H")}


def stock_names(folder: Path) -> dict[str, FootprintName]:
    """The names that come with the program, as a user takes them."""
    shutil.copy(STOCK, folder / "footprint_names.csv")
    return read_footprint_names(folder)


def test_the_shipped_names_leave_every_pad_in_its_place_with_its_net(tmp_path: Path) -> None:
    """A footprint that is turned and numbered otherwise: copper and nets stay, only numbers and origin change."""
    made, names = design(), stock_names(tmp_path)
    layout = made.layout
    assert layout is not None
    high = layout.board.height_nm
    ours, theirs = (placed_pads(board_of(files(made, each)), high) for each in ({}, names))
    assert sorted(ours.values()) == sorted(theirs.values())
    diode = next(part for part in layout.board.parts if part.kind == "diode")
    assert names[diode.footprint].quarters == 2
    assert ours[diode.ref, "1"] == theirs[diode.ref, "2"]
    assert set(names) <= set(made.catalogue.footprints)


def test_narrower_holes_of_own_footprints_are_told(tmp_path: Path) -> None:
    made, names = design(), stock_names(tmp_path)
    layout = made.layout
    assert layout is not None
    (problem,) = narrow_holes(made.netlist, layout.board, made.catalogue.footprints, names)
    wide = max(pad.hole_nm or 0 for pad in made.catalogue.footprints["axial-0207"].pads) / 1e6
    name = names["axial-0207"].name
    assert f"{name} has holes of 0.8 mm, axial-0207 wants {wide:g} mm" in problem.found
    assert "Relay_DPDT_FRT5" not in problem.found
    assert narrow_holes(made.netlist, layout.board, made.catalogue.footprints, {}) == ()


@pytest.mark.peer
def test_the_shipped_names_fit_the_stock_library(python: str, tmp_path: Path) -> None:
    """Every pad of ours lies on the one that is named for it, within 0.1 mm, and the narrowest hole is as told."""
    if not STOCK_LIBRARY.is_dir():
        absent("no name was looked up, because KiCad's footprints (kicad-footprints) are not installed")
    names = stock_names(tmp_path)
    code = (
        "import json, pcbnew, sys\n"
        "print(json.dumps([[[p.GetNumber(), p.GetPosition().x, -p.GetPosition().y, p.GetDrillSize().x]"
        " for p in pcbnew.FootprintLoad(*each).Pads()] for each in json.loads(sys.argv[1])]))"
    )
    where = [each.name.split(":") for each in names.values()]
    asked = json.dumps([[str(STOCK_LIBRARY / f"{library}.pretty"), name] for library, name in where])
    home = {"HOME": str(tmp_path), "PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"}
    done = subprocess.run([python, "-c", code, asked], env=home, check=True, capture_output=True, text=True)
    for (key, name), pads in zip(names.items(), json.loads(done.stdout), strict=True):
        theirs = {number: (x, y, hole) for number, x, y, hole in pads}
        assert name.hole_nm == min(hole for *_, hole in pads if hole or not any(pad[3] for pad in pads)), key
        for pad in CATALOGUE.footprints[key].pads:
            x, y, _ = theirs[name.pads.get(pad.number, pad.number)]
            x, y = ((x, y), (-y, x), (-x, -y), (y, -x))[name.quarters]
            assert math.dist((x + name.x_nm, y + name.y_nm), (pad.x_nm, pad.y_nm)) < 1e5, (key, pad.number)


def test_copper_is_that_of_the_board() -> None:
    made = design()
    layout = made.layout
    assert layout is not None
    item, board = board_of(files(made)), layout.board
    names = {number: name for _, number, name in inside(item, "net")}
    assert sorted(names.values()) == sorted(["", *(net.name for net in made.netlist.nets)])
    side = {"F.Cu": "top", "B.Cu": "bottom"}
    drawn = lengths(
        (
            side[one(each, "layer")[0]],
            round(one(each, "width")[0] * 1e6),
            names[one(each, "net")[0]],
            math.dist(one(each, "start"), one(each, "end")),
        )
        for each in inside(item, "segment")
    )
    wanted = lengths((t.side, t.width_nm, t.net, math.dist(t.start, t.end) / 1e6) for t in board.tracks)
    assert drawn == pytest.approx(wanted, abs=1e-5)
    assert sum(1 for _ in inside(item, "via")) == len(board.vias)
    areas = [each for each in inside(item, "zone") if not any(inside(each, "keepout"))]
    assert len(areas) == len(board.regions) > 0
    for each, region in zip(areas, board.regions, strict=True):
        ring = [point[1:] for point in one(one_list(each, "filled_polygon"), "pts")]
        area = shapely.Polygon(region.outline, region.clear).area / 1e12
        assert shapely.Polygon(ring).area == pytest.approx(area, abs=1e-5)


def lengths(tracks: Iterable[tuple[str, int, str, float]]) -> dict[tuple[str, int, str], float]:
    """How long the tracks of each side, width and net are together."""
    found: dict[tuple[str, int, str], float] = {}
    for *which, length in tracks:
        found[tuple(which)] = found.get(tuple(which), 0.0) + length
    return found


def one_list(item: list[object], word: str) -> list[object]:
    (found,) = inside(item, word)
    return found


def test_a_ring_with_cuts_covers_what_the_outline_does_without_its_clear_areas() -> None:
    outline = ((0, 0), (100, 0), (100, 100), (0, 100))
    clear = (((60, 40), (80, 40), (80, 60), (60, 60)), ((20, 30), (40, 30), (40, 70), (20, 70)))
    ring = one_ring(outline, clear)
    assert shapely.Polygon(ring).buffer(0).area == 100 * 100 - 20 * 20 - 20 * 40
    assert not shapely.Polygon(ring).buffer(-1).contains(shapely.Point(30, 50))
    assert not shapely.Polygon(ring).buffer(-1).contains(shapely.Point(70, 50))
    assert shapely.Polygon(ring).buffer(-1).contains(shapely.Point(50, 50))


@pytest.mark.slow
def test_the_netlist_names_what_was_laid_out_and_finds_it_in_the_library() -> None:
    made = design()
    layout = made.layout
    assert layout is not None
    read = read_netlist(netlist_text(named_netlist(made.netlist, layout.board, {}), PROGRAM, {}, ""))
    named = {part.ref: part.footprint for part in read.parts}
    assert named == {part.ref: f"footprints:{part.footprint}" for part in layout.board.parts}
    assert any(name.endswith("-upright") for name in named.values())
    library = {
        f"footprints:{Path(name).stem}": {pad[1] for pad in inside(sexpdata.loads(data.decode(), nil=None), "pad")}
        for name, data in files(made).items()
        if name.endswith(".kicad_mod")
    }
    pins = {(pin.ref, pin.number) for joined in read.nets.values() for pin in joined}
    assert all(number in library[named[ref]] for ref, number in pins)


def test_the_users_own_footprints_have_their_own_pads_and_are_not_in_our_library() -> None:
    made = design()
    layout = made.layout
    assert layout is not None
    keys = {part.footprint for part in layout.board.parts if part.kind == "diode"}
    swapped = {key: FootprintName(f"Mine:{key}", {"1": "2", "2": "1"}) for key in sorted(keys)}
    netlist = named_netlist(made.netlist, layout.board, swapped)
    nets = {(node.ref, node.pad): net.name for net in netlist.nets for node in net.nodes}
    written = files(made, swapped)
    assert {pin: net for pin, net in pads_of(board_of(written)).items() if net} == nets
    plain = pads_of(board_of(files(made)))
    diodes = [part.ref for part in layout.board.parts if part.footprint in keys]
    assert len(diodes) > 1
    assert all(nets[ref, "1"] == plain[ref, "2"] != nets[ref, "2"] for ref in diodes)
    assert not any(f"footprints.pretty/{key}.kicad_mod" in written for key in keys)
    turned = {(pad.ref, pad.number): pad.net for pad in named_board(layout.board, swapped).pads}
    assert {pin: net for pin, net in turned.items() if net} == nets


def test_net_classes_keep_the_distance_of_a_surge() -> None:
    made = design()
    (data,) = (data for name, data in files(made).items() if name.endswith(".kicad_pro"))
    classes = {each["name"]: each for each in json.loads(data)["net_settings"]["classes"]}
    assert classes["earth"]["clearance"] == made.rules.surge_clearance_nm / 1e6 > classes["signal"]["clearance"]
    assert sorted(net for each in classes.values() for net in each["nets"]) == sorted(n.name for n in made.netlist.nets)


def test_same_bytes_again() -> None:
    assert files(design()) == files(design.__wrapped__())


@pytest.fixture(scope="module")
def python() -> str:
    """The Python that has the editor's modules."""
    if not shutil.which(PYTHON) or subprocess.run([PYTHON, "-c", "import pcbnew"], capture_output=True).returncode:
        absent("no board was opened in a board editor, because KiCad 6 (pcbnew) is not installed")
    return str(PYTHON)


def absent(reason: str) -> None:
    """Skips a test and says why; fails it where everything should be installed."""
    (pytest.fail if os.environ.get("CI") else pytest.skip)(f"NOT CHECKED: {reason}")


@pytest.mark.peer
@pytest.mark.slow
@pytest.mark.parametrize("name", BOARDS)
def test_the_editor_finds_no_fault(name: str, python: str, tmp_path: Path) -> None:
    """KiCad 6 loads the board, counts, checks its rules, fills all areas anew, moves a relay, and plots the copper."""
    made = design(name)
    layout = made.layout
    assert layout is not None
    assert layout.faults == ()
    board = layout.board
    for path, data in files(made).items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_bytes(data)
    (path,) = tmp_path.glob("*.kicad_pcb")
    plots = tmp_path / "plots"
    plots.mkdir()
    home = {"HOME": str(tmp_path / "home"), "PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"}
    command = [python, EDITOR, path, tmp_path / "footprints.pretty", plots]
    subprocess.run(command, env=home, check=True, capture_output=True)
    found = json.loads((plots / "found.json").read_text())
    assert found["unconnected"] == found["refilled unconnected"] == 0
    assert found["violations"] == found["refilled violations"] == []
    assert found["moved violations"] > 0
    nets = {(node.ref, node.pad): net.name for net in made.netlist.nets for node in net.nodes}
    pads = {(ref, number): net for ref, number, net in found["pads"]}
    assert {pin: net for pin, net in pads.items() if net} == nets
    assert len(found["pads"]) == len(board.pads) + len(board.mounting_holes)
    assert (found["tracks"], found["vias"]) == (len(with_ends_in_areas(board).tracks), len(board.vias))
    assert (found["areas"], found["keep-outs"]) == (len(board.regions), len(board.mounting_holes))
    values = {c.ref: c.value for c in made.netlist.components}
    assert {ref: value for ref, value in found["values"].items() if ref in values} == values
    earth = max(made.rules.surge_clearance_nm, made.rules.clearance_nm)
    assert (found["classes"]["earth"], found["classes"]["signal"]) == (earth, made.rules.clearance_nm)
    for key, drawn in found["library"].items():
        if key in made.catalogue.footprints:
            ours = made.catalogue.footprints[key].pads
            assert drawn == [[pad.number, pad.x_nm, -pad.y_nm, pad.hole_nm] for pad in ours]
    written = fabrication_files(board, made.netlist, made.rules, (), (), PROGRAM, "")
    for side in ("top", "bottom"):
        (plotted,) = plots.glob(f"*-{side}.g*")
        theirs = shapely.union_all(pieces(plotted.read_text()))
        ours_ = shapely.union_all(pieces(written[f"fabrication/copper-{side}.gbr"].decode()))
        assert shapely.symmetric_difference(theirs, ours_).area < 1e-3 * ours_.area

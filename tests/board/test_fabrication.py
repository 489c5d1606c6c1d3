"""The written files: read back by an independent reader and by our own."""

from __future__ import annotations

import zipfile
from functools import lru_cache
from io import BytesIO
from pathlib import Path

import pytest
from msgspec.structs import replace

from boardgen.board.silkscreen_space import gap, pad_box
from boardgen.documents.fabrication import FOLDER, MARK, archive_name, fabrication_files
from boardgen.formats.read_gerber import read_gerber
from boardgen.formats.xnc import read_drill
from boardgen.kinds import KIND
from boardgen.model.problem import Place, Problem
from tests.board.boards import example, made, made_text

PROGRAM = "boardgen 0"
Files = dict[str, bytes]


def written(layout, netlist, rules, faults=()) -> Files:
    files = fabrication_files(layout.board, netlist, rules, faults, ("check the relay",), PROGRAM, "2026-11-25")
    return {name.removeprefix(FOLDER): data for name, data in files.items()}


@lru_cache(maxsize=1)
def good() -> Files:
    return written(*example())


def test_same_bytes_again() -> None:
    layout, netlist, rules = example()
    assert written(layout, netlist, rules) == good()


def test_one_archive_holds_all() -> None:
    files = good()
    name = archive_name(example()[0].board)
    with zipfile.ZipFile(BytesIO(files[name])) as archive:
        assert {each: archive.read(each) for each in archive.namelist()} == {
            each: data for each, data in files.items() if each != name
        }


@pytest.mark.parametrize(
    ("title", "revision", "name"),
    [
        ("Larkfield four-way", "1", "Larkfield-four-way-1.zip"),
        ("Køge: 2 & 4", "B 2.1", "Koge-2-4-B-2.1.zip"),
        ("北", "A", "A.zip"),
    ],
)
def test_the_archive_bears_title_and_revision_in_plain_letters(title: str, revision: str, name: str) -> None:
    assert archive_name(replace(example()[0].board, title=title, revision=revision)) == name


def test_a_board_with_a_fault_is_marked_and_not_packed() -> None:
    layout, netlist, rules = example()
    fault = Problem("B201 clearance", "shortfall", Place(key="board at 1.00, 2.00 mm"), "too near")
    files = written(layout, netlist, rules, (fault,))
    assert all(name.startswith(MARK) for name in files)
    assert "DO NOT ORDER" in files[f"{MARK}fabrication-note.txt"].decode()
    assert "1.00, 2.00 mm" in files[f"{MARK}fabrication-note.txt"].decode()


def test_layers_say_what_they_are() -> None:
    files = good()
    wanted = {"copper-top.gbr": "Copper,L1,Top", "copper-bottom.gbr": "Copper,L2,Bot", "outline.gbr": "Profile,NP"}
    assert {name: read_gerber(files[name].decode()).attributes["FileFunction"] for name in wanted} == wanted


def test_every_pin_carries_its_net() -> None:
    files = good()
    _, netlist, _ = example()
    nets = {(n.ref, n.pad): net.name for net in netlist.nets for n in net.nodes}
    free = {(node.ref, node.pad) for node in netlist.free}
    found = {}
    for flash in read_gerber(files["copper-top.gbr"].decode()).flashes:
        attributes = dict(flash.attributes)
        if "P" in attributes:
            found[tuple(attributes["P"].split(","))] = attributes["N"]
    assert {pin: net for pin, net in found.items() if pin in nets} == nets
    assert all(found[pin] == "N/C" for pin in free)


def test_bare_board_test_records() -> None:
    files = good()
    layout, _, _ = example()
    lines = files["test-list.ipc"].decode().splitlines()
    pads = [line for line in lines if line.startswith("317") and line[20:23] != "VIA"]
    assert len(pads) == sum(pad.hole_nm > 0 for pad in layout.board.pads)
    assert lines[-1] == "999"
    pad = next(pad for pad in layout.board.pads if pad.ref == "K1" and pad.number == "1")
    line = next(line for line in pads if line[20:26].strip() == "K1" and line[27:31].strip() == "1")
    assert line[26] == "-"
    assert line[32] == "D"
    assert int(line[33:37]) == pad.hole_nm // 1000
    assert line[37:41] == "PA00"
    assert (int(line[42:49]), int(line[50:57])) == (round(pad.at[0] / 1000), round(pad.at[1] / 1000))


@pytest.mark.filterwarnings("ignore:(Ambiguous gerber filenames|Auto-guessed layer map)")
def test_an_independent_reader_sorts_the_archive_by_its_names(tmp_path: Path) -> None:
    """It guesses what a file is from its name alone, as pages for uploads do."""
    from gerbonara import LayerStack

    files = good()
    path = tmp_path / "board.zip"
    path.write_bytes(files[archive_name(example()[0].board)])
    stack = LayerStack.open(path)
    # what it unpacked
    stack.tmpdir.cleanup()
    assert {f"{side} {use}": layer.original_path.name for (side, use), layer in stack.graphic_layers.items()} == {
        "top copper": "copper-top.gbr",
        "bottom copper": "copper-bottom.gbr",
        "top mask": "mask-top.gbr",
        "bottom mask": "mask-bottom.gbr",
        "top silk": "silkscreen-top.gbr",
        "mechanical outline": "outline.gbr",
    }
    assert stack.drill_pth.original_path.name == "drill-plated.drl"
    assert stack.drill_npth.original_path.name == "drill-unplated.drl"


def test_an_independent_reader_reads_the_test_list() -> None:
    """Pads with their nets, long names of nets, vias, screw holes, outline and job."""
    from gerbonara.ipc356 import Netlist

    label = "northern line past the old orchard and the pond"
    text = f'[band]\nlowest = "160 m"\nhighest = "40 m"\n[[antenna]]\nlabel = "{label}"\n[[antenna]]\nlabel = "b"\n'
    layout, netlist, rules = made_text(f'title = "{"Long title " * 5}x"\n{text}')
    board = layout.board
    data = written(layout, netlist, rules)["test-list.ipc"].decode()
    assert max(map(len, data.splitlines())) <= 80
    read = Netlist.from_string(data, "test-list.ipc")
    pins = {(record.ref_des, record.pin): record.net_name for record in read.test_records if record.ref_des}
    assert pins == {(pad.ref, pad.number): pad.net or None for pad in board.pads}
    assert any(label in (net or "") for net in pins.values())
    assert sum(record.is_via for record in read.test_records) == len(board.vias)
    assert sum(record.is_plated is False for record in read.test_records) == len(board.mounting_holes)
    (edge,) = read.outlines
    assert [(round(x, 3), round(y, 3)) for x, y in edge.outline][2] == (
        round(board.width_nm / 1e6, 3),
        round(board.height_nm / 1e6, 3),
    )
    assert read.params["JOB"] == f"{board.title}, revision {board.revision}"


def test_positions_and_holes_of_the_note() -> None:
    files = good()
    layout, _, _ = example()
    assert files["positions.csv"].decode().count("\n") == len(layout.board.parts) + 1
    note = files["fabrication-note.txt"].decode()
    plated = read_drill(files["drill-plated.drl"].decode())
    assert sum(int(line.split()[-1]) for line in note.splitlines() if " mm  plated" in line) == len(plated.holes)
    assert "Verify against the maker's drawing" in note


def test_designators_are_counted_and_most_stand_at_their_parts() -> None:
    board = example()[0].board
    bodies = {part.ref: part.body for part in board.parts if KIND[part.kind].appearance.colour}
    extents = {part.ref: [part.body] for part in board.parts}
    for pad in board.pads:
        extents[pad.ref].append(pad_box(pad))
    boxes = {text.ref: text.box for text in board.silkscreen_texts if text.words == text.ref}
    hidden = {ref for ref, box in boxes.items() if any(gap(box, body) == 0 for body in bodies.values())}
    astray = {
        ref
        for ref, box in boxes.items()
        if min(extents, key=lambda each, b=box: min(gap(b, other) for other in extents[each])) != ref
    }
    beside, missing = boxes.keys() - hidden - astray, extents.keys() - boxes.keys()
    assert len(beside) > 0.9 * len(extents)
    wanted = (
        f"of {len(extents)} designators {len(beside)} nearest to their parts, {len(hidden)} under, "
        f"{len(astray - hidden)} nearer to another part, {len(missing)} left out"
    )
    assert wanted in good()["fabrication-note.txt"].decode()


@pytest.mark.slow
@pytest.mark.parametrize("number", range(4))
def test_independent_reader_sees_the_same_copper(number: int) -> None:
    from gerbonara import ExcellonFile, GerberFile

    options = (
        {"feed": "plain"}, {"feed": "common-mode choked", "surge": False}, {"relays_in_series": 2},
        {"idle": "open", "braid_breakers": "none", "drive": "low side"},
    )  # fmt: skip
    layout, netlist, rules = made(options[number])
    files = written(layout, netlist, rules)
    board = layout.board
    for side in ("top", "bottom"):
        read = GerberFile.from_string(files[f"copper-{side}.gbr"].decode())
        kinds = [type(item).__name__ for item in read.objects]
        pads = sum(side in pad.sides for pad in board.pads) + len(board.vias)
        assert kinds.count("Flash") == pads
        assert kinds.count("Line") == sum(track.side == side for track in board.tracks)
        assert kinds.count("Region") == sum(1 + len(r.clear) for r in board.regions if r.side == side)
        (left, low), (right, high) = read.bounding_box(unit="mm")
        assert 0 < left < right < board.width_nm / 1e6
        assert 0 < low < high < board.height_nm / 1e6
    drilled = ExcellonFile.from_string(files["drill-plated.drl"].decode())
    holes = sorted((round(item.x, 4), round(item.y, 4)) for item in drilled.objects)
    wanted = [pad.at for pad in board.pads if pad.hole_nm] + [via.at for via in board.vias]
    assert holes == sorted((round(x / 1e6, 4), round(y / 1e6, 4)) for x, y in wanted)

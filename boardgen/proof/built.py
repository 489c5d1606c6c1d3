"""The files of a built folder as values: each read whole, or a fault that names it."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Mapping
from io import StringIO
from pathlib import PurePosixPath
from typing import Any

from msgspec import Struct

from boardgen.formats.ipc_d_356 import ReadTestList, read_test_list
from boardgen.formats.kicad_footprint import LIBRARY
from boardgen.formats.netlist import ReadNetlist, read_netlist
from boardgen.formats.positions import Position, read_positions
from boardgen.formats.read_gerber import Layer, read_gerber
from boardgen.formats.read_kicad_pcb import EditorBoard, EditorFootprint, read_board, read_footprint
from boardgen.formats.xnc import DrillFile, read_drill
from boardgen.model.board_house import BoardHouse
from boardgen.model.problem import Place, Problem
from boardgen.purchasing import needs_file

NETLIST, BILL, NEEDS = "netlist.net", "bill.csv", needs_file.NAME
FABRICATION, EDITOR = "fabrication/", "board-editor/"
LIBRARY_FOLDER = f"{EDITOR}{LIBRARY}.pretty/"
COPPER = {"copper-top.gbr": "Copper,L1,Top", "copper-bottom.gbr": "Copper,L2,Bot"}
MASKS = {"mask-top.gbr": "Soldermask,Top", "mask-bottom.gbr": "Soldermask,Bot"}
LEGEND, OUTLINE = "silkscreen-top.gbr", "outline.gbr"
LAYERS = COPPER | MASKS | {LEGEND: "Legend,Top", OUTLINE: "Profile,NP"}
"""What each layer has to say that it is."""
PLATED, UNPLATED = "drill-plated.drl", "drill-unplated.drl"
TEST_LIST, POSITIONS, NOTE = "test-list.ipc", "positions.csv", "fabrication-note.txt"
TABLE = "fp-lib-table"
REBUILD = "build the board again"
READERS: Mapping[str, Callable[[str], object]] = {
    **dict.fromkeys((f"{FABRICATION}{name}" for name in LAYERS), read_gerber),
    **dict.fromkeys((f"{FABRICATION}{name}" for name in (PLATED, UNPLATED)), read_drill),
    f"{FABRICATION}{TEST_LIST}": read_test_list,
    f"{FABRICATION}{POSITIONS}": read_positions,
    f"{FABRICATION}{NOTE}": str,
    f"{EDITOR}{TABLE}": str,
    NETLIST: read_netlist,
    BILL: lambda text: tuple(csv.DictReader(StringIO(text))),
    NEEDS: lambda text: needs_file.read_needs(text.encode()),
}
"""How each file is read that every board has by the same name."""
BY_SUFFIX: Mapping[str, Callable[[str], object]] = {
    ".kicad_pcb": read_board,
    ".kicad_pro": json.loads,
    ".kicad_mod": read_footprint,
}
"""How the other files of the board editor are read."""


class Built(Struct, frozen=True):
    """What the files of a built folder say, and the archive in bytes."""

    house: BoardHouse
    layers: Mapping[str, Layer]
    plated: DrillFile
    unplated: DrillFile
    netlist: ReadNetlist
    bill: tuple[Mapping[str, str], ...]
    needs: needs_file.Needs
    test_list: ReadTestList
    positions: tuple[Position, ...]
    note: str
    editor: EditorBoard
    project: Any
    table: str
    library: Mapping[str, EditorFootprint]
    loose: Mapping[str, bytes]
    archive: bytes


def read_built(files: Mapping[str, bytes], house: BoardHouse) -> Built | tuple[Problem, ...]:
    """The folder's files, or what of them is absent, not known or cannot be read.

    Parameters
    ----------
    files : what lies in the folder, by path; whatever no board is made from is passed over
    house : the limits that the board was drawn for

    """
    problems = [file_fault(name, "the file is absent", REBUILD) for name in READERS if name not in files]
    archives: dict[str, bytes] = {}
    read: dict[str, Any] = {}
    for name, data in files.items():
        folder, suffix = name.rpartition("/")[0], PurePosixPath(name).suffix
        reader = READERS.get(name) or (BY_SUFFIX.get(suffix) if name.startswith(EDITOR) else None)
        if reader:
            try:
                read[name] = reader(data.decode())
            except (ValueError, IndexError, RecursionError) as error:
                # a damaged file raises whatever its reader stumbles over
                said = str(error) if isinstance(error, ValueError) else "it is damaged"
                problems.append(file_fault(name, f"the file cannot be read: {said}", REBUILD))
            if suffix == ".kicad_mod" and f"{folder}/" != LIBRARY_FOLDER:
                problems.append(file_fault(name, "no board has a footprint here"))
        elif f"{folder}/" == FABRICATION and suffix == ".zip":
            archives[name] = data
        elif name.startswith((FABRICATION, EDITOR)):
            problems.append(file_fault(name, "no board has a file of this name here"))
    named = {suffix: [name for name in files if name.endswith(suffix)] for suffix in (".kicad_pcb", ".kicad_pro")}
    for suffix, names in named.items():
        if len(names) != 1:
            problems.append(file_fault(EDITOR, f"{len(names)} files end in {suffix}, not one", REBUILD))
    if len(archives) != 1:
        problems.append(file_fault(FABRICATION, f"{len(archives)} archives lie there, not one", REBUILD))
    if problems:
        return tuple(problems)
    made = {name.removeprefix(FABRICATION): value for name, value in read.items()}
    return Built(
        house=house,
        layers={name: made[name] for name in LAYERS},
        plated=made[PLATED],
        unplated=made[UNPLATED],
        netlist=made[NETLIST],
        bill=made[BILL],
        needs=made[NEEDS],
        test_list=made[TEST_LIST],
        positions=made[POSITIONS],
        note=made[NOTE],
        editor=read[named[".kicad_pcb"][0]],
        project=read[named[".kicad_pro"][0]],
        table=read[f"{EDITOR}{TABLE}"],
        library={
            f"{LIBRARY}:{PurePosixPath(name).stem}": value
            for name, value in read.items()
            if name.startswith(LIBRARY_FOLDER)
        },
        loose={name.removeprefix(FABRICATION): data for name, data in files.items()
               if name.startswith(FABRICATION) and name not in archives},
        archive=next(iter(archives.values())),
    )  # fmt: skip


def file_fault(name: str, found: str, wanted: str = "") -> Problem:
    """A fault of a file as a whole."""
    return Problem("P100 file", "shortfall", Place(file=name), found, wanted)


def fault_in(name: str, kind: str, found: str, wanted: str = "") -> Problem:
    """A fault of what a file says."""
    return Problem(kind, "shortfall", Place(file=name), found, wanted)

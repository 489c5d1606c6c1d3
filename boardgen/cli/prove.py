"""boardgen prove: a written folder against its own netlist and manifest."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace

from boardgen.cli import terminal
from boardgen.cli.options import Talk
from boardgen.cli.report import report
from boardgen.documents.json.commands import Proved
from boardgen.documents.json.document import problems_of
from boardgen.formats.manifest import MANIFEST, differences, read_house
from boardgen.model.board_house import BoardHouse
from boardgen.model.problem import InputError, Place, Problem
from boardgen.proof.built import BILL, EDITOR, FABRICATION, NEEDS, NETLIST, file_fault
from boardgen.proof.prove import prove

HOLDS = (
    "every file is as the manifest says",
    "copper and holes make the netlist",
    "copper, holes, outline, mask and legend keep the limits of {house}",
    "test list, positions, bill, note, archive and the board editor's files say the same as the layers",
)
"""What a folder without a fault is told to be."""
NOT_READ = "Read for their digests alone: book, drawings, workbook, prices, values and predictions."


def run(folder: Path, talk: Talk) -> int:
    """Reads the folder back; exit code 1 where something does not hold."""
    boards = _boards(folder)
    if not boards:
        text = f"{folder} holds no {NETLIST} and {FABRICATION}"
        hint = "name a folder that build or station wrote"
        raise InputError([Problem("U014 not a build", "error", Place(str(folder)), text, hint)])
    house = read_house(folder)
    found = [*differences(folder)]
    if house is None:
        wanted = "build the board again, or prove it with the program that built it"
        found.append(file_fault(MANIFEST, "it does not name the limits of a board house", wanted))
    found += [problem for board in boards for problem in _proved(board, folder, house or BoardHouse())]

    def words() -> None:
        terminal.print_problems("does not hold:", found)
        if not found and house:
            of = f", {len(boards)} boards" if len(boards) > 1 else ""
            holds = [f"  {each.format(house=house.name)}" for each in HOLDS]
            terminal.print_lines([f"{folder}{of}: proved", *holds, NOT_READ])

    return report(talk, found, lambda: Proved(problems_of(found)), words)


def _boards(folder: Path) -> list[Path]:
    """The folder itself, or those of a station's boards within it."""
    pattern = f"**/{NETLIST}" if (folder / MANIFEST).is_file() else NETLIST
    within = (path.parent for path in sorted(folder.glob(pattern)))
    return [board for board in within if (board / FABRICATION).is_dir()]


def _proved(board: Path, folder: Path, house: BoardHouse) -> tuple[Problem, ...]:
    paths = [
        board / NETLIST,
        board / BILL,
        board / NEEDS,
        *sorted((board / FABRICATION).rglob("*")),
        *sorted((board / EDITOR).rglob("*")),
    ]
    found = prove({path.relative_to(board).as_posix(): path.read_bytes() for path in paths if path.is_file()}, house)
    if board == folder:
        return found
    name = board.relative_to(folder).as_posix()
    return tuple(replace(p, place=replace(p.place, file=f"{name}: {p.place.file}")) for p in found)

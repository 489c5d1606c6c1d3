"""boardgen prove: a written folder against its own netlist and manifest."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace

from boardgen.cli import terminal
from boardgen.cli.options import Talk
from boardgen.cli.report import report
from boardgen.documents.json.commands import Proved
from boardgen.documents.json.document import problems_of
from boardgen.documents.prove import NETLIST
from boardgen.documents.prove import prove as prove_files
from boardgen.formats.manifest import MANIFEST, differences
from boardgen.model.problem import InputError, Place, Problem

FABRICATION = "fabrication"


def run(folder: Path, talk: Talk) -> int:
    """Reads the folder back; exit code 1 where something does not hold."""
    boards = _boards(folder)
    if not boards:
        text = f"{folder} holds no {NETLIST} and {FABRICATION}/"
        hint = "name a folder that build or station wrote"
        raise InputError([Problem("U006 not a build", "error", Place(str(folder)), text, hint)])
    found = (*differences(folder), *(problem for board in boards for problem in _proved(board, folder)))

    def words() -> None:
        terminal.print_problems("does not hold:", found)
        if not found:
            of = f" of {len(boards)} boards" if len(boards) > 1 else ""
            terminal.print_lines([f"{folder}: the files{of} are whole, and their copper and holes make the netlist"])

    return report(talk, found, lambda: Proved(problems_of(found)), words)


def _boards(folder: Path) -> list[Path]:
    """The folder itself, or those of a station's boards within it."""
    pattern = f"**/{NETLIST}" if (folder / MANIFEST).is_file() else NETLIST
    within = (path.parent for path in sorted(folder.glob(pattern)))
    return [board for board in within if (board / FABRICATION).is_dir()]


def _proved(board: Path, folder: Path) -> tuple[Problem, ...]:
    files = {path.name: path.read_bytes() for path in sorted((board / FABRICATION).iterdir()) if path.is_file()}
    found = prove_files(files, (board / NETLIST).read_bytes())
    if board == folder:
        return found
    name = board.relative_to(folder).as_posix()
    return tuple(replace(p, place=replace(p.place, file=f"{name}: {p.place.file}")) for p in found)

"""boardgen prove: a written folder against its own netlist and manifest."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.options import Talk
from boardgen.documents import problems
from boardgen.documents.prove import prove as prove_files
from boardgen.files.manifest import differences
from boardgen.model.problem import InputError, Place, Problem

FABRICATION, NETLIST = "fabrication", "netlist.net"


def run(folder: Path, talk: Talk) -> int:
    """Reads the folder back; exit code 1 where something does not hold."""
    if not (folder / NETLIST).is_file() or not (folder / FABRICATION).is_dir():
        text = f"{folder} holds no {NETLIST} and {FABRICATION}/"
        hint = "name a folder that build wrote"
        raise InputError([Problem("U006 not a build", "error", Place(str(folder)), text, hint)])
    files = {path.name: path.read_bytes() for path in sorted((folder / FABRICATION).iterdir()) if path.is_file()}
    found = (*differences(folder), *prove_files(files, (folder / NETLIST).read_bytes()))
    if talk.json:
        terminal.print_json({"schema": "boardgen prove 1", "faults": problems.as_json(found)})
    elif not talk.quiet:
        terminal.print_problems("does not hold:", found)
        if not found:
            terminal.print_lines([f"{folder}: the files are whole, and their copper and holes make the netlist"])
    return ExitCode.FALLS_SHORT if found else ExitCode.DONE

"""boardgen response: predicts the board from its own netlist."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal, told
from boardgen.cli.described import describe
from boardgen.cli.inputs import read_sized
from boardgen.cli.options import Data, Override, Talk, wrong_use
from boardgen.cli.versions import version_of
from boardgen.design import Design
from boardgen.documents import response as report
from boardgen.documents import response_document
from boardgen.documents.order_files import PROGRAM
from boardgen.documents.response import state_files
from boardgen.formats.manifest import Origin
from boardgen.formats.output_folder import write_folder
from boardgen.rf.prediction import Prediction
from boardgen.spec.label import folder_name
from boardgen.tables.shown import shown

MOST_BOARDS = 100_000


NOTHING = "none"
"""Stands for the state in which no antenna is selected, unless an antenna has that label."""


def run(
    spec: Path, boards: int, selected: str | None, out: Path | None, override: Override, data: Data, talk: Talk
) -> int:
    """Predicts, prints, and writes one state into a folder of `out`; exit 1 where a target or a rule falls short."""
    if selected is not None and out is None:
        raise wrong_use("--selected chooses the state that is written", "Name a folder with --out.")
    if not 0 <= boards <= MOST_BOARDS:
        raise wrong_use("so many boards cannot be drawn", f"Allowed is 0 to {MOST_BOARDS}.")
    with terminal.progress("reading", talk.quiet):
        design = read_sized(spec, override, data, predicted=True)
    with terminal.progress("predicting", talk.quiet):
        prediction = design.prediction
        found = design.sizing_problems
    drawn = []
    if boards:
        with terminal.progress(f"drawing {boards} boards", talk.quiet):
            drawn = [prediction.drawn(boards, strays=strays) for strays in (False, True)]
    written = [] if out is None else _write(spec, out, _state(prediction, selected), design, override, data)
    if talk.json:
        terminal.print_json({**response_document.document(prediction, found, drawn), "written": written})
    elif not talk.quiet:
        heading, *rows = report.edge_rows(prediction)
        terminal.print_lines([design.spec.title, ""])
        terminal.print_table(heading, rows, right=range(1, len(heading) - 2))
        terminal.print_lines(["", "targets"])
        terminal.print_pairs([*report.judged_lines(prediction), *report.feed_lines(prediction)])
        if rows := report.system_rows(prediction):
            terminal.print_lines(["", "main coax and noise floor"])
            headings = ("frequency", "board", "coax", "noise over kTB", "floor rises")
            terminal.print_table(headings, rows, right=range(5))
            terminal.print_lines(report.system_lines(prediction))
        for one, words in zip(drawn, ("part tolerances alone", "assumed strays drawn too"), strict=False):
            terminal.print_lines(["", f"{one.boards} boards, {words}: {one.together:.1%} meet every target"])
            terminal.print_table(("worst figure", "yield", "5 %", "middle", "95 %"), report.tolerance_rows(one))
        terminal.print_lines(["", "assumed until measured, SI units"])
        terminal.print_table(("figure", "of", "value", "range", "because"), report.assumed_rows(prediction), right=(2,))
        terminal.print_lines(["", *report.notes(prediction)])
        told.print_found(found)
        if written:
            terminal.print_lines(["", f"written: {', '.join(written)}"])
    return told.exit_code(found)


def _state(prediction: Prediction, selected: str | None) -> str | None:
    antennas = prediction.network.antennas
    if selected is None or selected in antennas:
        return selected or antennas[0]
    if selected == NOTHING:
        return None
    known = ", ".join((*antennas, NOTHING))
    found = f"{shown(selected)} is no antenna that is fitted"
    raise wrong_use(found, f"Choose one of {known}.")


def _write(spec: Path, out: Path, state: str | None, design: Design, override: Override, data: Data) -> list[str]:
    """The paths of what was written, in a folder named after the board and the state."""
    title = design.spec.title
    names = {s.label: s.name for s in design.request.strips}
    target = out / folder_name(f"{title} {names[state] if state else NOTHING}")
    files = state_files(design.prediction, state)
    named = {"kept values": design.spec.parts.keep, **design.spec.measured.files}
    inputs = describe(spec, named, override, [], data.parts, None)
    write_folder(target, files, Origin(title, design.spec.revision, inputs, PROGRAM, {"numpy": version_of("numpy")}))
    return [str(target / name) for name in sorted(files)]

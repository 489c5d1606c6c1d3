"""boardgen response: predicts the board from its own netlist."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.decided import decided
from boardgen.cli.options import Data, Override, Talk, wrong_use
from boardgen.cli.report import print_found, print_targets, report
from boardgen.cli.sources import sources
from boardgen.documents import attenuation, clamp_on, receive_path, strong_signals
from boardgen.documents import response as figures
from boardgen.documents.json.response import response_document
from boardgen.documents.response import state_files
from boardgen.inputs.board import read_request
from boardgen.inputs.digests import describe
from boardgen.model.problem import Problem
from boardgen.public.folder import folder_of, written
from boardgen.public.made_with import STATE
from boardgen.rf.prediction import Prediction
from boardgen.rf.tolerance import Tolerance
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
    step = terminal.steps(talk.quiet)
    with step("reading"):
        request = read_request(spec, sources(override, data))
    with step("predicting") as tell:
        board = decided(request, tell)
        prediction, found = board.prediction, board.problems
    drawn = []
    if boards:
        with step(f"drawing {boards} boards"):
            drawn = [prediction.drawn(boards, strays=strays) for strays in (False, True)]
    files, of_writing = (
        ([], ()) if out is None else _write(spec, out, _state(prediction, selected), prediction, override, data)
    )
    found = (*found, *of_writing)

    def words() -> None:
        terminal.print_lines([prediction.request.spec.title, ""])
        _print(prediction, drawn)
        print_found(found)
        if files:
            terminal.print_lines(["", f"written: {', '.join(files)}"])

    return report(talk, found, lambda: response_document(prediction, found, drawn, files), words)


def _print(prediction: Prediction, drawn: Sequence[Tolerance]) -> None:
    """The figures at the band's edges, the targets, the feeder, the boards that were drawn, and what it rests on."""
    heading, *rows = figures.edge_rows(prediction)
    terminal.print_table(heading, rows, right=range(1, len(heading) - 2))
    terminal.print_lines(["", figures.judged_with(prediction)])
    print_targets(prediction)
    if rows := figures.temperature_rows(prediction):
        terminal.print_lines(["", "with cores as cold and as hot as the surroundings may be"])
        terminal.print_table(rows[0], rows[1:], right=range(1, 4))
        terminal.print_lines(figures.temperature_notes(prediction))
    terminal.print_lines([""])
    terminal.print_pairs(figures.feed_lines(prediction))
    if rows := attenuation.rows(prediction):
        terminal.print_lines(["", "with steps of the attenuator in"])
        terminal.print_table(attenuation.HEADINGS, rows, right=range(1, 6))
        terminal.print_lines(attenuation.sentences(prediction))
    if rows := receive_path.rows(prediction):
        terminal.print_lines(["", "the way to the receiver and the noise floor"])
        terminal.print_table(receive_path.HEADINGS, rows, right=range(6))
        terminal.print_lines(receive_path.sentences(prediction))
    if rows := clamp_on.rows(prediction):
        terminal.print_lines(["", "cores on an antenna's coax, beside the braid breaker"])
        terminal.print_table(clamp_on.HEADINGS[:-1], [row[:-1] for row in rows], right=(1, 4))
        terminal.print_lines(clamp_on.sentences(prediction))
    if rows := strong_signals.rows(prediction):
        terminal.print_lines(["", "strong transmitters near by, at most"])
        terminal.print_table(strong_signals.HEADINGS, rows, right=range(1, 7))
        terminal.print_lines(strong_signals.sentences(prediction))
    for one, words in zip(drawn, ("part tolerances alone", "assumed strays drawn too"), strict=False):
        terminal.print_lines(["", f"{one.boards} boards, {words}: {one.together:.1%} meet every target"])
        terminal.print_table(("worst figure", "yield", "5 %", "middle", "95 %"), figures.tolerance_rows(one))
    terminal.print_lines(["", "assumed until measured"])
    terminal.print_table(("figure", "of", "value", "range", "because"), figures.assumed_words(prediction), right=(2,))
    terminal.print_lines(["", *figures.notes(prediction)])


def _state(prediction: Prediction, selected: str | None) -> str | None:
    antennas = prediction.network.antennas
    if selected is None or selected in antennas:
        return selected or antennas[0]
    if selected == NOTHING:
        return None
    known = ", ".join((*antennas, NOTHING))
    found = f"{shown(selected)} is no antenna that is fitted"
    raise wrong_use(found, f"Choose one of {known}.")


def _write(
    spec: Path, out: Path, state: str | None, prediction: Prediction, override: Override, data: Data
) -> tuple[list[str], tuple[Problem, ...]]:
    """The paths of what was written, in a folder named after the board and the state, and what is to be known of it."""
    asked = prediction.request.spec
    names = {s.label: s.name for s in prediction.request.strips}
    target = folder_of(out, f"{asked.title} {names[state] if state else NOTHING}")
    files = state_files(prediction, state)
    named = {"kept values": asked.parts.keep, **asked.measured.files}
    inputs = describe(spec, named, override.keys(), [], data.parts, None)
    made = written(target, files, asked.title, asked.revision, inputs, STATE)
    return [str(target / name) for name in sorted(files)], made.problems

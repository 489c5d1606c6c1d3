"""boardgen compare: what two boards do, take and cost, and what differs in values and parts."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from boardgen.appraisal import appraise
from boardgen.cli import terminal
from boardgen.cli.options import Data, Override, Talk, wrong_use
from boardgen.cli.report import report
from boardgen.cli.sources import dated_sources
from boardgen.design import Design, make_design, within
from boardgen.documents import comparison
from boardgen.documents.comparison import part_changes
from boardgen.documents.json.comparison import comparison_document
from boardgen.documents.letters import with_letters
from boardgen.formats.new_file import write_new
from boardgen.inputs.board import read_board
from boardgen.model.problem import shortfalls


def run(
    spec: Path, other: Path | None, override: Override, data: Data, talk: Talk, *, picture: Path | None = None
) -> int:
    """Prints what differs, and draws it where a picture is asked for; exit 1 where the second falls short."""
    if other is None and not override.keys():
        raise wrong_use(
            "there is nothing to compare with", 'Name a second file, or an override such as --lowest "472 kHz".'
        )
    if picture is not None and picture.suffix.lower() != ".svg":
        found_text = f"--picture {picture} is no name of a drawing"
        raise wrong_use(found_text, "It is written as SVG: end the name in .svg.")
    with terminal.progress("comparing", talk.quiet) as tell:
        first = read_board(spec, dated_sources(Override(), data))
        second = read_board(other or spec, dated_sources(override, data), first.request.catalogue)
        before, after = (
            make_design(inputs.request, inputs.offers, inputs.on, predicted=True, laid_out=True, step=within(tell))
            for inputs in (first, second)
        )
        if picture:
            _draw(before, after, picture)
        document = comparison_document(before, after)
    found = (*after.problems, *first.price_problems)

    def words() -> None:
        _print(before, after)
        terminal.print_problems("\nfalls short after:", shortfalls(found))

    return report(talk, found, lambda: document, words)


def _draw(before: Design, after: Design, picture: Path) -> None:
    # matplotlib is loaded only where a picture is wanted
    from boardgen.documents.plots.comparison import comparison_svg

    write_new(picture, with_letters(comparison_svg(before, after)))


def _print(before: Design, after: Design) -> None:
    """Figures side by side and what follows from them, then every value and part that differs."""
    terminal.print_lines([_title(before, after), ""])
    terminal.print_table(("", "before", "after"), comparison.figure_rows(before, after))
    terminal.print_lines(["", *comparison.answer(appraise(before), appraise(after))])
    rows = comparison.value_rows(before, after)
    terminal.print_lines(["", f"{len(rows)} values differ", *_gap(rows)])
    terminal.print_table(("value", "before", "after", "where"), [(r, old, new, w) for r, w, old, new in rows])
    parts = [
        (c.number, f"{c.before.normalize():f}", f"{c.after.normalize():f}", c.unit)
        for c in part_changes(before.bill, after.bill)
    ]
    terminal.print_lines(["", f"{len(parts)} parts differ", *_gap(parts)])
    terminal.print_table(("part", "before", "after", "unit"), parts, right=(1, 2))


def _title(before: Design, after: Design) -> str:
    old, new = before.spec.title, after.spec.title
    return old if old == new else f"{old}, then {new}"


def _gap(rows: Sequence[object]) -> list[str]:
    """An empty line before a table that has rows."""
    return [""] if rows else []

"""boardgen compare: what differs in values, parts and cost."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from msgspec.structs import replace

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.inputs import read_inputs
from boardgen.cli.options import Data, Override, Talk, wrong_use
from boardgen.design import Design
from boardgen.documents import comparison, problems
from boardgen.documents.letters import with_letters
from boardgen.documents.part_changes import part_changes
from boardgen.formats.new_file import write_new


def run(
    spec: Path, other: Path | None, override: Override, data: Data, talk: Talk, *, picture: Path | None = None
) -> int:
    """Prints what differs, of predicted boards where a picture is drawn; exit 1 where the second falls short."""
    if other is None and not override.keys():
        raise wrong_use(
            "there is nothing to compare with", 'Name a second file, or an override such as --lowest "472 kHz".'
        )
    with terminal.progress("comparing", talk.quiet):
        first = read_inputs(spec, Override(), data)
        before = first.design
        after = read_inputs(other or spec, override, data, before.catalogue).design
        if picture:
            before, after = replace(before, predicted=True), replace(after, predicted=True)
            _draw(before, after, picture)
        document = comparison.document(before, after)
    short = problems.shortfalls((*after.problems, *first.price_problems))
    if talk.json:
        terminal.print_json(document)
    elif not talk.quiet:
        _print(before, after)
        terminal.print_problems("\nfalls short after:", short)
    return ExitCode.FALLS_SHORT if short else ExitCode.DONE


def _draw(before: Design, after: Design, picture: Path) -> None:
    # matplotlib is loaded only where a picture is wanted
    from boardgen.documents.plots.comparison import comparison_svg

    write_new(picture, with_letters(comparison_svg(before, after)))


def _print(before: Design, after: Design) -> None:
    rows = comparison.value_rows(before, after)
    terminal.print_lines([f"{before.spec.title}: {len(rows)} values differ", *_gap(rows)])
    terminal.print_table(("value", "before", "after", "where"), [(r, old, new, w) for r, w, old, new in rows])
    parts = [
        (c.number, f"{c.before.normalize():f}", f"{c.after.normalize():f}", c.unit)
        for c in part_changes(before.bill, after.bill)
    ]
    terminal.print_lines(["", f"{len(parts)} parts differ", *_gap(parts)])
    terminal.print_table(("part", "before", "after", "unit"), parts, right=(1, 2))
    terminal.print_lines([""])
    terminal.print_pairs(
        [
            ("parts of a board", f"{before.bill.board_value} -> {after.bill.board_value} {after.bill.currency}"),
            ("the order", f"{before.bill.order_total} -> {after.bill.order_total} {after.bill.currency}"),
        ]
    )


def _gap(rows: Sequence[object]) -> list[str]:
    """An empty line before a table that has rows."""
    return [""] if rows else []

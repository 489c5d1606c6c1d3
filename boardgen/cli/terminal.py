"""Prints tables, problems and progress."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from textwrap import wrap
from time import monotonic

from msgspec import Struct

from boardgen.documents.json.document import json_bytes
from boardgen.model.problem import Problem
from boardgen.model.progress import Tell
from boardgen.tables.shown import CONTROL, printable

WIDTH = 80
"""Columns of the narrowest terminal that people use."""
LOG_S = 15.0
"""Seconds between two lines of a log."""
LONG_S = 2.0
"""A step that takes longer tells how far it is."""


def print_json(document: Struct) -> None:
    """One JSON document on standard output, what steers a terminal in it escaped."""
    lines = json_bytes(document).decode().split("\n")
    sys.stdout.write("\n".join(CONTROL.sub(lambda found: json.dumps(found[0])[1:-1], line) for line in lines))


def print_lines(lines: Iterable[str]) -> None:
    """Plain lines on standard output."""
    for line in lines:
        sys.stdout.write(printable(line.rstrip()) + "\n")


def print_pairs(pairs: Sequence[tuple[str, str]]) -> None:
    """Headings in one column, texts in the next."""
    width = max((len(heading) for heading, _ in pairs), default=0)
    print_lines(f"{heading:{width}}  {text}" for heading, text in pairs)


def print_wrapped(pairs: Sequence[tuple[str, str]]) -> None:
    """The same in lines of 80 columns."""
    indent = max((len(heading) for heading, _ in pairs), default=0) + 2
    for heading, text in pairs:
        rows = wrap(text, WIDTH - indent, break_long_words=False, break_on_hyphens=False) or [""]
        print_lines(f"{name:{indent}}{row}" for name, row in zip((heading, *[""] * (len(rows) - 1)), rows, strict=True))


def print_table(headings: Sequence[str], rows: Iterable[Sequence[str]], right: Sequence[int] = ()) -> None:
    """A plain table with a hairline under its headings; columns numbered in `right` are set to the right.

    Without rows nothing is printed.
    """
    rows = [[printable(cell) for cell in row] for row in rows]
    if not rows:
        return
    widths = [max(len(row[n]) for row in [list(headings), *rows]) for n in range(len(headings))]

    def line(cells: Sequence[str]) -> str:
        return "  ".join(
            f"{c:>{w}}" if n in right else f"{c:{w}}" for n, (c, w) in enumerate(zip(cells, widths, strict=True))
        )

    print_lines([line(headings), "  ".join("-" * w for w in widths), *(line(row) for row in rows)])


def print_problems(heading: str, problems: Sequence[Problem]) -> None:
    """A heading, which may begin with a blank line, and one line a problem; nothing where there are none."""
    alike: dict[tuple[str, str], list[Problem]] = {}
    for problem in problems:
        alike.setdefault((problem.id, problem.sentence), []).append(problem)
    if alike:
        print_lines(
            [*heading.split("\n"), *(f"  {_places(found)}{text}  [{name}]" for (name, text), found in alike.items())]
        )


def faults(problems: Sequence[Problem]) -> None:
    """Faults of the input, on standard error."""
    for problem in problems:
        say(f"{_place(problem)}{problem.sentence}  [{problem.id}]")
    count = len(problems)
    say(f"{count} fault{'s' if count != 1 else ''}; nothing was written")


def say(line: str) -> None:
    """A line on standard error."""
    sys.stderr.write(printable(line) + "\n")


def _places(problems: Sequence[Problem]) -> str:
    more = f"and {len(problems) - 1} more: " if len(problems) > 1 else ""
    return f"{_place(problems[0]).removesuffix(': ')} {more}" if more else _place(problems[0])


def _place(problem: Problem) -> str:
    place = str(problem.place)
    return f"{place}: " if place else ""


def steps(quiet: bool, *, logged: bool = False) -> Callable[[str], AbstractContextManager[Tell]]:
    """Shows each step while it runs."""
    return lambda step: progress(step, quiet, logged=logged)


@contextmanager
def progress(step: str, quiet: bool, *, logged: bool = False) -> Iterator[Tell]:
    """Shows a step on one line of standard error while it runs, on a terminal; a `logged` one in a log too, in lines.

    What it gives is told how far the step is, which is shown once the step has taken two seconds, and the time left
    where a share is told. A log has such a line each fifteen seconds.
    """
    shown = sys.stderr.isatty() and not quiet
    began = said = monotonic()

    def show(line: str) -> None:
        if shown:
            sys.stderr.write(f"\r{line}\x1b[K")
            sys.stderr.flush()

    def tell(words: str, share: float = 0.0, /) -> None:
        nonlocal said
        now = monotonic()
        left = f", {(now - began) * (1 - share) / share:.0f} s left" if share > 0 else ""
        if now - began > LONG_S:
            show(f"{step}: {words}{left} ...")
        if logged and not shown and not quiet and now - said > LOG_S:
            said = now
            say(f"{step}: {words}{left}")

    try:
        show(f"{step} ...")
        yield tell
    finally:
        show("")

"""boardgen start: writes a commented specification to begin from."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.options import Talk
from boardgen.files.new_file import write_new
from boardgen.spec.template import MOST_WAYS, default_template, template_names, with_ways


def start(file: Path, *, ways: int | None = None, template: str | None = None, talk: Talk = Talk()) -> int:
    """Write a commented specification, never over an existing file.

    Parameters
    ----------
    file: Path
        The file to write.
    ways: int
        How many antennas, 1 to 16; default as in the template.
    template: str
        The template to begin from; without it the one that suits the ways.

    """
    name = template or default_template(ways)
    text = with_ways(name, ways)
    write_new(file, text)
    if talk.json:
        terminal.print_json({"schema": "boardgen start 1", "file": str(file), "template": name, "shortfalls": []})
    elif not talk.quiet:
        terminal.print_lines([f"{file} written from the template {name}; next: boardgen values {file}"])
    return ExitCode.DONE


start.__doc__ = (
    (start.__doc__ or "")
    .replace("1 to 16", f"1 to {MOST_WAYS}")
    .replace("without it the one", f"one of {', '.join(template_names())}; without it the one")
)

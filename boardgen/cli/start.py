"""boardgen start: writes a commented specification to begin from."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.options import Talk
from boardgen.files.new_file import write_new
from boardgen.spec.template import default_template, with_ways


def run(file: Path, ways: int | None, template: str | None, talk: Talk) -> int:
    """Writes the file and says what to do next."""
    name = template or default_template(ways)
    text = with_ways(name, ways)
    write_new(file, text)
    if talk.json:
        terminal.print_json({"schema": "boardgen start 1", "file": str(file), "template": name, "shortfalls": []})
    elif not talk.quiet:
        terminal.print_lines([f"{file} written from the template {name}; next: boardgen values {file}"])
    return ExitCode.DONE

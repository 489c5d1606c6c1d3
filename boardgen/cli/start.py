"""boardgen start: writes a commented specification to begin from."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.options import Talk, wrong_use
from boardgen.cli.report import report
from boardgen.documents.json.commands import Started
from boardgen.formats.new_file import write_all_new, write_new
from boardgen.spec.template import default_template, station_files, station_names, with_ways

FIRST = "change title, band, labels and the length of the cable in it first"


def run(file: Path, ways: int | None, template: str | None, talk: Talk) -> int:
    """Writes the file and says what to do next."""
    if template in station_names():
        return _station(file, template, ways, talk)
    name = template or default_template(ways)
    text = with_ways(name, ways)
    write_new(file, text)
    return report(
        talk,
        (),
        lambda: Started(str(file), name),
        lambda: terminal.print_lines(
            [f"{file} written from the template {name}: {FIRST}", f"next: boardgen values {file}"]
        ),
    )


def _station(file: Path, template: str, ways: int | None, talk: Talk) -> int:
    """Writes the plan under the name given and the specifications of its boxes beside it, or none of them."""
    if ways is not None:
        found = f"the template {template} is a station, not a board"
        raise wrong_use(found, "leave --ways out")
    texts = {file.parent / name: text for name, text in station_files(template, file.name).items()}
    write_all_new(texts)
    names = [str(path) for path in texts]
    told = f"{', '.join(names)} written from the template {template}; next: boardgen station {file}"
    return report(talk, (), lambda: Started(str(file), template, tuple(names)), lambda: terminal.print_lines([told]))

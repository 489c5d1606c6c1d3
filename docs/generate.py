"""Writes the pages and pictures of this folder that are made from the program: `make pages`.

`specification.md` comes from the keys with the sentence under each, `commands.md` from the signatures and help texts of
the commands, `pictures/` from the demonstration board. A test holds them against what this file makes.
"""

from __future__ import annotations

import inspect
import sys
from pathlib import Path

from boardgen import design_board
from boardgen.cli.commands import HELP, app
from boardgen.documents.json.schemas import schemas
from boardgen.spec.keys import Spec
from boardgen.spec.sentences import keys, tables
from boardgen.station.keys import Plan

HERE = Path(__file__).resolve().parent
PICTURES = {"board-top": "board.svg", "response": "response.svg"}
"""Drawings of the demonstration board, and what they are called here."""
GENERATED = "<!-- written by `make pages`; change the sentences in the code -->"

SPECIFICATION = """# Specification reference

{generated}

A specification is a TOML file: `key = value` lines under `[table]` headings. Quantities are texts with a unit, such as
`"1.8 MHz"`, `"75 ohm"` or `"120 m"`; everything but the band edges and the antennas has a default. `boardgen start
FILE` writes one to begin from. What is ambiguous is refused and explained (`"1,500 kHz"`, `"1.8 mHz"`), all faults at
once, each with its file, line and key. A key without "no default" may be left out.
"""
PLAN = """
# Plan of a station

A plan names the specifications of its boxes; `boardgen start FILE --template two-boxes`, or `three-boxes`, writes one
with its boxes.
"""


def specification() -> str:
    """The reference of every key."""
    lines = [SPECIFICATION.format(generated=GENERATED)]
    for top in (Spec, Plan):
        if top is Plan:
            lines.append(PLAN)
        for table in tables(top):
            lines += section("Keys above all tables" if table is top else "", inspect.getdoc(table) or "", keys(table))
    return "\n".join(lines)


def section(title: str, sentence: str, rows: list[tuple[str, str]]) -> list[str]:
    """A heading, what the table is for, and a row a key."""
    name, _, meaning = sentence.partition(": ")
    heading = title or (f"`{name}`" if name.startswith("[") else name[0].upper() + name[1:])
    words = " ".join(meaning.split())
    text = "" if title else f"{words[0].upper()}{words[1:]}"
    cells = [f"| `{key}` | {' '.join(words.split()).replace('|', chr(92) + '|')} |" for key, words in rows]
    return [f"## {heading}", "", *([text, ""] if text else []), "| key | what it takes |", "|---|---|", *cells, ""]


def commands() -> str:
    """The reference of every command."""
    opening, codes = HELP.split("\n\n")
    lines = ["# Commands", "", GENERATED, "", one_line(opening), "", one_line(codes), ""]
    for name in (name for name in app if not name.startswith("-")):
        command = app[name]
        arguments = [a for a in command.assemble_argument_collection(parse_docstring=True) if a.show]
        places = [a for a in arguments if a.index is not None]
        options = [a for a in arguments if a.index is None]
        usage = command.usage or f"Usage: boardgen {name} {' '.join(a.name.upper() for a in places)} [OPTIONS]"
        lines += [f"## {name}", "", one_line(command.help.partition("Parameters\n")[0]), ""]
        lines += [f"    {usage.removeprefix('Usage: ').strip()}", "", "| argument or option | meaning |", "|---|---|"]
        lines += [f"| `{a.name.upper()}` | {one_line(a.parameter.help or '')} |" for a in places]
        lines += [f"| `{a.name}` | {one_line(a.parameter.help or '')} |" for a in options]
        lines.append("")
    return "\n".join(lines)


def one_line(text: str) -> str:
    """Without line breaks."""
    return " ".join(text.split()).replace("|", "\\|")


def pictures() -> dict[str, bytes]:
    """Drawings of the demonstration board by the names of their files."""
    board = design_board(HERE.parent / "templates" / "four-way.toml")
    return {name: board.drawings[drawing].svg.encode() for drawing, name in PICTURES.items()}


def main() -> int:
    """Writes all of them."""
    (HERE / "specification.md").write_text(specification(), encoding="utf-8")
    (HERE / "commands.md").write_text(commands(), encoding="utf-8")
    (HERE / "pictures").mkdir(exist_ok=True)
    for name, content in pictures().items():
        (HERE / "pictures" / name).write_bytes(content)
    (HERE / "schemas").mkdir(exist_ok=True)
    for name, content in schemas().items():
        (HERE / "schemas" / name).write_bytes(content)
    return 0


if __name__ == "__main__":
    sys.exit(main())

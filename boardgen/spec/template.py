"""Starting specifications: the templates that come with the program, with any number of antennas."""

from __future__ import annotations

import re
from pathlib import Path

from boardgen.model.problem import InputError, Place, Problem

PLAN = "station.toml"
"""Name of the plan among the files of a template station."""
MOST_WAYS = 16
MOST_FOUR_WAY = 6
"""Antennas that the plain template for four serves with its one cable."""
_ANTENNA = re.compile(r"\[\[antenna\]\].*\n(?:.+\n)+\n?")
_CABLES = re.compile(r"^(cables\s*=\s*)\d+", re.MULTILINE)
_COUNT = re.compile(r"^(returns|conductors)\s*=\s*(\d+)", re.MULTILINE)
_FEED = re.compile(r"^feed\s*=", re.MULTILINE)
_TITLE = re.compile(r"^title\s*=.*?\"\s", re.MULTILINE)


def templates_folder() -> Path:
    """`templates` inside the installed package, else beside the package in a checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "templates"
    return inside if inside.is_dir() else package.parent / "templates"


def template_names() -> list[str]:
    """The templates on offer."""
    return sorted(path.stem for path in templates_folder().glob("*.toml"))


def station_names() -> list[str]:
    """The template stations on offer."""
    return sorted(path.parent.name for path in templates_folder().glob("stations/*/station.toml"))


def station_files(name: str, plan: str = PLAN) -> dict[str, str]:
    """The texts of a template station by file name: its plan, under that name, and the specifications it names."""
    folder = templates_folder() / "stations" / name
    names = {path: plan if path.name == PLAN else path.name for path in sorted(folder.glob("*.toml"))}
    return {name: path.read_text(encoding="utf-8") for path, name in names.items()}


def told_templates() -> dict[str, str]:
    """What each template is for, as its first line says after its colon; the stations last."""
    folder = templates_folder()
    files = {name: folder / f"{name}.toml" for name in template_names()}
    files |= {name: folder / "stations" / name / PLAN for name in station_names()}
    texts = {name: path.read_text(encoding="utf-8") for name, path in files.items()}
    return {name: text.partition("\n")[0].partition(": ")[2] for name, text in texts.items()}


def default_template(ways: int | None) -> str:
    """The plain template that suits so many antennas."""
    if ways is None or 2 < ways <= MOST_FOUR_WAY:
        return "four-way"
    return "two-way" if ways <= 2 else "eight-way"


def with_ways(name: str, ways: int | None) -> str:
    """The text of a template with so many antennas.

    Parameters
    ----------
    name
        One of `template_names`.
    ways
        1 to 16 [[antenna]] tables, and cables for their lines; as many as the template has where it is None.

    Raises
    ------
    InputError
        Where there is no such template, or for a wrong number.

    """
    if name not in template_names():
        offer = ", ".join((*template_names(), *station_names()))
        raise _refused("template", f'there is no template "{name}"', f"on offer are {offer}")
    text = (templates_folder() / f"{name}.toml").read_text(encoding="utf-8")
    if ways is None:
        return text
    if not 1 <= ways <= MOST_WAYS:
        raise _refused("ways", f"a board cannot have {ways} antennas", f"allowed is 1 to {MOST_WAYS}")
    tables = list(_ANTENNA.finditer(text))
    if ways == len(tables):
        return text
    kept = [table[0].rstrip("\n") + "\n" for table in tables[:ways]]
    kept += [f'[[antenna]]\nlabel = "antenna {number}"\n' for number in range(len(kept) + 1, ways + 1)]
    text = text[: tables[0].start()] + "\n".join(kept) + "\n" + text[tables[-1].end() :]
    text = _CABLES.sub(rf"\g<1>{_cables(text, ways)}", text)
    _, rest = text.split("\n", 1)
    rest = _TITLE.sub(f'title    = "{ways}-way switch board" ', rest)
    return f"# A relay switch board for {ways} receive antennas, begun from the template {name}\n{rest}"


def _cables(text: str, ways: int) -> int:
    """Cables that carry a select line for each antenna, a line for each feed, and the returns."""
    counts = {key: int(number) for key, number in _COUNT.findall(text)}
    lines = ways + len(_FEED.findall(text)) + counts["returns"]
    return -(-lines // counts["conductors"])


def _refused(option: str, found: str, wanted: str) -> InputError:
    return InputError([Problem("U007 start", "error", Place("command line", key=option), found, wanted)])

"""Fills the templates of this folder."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from markupsafe import Markup

if TYPE_CHECKING:
    from jinja2 import Environment

FOLDER = Path(__file__).parent / "templates"
_UNITS = re.compile(r"(?<=[0-9]) (kohm|Mohm|mohm|ohm|degC)\b|(?<=[0-9]) x (?=[0-9])|\bu(?=[FHAV]\b)")
_STYLE = re.compile(r"<style>[^<]*</style>")
_WRITTEN = {"kohm": "kΩ", "Mohm": "MΩ", "mohm": "mΩ", "ohm": "Ω", "degC": "°C"}


def fill(template: str, **values: object) -> str:
    """A template with these values; every text in it is escaped."""
    return _environment().get_template(template).render(values)


@cache
def _environment() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader(FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= {"say": say, "drawing": drawing}
    return made


def say(words: object) -> str:
    """Words with their units as people read them."""
    return _UNITS.sub(_sign, str(words))


def _sign(found: re.Match[str]) -> str:
    if found[0] == "u":
        return "µ"
    return f" {_WRITTEN[found[1]]}" if found[1] else " × "


def drawing(svg: str) -> Markup:
    """A drawing of ours, whose words are escaped there; its style for paper is left out, for the book is printed."""
    return Markup(_STYLE.sub("", svg))  # noqa: S704 - every text in it has been escaped

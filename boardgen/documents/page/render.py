"""Turns a page into one file of HTML by the templates beside it. jinja2 is loaded here and nowhere else."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from markupsafe import Markup

from boardgen.documents.letters import font_faces
from boardgen.documents.page.blocks import Block, Boxes, Page, spoken
from boardgen.documents.page.spelling import Spelling, formula
from boardgen.documents.text import Code, Text, Value

if TYPE_CHECKING:
    from jinja2 import Template

_PROLOGUE = re.compile(r"\A(?:\s*<\?xml.*?\?>|\s*<!DOCTYPE.*?>)*\s*", re.DOTALL)
Paper = Literal["A4", "Letter"]


def render(page: Page, spelling: Spelling, paper: Paper) -> bytes:
    """The page: no request to anywhere, always the same bytes; its one script keeps ticks and readings."""
    margin = {"title": _quoted(page.title), "foot": _quoted(page.foot)}

    def put(text: Text) -> str:
        """Words as they are printed, with the names of the values in them."""
        if isinstance(text, tuple):
            return Markup("").join(put(piece) for piece in text)
        if isinstance(text, Code):
            return Markup('<span class="code">{}</span>').format(text.words)
        if isinstance(text, Value):
            words = formula(text.words) if text.formula else spelling(text.words)
            return Markup('<span data-value="{}">{}</span>').format(text.names, words) if text.words else ""
        return spelling(text)

    return fill("page.html", page=page, say=spelling, put=put, paper=paper, margin=margin)


def fill(template: str, **values: object) -> bytes:
    """A template of the folder beside this file with these values, and with the letters that its drawings show."""
    text = _template(template).render(values)
    # the letters of the drawings are known when the page is there
    return (text.replace("</style>", f"{font_faces(text)}</style>", 1) + "\n").encode()


@cache
def _template(name: str) -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    folder = Path(__file__).parent / "templates"
    environment = Environment(
        loader=FileSystemLoader(folder),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {"kind": _kind, "drawing": _drawing, "plain": spoken}
    return environment.get_template(name)


def _kind(block: Block | Boxes) -> str:
    return type(block).__name__


def _drawing(svg: str) -> Markup:
    """A drawing of ours, its words escaped there, without the lines that only a file of its own needs."""
    return Markup(_PROLOGUE.sub("", svg, count=1).rstrip())  # noqa: S704 - every text in it has been escaped


def _quoted(words: str) -> Markup:
    """The words as a text of a style sheet: whatever is not plain is written by its number."""
    plain = "".join(c if c.isalnum() and c.isascii() else f"\\{ord(c):06x}" for c in words)
    return Markup(f'"{plain}"')  # noqa: S704 - nothing but letters, digits and numbers of letters is left

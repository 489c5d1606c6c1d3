"""The few marks that the small drawings of a page are made of; lengths in the drawing's own units."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import Literal

from boardgen.documents.palette import INK

Anchor = Literal["start", "middle", "end"]


def drawing(wide: float, high: float, title: str, parts: Iterable[str]) -> str:
    """The whole drawing."""
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {high:g}" role="img">'
    return "".join((head, f"<title>{escape(title)}</title>", *parts, "</svg>"))


def words(
    x: float, y: float, text: str, anchor: Anchor = "start", *, size: float = 3.4, colour: str = INK, bold: bool = False
) -> str:
    """Words on their base line."""
    weight = ' font-weight="600"' if bold else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" text-anchor="{anchor}" font-family="sans-serif" font-size="{size:g}" '
        f'fill="{colour}"{weight}>{escape(text)}</text>'
    )


def path(way: str, colour: str = INK, width: float = 0.5, dash: str = "") -> str:
    """A line."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    pen = f'fill="none" stroke="{colour}" stroke-width="{width:g}" stroke-linejoin="round" stroke-linecap="round"'
    return f'<path d="{way}" {pen}{dashed}/>'


def box(x: float, y: float, w: float, h: float, fill: str = "none", colour: str = INK, dash: str = "") -> str:
    """A rectangle."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<rect x="{x:g}" y="{y:g}" width="{w:g}" height="{h:g}" fill="{fill}" stroke="{colour}" '
        f'stroke-width="0.4"{dashed}/>'
    )


def dot(x: float, y: float, radius: float = 1.1, fill: str = INK) -> str:
    """A dot, or a ring on white."""
    return f'<circle cx="{x:g}" cy="{y:g}" r="{radius:g}" fill="{fill}" stroke="{INK}" stroke-width="0.4"/>'

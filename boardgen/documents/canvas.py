"""What every drawing is made on: a canvas in millimetres, x to the right and y down, that is written as SVG.

Further attributes of an element are given by SVG's own names, with "_" for "-" and at the end of Python's own words
(`stroke_linecap`, `class_`). Numbers are written to a thousandth and texts escaped here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from html import escape
from typing import Any, Literal

from boardgen.documents.letters import MONO, SANS, Face

INK, SOFT, HAIR, PAPER, PANEL = "#1D2A33", "#5A6872", "#C9CFCB", "#FBFAF7", "#F1EFE8"
BLUE, OCHRE, BRICK = "#2B5C8A", "#8F5F12", "#9C3B33"
"""The colours of drawings and plots: ink on paper, accents sparingly and never alone to carry a meaning."""
TEXT_MM, SMALL_MM = 3.0, 2.5
WIRE_MM, BODY_MM, DOT_MM = 0.35, 0.5, 0.6
"""Usual heights of letters, widths of wires and of outlines, and the radius of a joint."""
FAMILIES = {"sans": f"{SANS}, sans-serif", "mono": f"{MONO}, monospace"}

Anchor = Literal["start", "middle", "end"]
Attributes = Mapping[str, Any]
Point = tuple[float, float]


def number(value: float) -> str:
    """A number as it stands in a drawing."""
    return f"{round(value, 3) + 0.0:g}"


def through(points: Iterable[Point]) -> str:
    """A path from point to point."""
    return "M" + "L".join([f"{number(x)} {number(y)}" for x, y in points])


def place(x: float, y: float, turn: float = 0.0) -> str:
    """A transformation: turned clockwise by so many degrees, then moved."""
    return f"translate({number(x)} {number(y)})" + (f" rotate({number(turn)})" if turn else "")


class Canvas:
    """Gathers the elements of a drawing in the order in which they lie over each other."""

    def __init__(self) -> None:
        self._written: list[str] = []

    def __str__(self) -> str:
        return "".join(self._written)

    def path(
        self, way: str, width: float = 0.0, colour: str = INK, *, fill: str = "", dashes: str = "", **more: Any
    ) -> None:
        """A path in SVG's own words; without a width and a fill it is drawn as its group says."""
        self._element("path", {**more, "d": way, **_pen(width, colour, fill, dashes)})

    def line(self, *points: Point, width: float = 0.0, colour: str = INK, dashes: str = "", **more: Any) -> None:
        """Straight pieces from point to point."""
        self.path(through(points), width, colour, dashes=dashes, **more)

    def rect(
        self,
        x: float,
        y: float,
        wide: float,
        high: float,
        width: float = 0.0,
        colour: str = INK,
        *,
        fill: str = "",
        dashes: str = "",
        **more: Any,
    ) -> None:
        """A rectangle from its upper left corner."""
        at = {"x": x, "y": y, "width": wide, "height": high}
        self._element("rect", {**more, **at, **_pen(width, colour, fill, dashes)})

    def circle(
        self,
        x: float,
        y: float,
        radius: float,
        width: float = 0.0,
        colour: str = INK,
        *,
        fill: str = "",
        **more: Any,
    ) -> None:
        """A circle."""
        self._element("circle", {**more, "cx": x, "cy": y, "r": radius, **_pen(width, colour, fill)})

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float,
        anchor: Anchor = "start",
        *,
        face: Face = "sans",
        colour: str = "",
        turn: float = 0.0,
        **more: Any,
    ) -> None:
        """Words with their base line there, turned clockwise about that point by so many degrees."""
        style: dict[str, Any] = {"x": x, "y": y, "font_size": size}
        if anchor != "start":
            style["text_anchor"] = anchor
        if face == "mono":
            style["font_family"] = FAMILIES["mono"]
        if face == "bold":
            style["font_weight"] = "bold"
        if colour:
            style["fill"] = colour
        if turn:
            style["transform"] = f"rotate({number(turn)} {number(x)} {number(y)})"
        self._element("text", {**more, **style}, escape(words))

    @contextmanager
    def group(self, **attributes: Any) -> Iterator[None]:
        """What is drawn inside has these attributes in common."""
        self._written.append(f"<g{_attributes(attributes)}>\n")
        yield
        self._written.append("</g>\n")

    def add(self, other: Canvas, x: float = 0.0, y: float = 0.0, *, mirrored: bool = False, **attributes: Any) -> None:
        """Another drawing with its origin there, left to right where `mirrored`."""
        with self.group(**attributes, transform=place(x, y) + (" scale(-1 1)" if mirrored else "")):
            self.write(str(other))

    def write(self, svg: str) -> None:
        """What is SVG already."""
        self._written.append(svg)

    def svg(
        self,
        wide: float,
        high: float,
        title: str,
        *,
        corner: Point = (0.0, 0.0),
        sized: bool = True,
        paper: str = PAPER,
    ) -> str:
        """The whole drawing from its upper left corner, on its paper, "" for none.

        `sized` ones say how many millimetres they are large; others fill the room that they are given.
        """
        size = {"width": f"{number(wide)}mm", "height": f"{number(high)}mm"} if sized else {}
        return self.sheet(wide, high, title, corner=corner, paper=paper, **size) + "\n"

    def sheet(
        self, wide: float, high: float, title: str, *, corner: Point = (0.0, 0.0), paper: str = PAPER, **more: Any
    ) -> str:
        """The same as an SVG that may stand in another."""
        head = {
            **more,
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": " ".join(map(number, (*corner, wide, high))),
            "role": "img",
            "font_family": FAMILIES["sans"],
            "fill": INK,
            # no letter is moved to a whole point of a screen
            "text_rendering": "geometricPrecision",
        }
        ground = f'<rect width="{number(wide)}" height="{number(high)}" fill="{paper}"/>\n' if paper else ""
        return f"<svg{_attributes(head)}><title>{escape(title)}</title>\n{ground}{self}</svg>"

    def _element(self, tag: str, attributes: Attributes, content: str = "") -> None:
        end = f">{content}</{tag}>\n" if content else "/>\n"
        self._written.append(f"<{tag}{_attributes(attributes)}{end}")


def _pen(width: float, colour: str, fill: str, dashes: str = "") -> Attributes:
    pen: dict[str, Any] = {}
    if width:
        pen = {"fill": fill or "none", "stroke": colour, "stroke_width": width}
    elif fill:
        pen = {"fill": fill}
    return pen | {"stroke_dasharray": dashes} if dashes else pen


def _attributes(attributes: Attributes) -> str:
    return "".join([f' {name.rstrip("_").replace("_", "-")}="{_value(value)}"' for name, value in attributes.items()])


def _value(value: str | float) -> str:
    return escape(value) if isinstance(value, str) else number(value)

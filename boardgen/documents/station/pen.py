"""Lines, words and small signs of a drawing in millimetres, gathered as SVG."""

from __future__ import annotations

from html import escape

from boardgen.documents.lettering import SANS, sans_ems
from boardgen.documents.palette import INK, PAPER

TEXT_MM, SMALL_MM = 3.0, 2.5
WIRE_MM, BODY_MM, DOT_MM = 0.35, 0.5, 0.6
EDGE_MM = 8.0


def width_mm(words: str, size_mm: float = TEXT_MM) -> float:
    """How much room words take, on the large side."""
    return sans_ems(words) * size_mm


class Pen:
    """Gathers what is drawn; x to the right, y down, millimetres."""

    def __init__(self) -> None:
        self._found: list[str] = []

    def line(self, *points: tuple[float, float], wide_mm: float = WIRE_MM, dashes: str = "", colour: str = INK) -> None:
        """Straight pieces from point to point."""
        path = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points)
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        self._found.append(f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{wide_mm:g}"{dashed}/>')

    def box(self, x: float, y: float, wide: float, high: float, *, dashes: str = "") -> None:
        """An outline."""
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        self._found.append(
            f'<rect x="{x:.2f}" y="{y:.2f}" width="{wide:.2f}" height="{high:.2f}" fill="none" stroke="{INK}" '
            f'stroke-width="{BODY_MM:g}"{dashed}/>'
        )

    def dot(self, x: float, y: float) -> None:
        """Where wires are joined."""
        self._found.append(f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{DOT_MM:g}" fill="{INK}"/>')

    def diode(self, x: float, y: float, turn: float = 0.0) -> None:
        """A diode with its middle there; it conducts to the right, or turned clockwise by so many degrees."""
        path = "M-1.3 -1.2L1.3 0L-1.3 1.2ZM1.3 -1.3L1.3 1.3"
        self._found.append(
            f'<path class="diode" transform="translate({x:.2f} {y:.2f}) rotate({turn:g})" d="{path}" fill="{INK}" '
            f'stroke="{INK}" stroke-width="{WIRE_MM:g}"/>'
        )

    def words(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size_mm: float = TEXT_MM,
        anchor: str = "start",
        turned: bool = False,
        bold: bool = False,
        colour: str = INK,
    ) -> None:
        """Words with their base line there; `turned` ones read downwards."""
        more = f' text-anchor="{anchor}"' if anchor != "start" else ""
        more += f' transform="rotate(90 {x:.2f} {y:.2f})"' if turned else ""
        more += ' font-weight="600"' if bold else ""
        self._found.append(
            f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size_mm:g}" fill="{colour}"{more}>{escape(words)}</text>'
        )

    def svg(self, wide: float, high: float, title: str) -> str:
        """The whole drawing."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.1f}mm" height="{high:.1f}mm" '
            f'viewBox="0 0 {wide:.1f} {high:.1f}" role="img" font-family="{SANS}"><title>{escape(title)}</title>\n'
            f'<rect width="{wide:.1f}" height="{high:.1f}" fill="{PAPER}"/>\n' + "\n".join(self._found) + "\n</svg>\n"
        )

"""Labels to cut out: words in lines, each in a box, boxes in rows on sheets that print on A4 and on Letter."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from msgspec import Struct

from boardgen.documents.lettering import MONO, SANS, sans_ems, wrapped
from boardgen.documents.palette import INK, SOFT
from boardgen.model.sketch import ems

PAPER = "#FFFFFF"
"""White: labels are cut out of whatever they are printed on."""
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
WIDE_MM, HIGH_MM, TOP_MM = 188.0, 246.0, 18.0
"""What every row and sheet keeps to, so that it fits either paper, and where the first row begins."""
PAD_MM, LEADING = 2.0, 1.35


class Words(Struct, frozen=True):
    """One line of a label."""

    text: str
    size_mm: float = 2.5
    fixed: bool = False
    soft: bool = False


class Label(Struct, frozen=True):
    """A box of that width with its lines. `picture` is drawn at the right, square, and as high as `picture_mm`."""

    wide_mm: float
    lines: tuple[Words, ...]
    picture: str = ""
    picture_mm: float = 0.0
    folded: bool = False
    """Whether the lines stand twice, on both sides of a fold."""

    @property
    def high_mm(self) -> float:
        """The height that the lines and the picture need."""
        return max(sum(w.size_mm * LEADING for w in self.lines), self.picture_mm) + 2 * PAD_MM


def sentence(text: str, most_mm: float, size_mm: float = 2.5, *, soft: bool = False) -> tuple[Words, ...]:
    """Words in lines that are no wider."""
    return tuple(Words(line, size_mm, soft=soft) for line in wrapped(text, most_mm / size_mm))


def listed(words: Iterable[str], most_mm: float, size_mm: float = 2.5) -> tuple[Words, ...]:
    """Short words of a fixed-pitch face in lines that are no wider."""
    lines: list[str] = []
    for word in words:
        if lines and ems(f"{lines[-1]} {word}") * size_mm <= most_mm:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return tuple(Words(line, size_mm, fixed=True) for line in lines)


def sheets(title: str, rows: Sequence[Sequence[Label]], paper: str, top: str) -> bytes:
    """Rows on as many sheets as it takes, one under the other in one SVG. `top` stands at the head of each."""
    pages: list[list[tuple[float, Sequence[Label]]]] = [[]]
    y = 0.0
    for row in rows:
        high = max(label.high_mm for label in row)
        if pages[-1] and y + high > HIGH_MM:
            pages.append([])
            y = 0.0
        pages[-1].append((y, row))
        y += high
    wide, high = PAPERS[paper]
    drawn = "".join(_sheet(page, n, (wide, high), f"{title}: {top}") for n, page in enumerate(pages))
    total = high * len(pages)
    heading = escape(f"{title}, labels")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}mm" height="{total:g}mm" '
        f'viewBox="0 0 {wide:g} {total:g}" role="img" aria-label="{heading}"><title>{heading}</title>\n{drawn}</svg>\n'
    ).encode()


def _sheet(page: list[tuple[float, Sequence[Label]]], number: int, size: tuple[float, float], top: str) -> str:
    wide, high = size
    left = (wide - WIDE_MM) / 2
    heads = wrapped(top, WIDE_MM / 2.5)
    words = "".join(
        _text(Words(line, soft=True), left, TOP_MM - 3 - 3.4 * (len(heads) - 1 - n)) for n, line in enumerate(heads)
    )
    boxes = []
    for y, row in page:
        x, tall = left, max(label.high_mm for label in row)
        for label in row:
            boxes.append(_label(label, x, TOP_MM + y, tall))
            x += label.wide_mm
    return (
        f'<svg y="{number * high:g}" class="sheet" xmlns="http://www.w3.org/2000/svg" width="{wide:g}" '
        f'height="{high:g}" viewBox="0 0 {wide:g} {high:g}"><rect width="{wide:g}" height="{high:g}" fill="{PAPER}"/>\n'
        f"{words}{''.join(boxes)}</svg>\n"
    )


def _label(label: Label, x: float, y: float, tall: float) -> str:
    found = [
        f'<rect class="cut" x="{x:.2f}" y="{y:.2f}" width="{label.wide_mm:g}" height="{tall:.2f}" fill="none" '
        f'stroke="{SOFT}" stroke-width="0.2"/>\n'
    ]
    starts = [x + PAD_MM]
    if label.folded:
        middle = x + label.wide_mm / 2
        starts.append(middle + PAD_MM)
        found.append(
            f'<path class="fold" d="M{middle:.2f} {y:.2f}V{y + tall:.2f}" stroke="{SOFT}" stroke-width="0.2" '
            'stroke-dasharray="1 1"/>\n'
        )
    for start in starts:
        base = y + PAD_MM
        for words in label.lines:
            base += words.size_mm * LEADING
            found.append(_text(words, start, base - 0.3 * words.size_mm))
    if label.picture:
        found.append(
            f'<g transform="translate({x + label.wide_mm - label.picture_mm - PAD_MM:.2f} {y + PAD_MM:.2f})">'
            f"{label.picture}</g>\n"
        )
    return "".join(found)


def _text(words: Words, x: float, y: float) -> str:
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-family="{MONO if words.fixed else SANS}" font-size="{words.size_mm:g}" '
        f'fill="{SOFT if words.soft else INK}">{escape(words.text)}</text>\n'
    )


def width_mm(words: Words) -> float:
    """The room of a line, on the large side."""
    return (ems(words.text) if words.fixed else sans_ems(words.text)) * words.size_mm

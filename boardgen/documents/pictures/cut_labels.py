"""Labels to cut out: words in lines, each in a box, boxes in rows on sheets that print on A4 and on Letter."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from boardgen.documents.canvas import SOFT, Canvas
from boardgen.documents.letters import Face, text_width_mm, wrapped
from boardgen.documents.pictures.sheets import sheets_svg

WHITE = "#FFFFFF"
"""Labels are cut out of whatever they are printed on."""
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
WIDE_MM, HIGH_MM, TOP_MM = 188.0, 246.0, 18.0
"""What every row and sheet keeps to, so that it fits either paper, and where the first row begins."""
PAD_MM, LEADING = 2.0, 1.35


class Words(Struct, frozen=True):
    """One line of a label."""

    text: str
    size_mm: float = 2.5
    face: Face = "sans"
    soft: bool = False


class Label(Struct, frozen=True):
    """A box of that width with its lines. A picture at the right is square and `picture_mm` high."""

    wide_mm: float
    lines: tuple[Words, ...]
    picture: Canvas | None = None
    picture_mm: float = 0.0
    folded: bool = False
    """Whether the lines stand twice, on both sides of a fold."""

    @property
    def high_mm(self) -> float:
        """The height that the lines and the picture need."""
        return max(sum(w.size_mm * LEADING for w in self.lines), self.picture_mm) + 2 * PAD_MM


def sentence(text: str, most_mm: float, size_mm: float = 2.5, *, soft: bool = False) -> tuple[Words, ...]:
    """Words in lines that are no wider."""
    return tuple(Words(line, size_mm, soft=soft) for line in wrapped(text, most_mm, size_mm))


def listed(words: Iterable[str], most_mm: float, size_mm: float = 2.5) -> tuple[Words, ...]:
    """Short words of a fixed-pitch face in lines that are no wider."""
    lines: list[str] = []
    for word in words:
        if lines and text_width_mm(f"{lines[-1]} {word}", size_mm, "mono") <= most_mm:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return tuple(Words(line, size_mm, "mono") for line in lines)


def sheets(title: str, rows: Sequence[Sequence[Label]], paper: str, top: str) -> str:
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
    drawn = [_sheet(page, (wide - WIDE_MM) / 2, f"{title}: {top}") for page in pages]
    return sheets_svg(f"{title}, labels", drawn, wide, high, paper=WHITE)


def _sheet(page: list[tuple[float, Sequence[Label]]], left: float, top: str) -> Canvas:
    canvas = Canvas()
    heads = wrapped(top, WIDE_MM, 2.5)
    for n, line in enumerate(heads):
        canvas.text(left, TOP_MM - 3 - 3.4 * (len(heads) - 1 - n), line, 2.5, colour=SOFT)
    for y, row in page:
        x, tall = left, max(label.high_mm for label in row)
        for label in row:
            _label(canvas, label, x, TOP_MM + y, tall)
            x += label.wide_mm
    return canvas


def _label(canvas: Canvas, label: Label, x: float, y: float, tall: float) -> None:
    canvas.rect(x, y, label.wide_mm, tall, 0.2, SOFT, class_="cut")
    starts = [x + PAD_MM]
    if label.folded:
        middle = x + label.wide_mm / 2
        starts.append(middle + PAD_MM)
        canvas.line((middle, y), (middle, y + tall), width=0.2, colour=SOFT, dashes="1 1", class_="fold")
    for start in starts:
        base = y + PAD_MM
        for words in label.lines:
            base += words.size_mm * LEADING
            colour = SOFT if words.soft else ""
            canvas.text(start, base - 0.3 * words.size_mm, words.text, words.size_mm, face=words.face, colour=colour)
    if label.picture:
        canvas.add(label.picture, x + label.wide_mm - label.picture_mm - PAD_MM, y + PAD_MM)

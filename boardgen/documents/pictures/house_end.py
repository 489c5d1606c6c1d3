"""Draws the house end as a diagram: cables with drip loops, the panel with its guards on one bar, what follows."""

from __future__ import annotations

from boardgen.documents.canvas import BLUE, BRICK, INK, PANEL, SMALL_MM, SOFT, TEXT_MM, Canvas

WIDE, HIGH = 168.0, 92.0
PANEL_X, PANEL_Y, PANEL_WIDE, PANEL_HIGH = 52.0, 8.0, 66.0, 56.0
COAX_Y, LINES_Y, BAR_Y = 22.0, 38.0, 56.0
LOOP_Y = 74.0
"""How low the drip loops hang."""
INDOORS_X = 130.0


def house_end_picture(family: str, lines: int) -> str:
    """The diagram as SVG, for a main coax with that family of connectors and so many lines."""
    canvas = Canvas()
    canvas.rect(PANEL_X, PANEL_Y, PANEL_WIDE, PANEL_HIGH, 0.4, SOFT, fill=PANEL, rx=1.5)
    canvas.text(PANEL_X + PANEL_WIDE / 2, PANEL_Y + 5, "entry panel", TEXT_MM, "middle", face="bold")
    canvas.text(8, PANEL_Y + 5, "from the box", TEXT_MM, face="bold")
    canvas.text(INDOORS_X, PANEL_Y + 5, "indoors", TEXT_MM, face="bold")
    _cable(canvas, COAX_Y, 0, BLUE, "main coax", "receiver")
    _cable(canvas, LINES_Y, 5, INK, "control cable", "fuse, supply")
    canvas.text(8, LOOP_Y + 13, "drip loops hang lower than the entry", SMALL_MM, colour=SOFT)
    _guard(canvas, PANEL_X + 17, COAX_Y, f"{family} protector", "gas tube")
    guards = f"{lines} suppressors" if lines > 1 else "1 suppressor"
    _guard(canvas, PANEL_X + 33, LINES_Y, f"{guards} to 0V,", "gas tube from 0V")
    _bar(canvas)
    return canvas.svg(WIDE, HIGH, "House end: entry panel with its guards", sized=False, paper="")


def _cable(canvas: Canvas, y: float, lower: float, colour: str, outside: str, inside: str) -> None:
    """From the left it falls into a loop, rises into the panel, and goes on indoors."""
    left = PANEL_X - 24 - lower
    low = LOOP_Y + lower
    canvas.path(
        f"M8 {y:g}H{left:g}V{low - 4:g}q0 4 4 4h{PANEL_X - 16 - left + lower:g}q4 0 4 -4V{y:g}H{INDOORS_X:g}",
        0.6, colour, stroke_linejoin="round",
    )  # fmt: skip
    canvas.text(8, y - 1.8, outside, SMALL_MM)
    canvas.rect(INDOORS_X, y - 4, 30, 8, 0.4, INK, fill="#fff", rx=1)
    canvas.text(INDOORS_X + 15, y + 0.9, inside, SMALL_MM, "middle")


def _guard(canvas: Canvas, x: float, y: float, first: str, second: str) -> None:
    """A guard on the cable there, with its way down to the bar."""
    canvas.circle(x, y, 0.7, fill=INK)
    canvas.line((x, y), (x, BAR_Y), width=0.45, colour=BRICK)
    canvas.rect(x - 1.8, y + 5, 3.6, 6, 0.4, BRICK, fill="#fff")
    canvas.text(x + 3, y + 7.2, first, SMALL_MM)
    canvas.text(x + 3, y + 10.4, second, SMALL_MM)


def _bar(canvas: Canvas) -> None:
    """The bar, and the way from it to the earth of the house, whose size stands nowhere here."""
    left, right = PANEL_X + 6, PANEL_X + PANEL_WIDE - 6
    canvas.rect(left, BAR_Y, right - left, 3, 0.3, BRICK, fill=BRICK)
    canvas.text(left, BAR_Y + 6.4, "earth bar", SMALL_MM)
    x = right - 4
    canvas.line((x, BAR_Y + 3), (x, 80), width=0.9, colour=BRICK)
    for number in range(3):
        half = 5 - 1.6 * number
        canvas.line((x - half, 80 + 1.6 * number), (x + half, 80 + 1.6 * number), width=0.5, colour=BRICK)
    canvas.text(x + 8, 78, "earth of the house:", SMALL_MM)
    canvas.text(x + 8, 81.6, "as local code asks", SMALL_MM)

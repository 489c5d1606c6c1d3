"""Draws from the side how a part lies on the board, and how one stands on end."""

from __future__ import annotations

from boardgen.documents.canvas import INK, PANEL, SOFT, Canvas

SIZE = 3.0
HIGH, BOARD_Y, THICK = 34.0, 26.0, 2.5
EACH = 62.0


def standing_picture(*, band: bool) -> str:
    """One part lying and one on end, with a band where the parts have one."""
    canvas = Canvas()
    _board(canvas, 2 * EACH)
    _lying(canvas, 8.0, band=band)
    _on_end(canvas, EACH + 8.0, band=band)
    return canvas.svg(2 * EACH, HIGH, "A part that lies and a part on end, from the side", sized=False, paper="")


def _board(canvas: Canvas, wide: float) -> None:
    canvas.rect(0, BOARD_Y, wide, THICK, 0.3, SOFT, fill=PANEL)


def _lying(canvas: Canvas, x: float, *, band: bool) -> None:
    y = BOARD_Y - 3
    canvas.line((x, BOARD_Y + THICK + 1.5), (x, y), (x + 30, y), (x + 30, BOARD_Y + THICK + 1.5), width=0.6)
    canvas.rect(x + 8, y - 2.6, 14, 5.2, 0.4, fill="#fff", rx=1)
    if band:
        canvas.rect(x + 18.2, y - 2.6, 1.8, 5.2, fill=INK)
    canvas.text(x + 15, y - 5, "lies flat", SIZE, "middle")


def _on_end(canvas: Canvas, x: float, *, band: bool) -> None:
    foot = BOARD_Y - 1.5
    top = foot - 14
    canvas.line((x, BOARD_Y + THICK + 1.5), (x, foot), width=0.6)
    canvas.path(
        f"M{x:g} {top:g}v-2.5q0 -2.5 2.5 -2.5h3q2.5 0 2.5 2.5V{BOARD_Y + THICK + 1.5:g}", 0.6, stroke_linecap="round"
    )
    canvas.rect(x - 2.6, top, 5.2, 14, 0.4, fill="#fff", rx=1)
    if band:
        canvas.rect(x - 2.6, top + 2, 5.2, 1.8, fill=INK)
        canvas.text(x + 12, top + 4, "band up", SIZE)
    canvas.text(x + 12, top + 8.5, "bent lead: the hole beside", SIZE)
    canvas.text(x + 12, top + 13, "the body", SIZE)
    canvas.text(x - 4, top - 2, "on end", SIZE, "end")

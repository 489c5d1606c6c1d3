"""Draws how a two-hole core is wound: each winding seen from above, with its leads, bends and turns."""

from __future__ import annotations

from boardgen.documents.canvas import BLUE, OCHRE, PANEL, SOFT, Anchor, Canvas
from boardgen.documents.counted import counted

SIZE = 3.4
CORE_WIDE, CORE_LONG, MARGIN, GAP, TOP = 40.0, 44.0, 28.0, 8.0, 11.0
HOLE = 13.0
LEAD = 12.0
SHOWN_TURNS = 8
"""More turns than this are drawn as this many, and said so."""


def winding_picture(port_turns: int, board_turns: int) -> str:
    """Both windings, each alone on its core for clearness; the port's leads on the left, the board's on the right."""
    panel = CORE_WIDE + 2 * MARGIN
    more = max(port_turns, board_turns) > SHOWN_TURNS
    canvas = Canvas()
    _panel(canvas, 0.0, "port winding", port_turns, left=True)
    _panel(canvas, panel + GAP, "board winding", board_turns, left=False)
    high = TOP + CORE_LONG + (14 if more else 9)
    title = "Both windings of a two-hole core, seen from above"
    return canvas.svg(2 * panel + GAP, high, title, sized=False, paper="")


def _panel(canvas: Canvas, x: float, name: str, turns: int, *, left: bool) -> None:
    core_x, middle_x = x + MARGIN, x + MARGIN + CORE_WIDE / 2
    canvas.text(middle_x, 6, f"{name}: {counted(turns, 'turn')}", SIZE, "middle", face="bold")
    canvas.rect(core_x, TOP, CORE_WIDE, CORE_LONG, 0.4, fill=PANEL)
    holes = (TOP + 12.5, TOP + CORE_LONG - 8.5)
    for number, middle in enumerate(holes, 1):
        canvas.rect(core_x, middle - HOLE / 2, CORE_WIDE, HOLE, 0.4, SOFT, fill="#fff", dashes="1.5 1")
        canvas.text(middle_x, middle - HOLE / 2 - 1.2, f"hole {number}", 3, "middle", colour=SOFT)
    _wire(canvas, core_x, holes, turns, left=left)
    foot = TOP + CORE_LONG + 6
    canvas.text(middle_x, foot, f"count {counted(turns, 'bend')} on the face without leads", SIZE, "middle")
    if turns > SHOWN_TURNS:
        canvas.text(middle_x, foot + 5, f"({SHOWN_TURNS} of them drawn)", SIZE, "middle", colour=SOFT)


def _wire(canvas: Canvas, core_x: float, holes: tuple[float, float], turns: int, *, left: bool) -> None:
    """The wire from its start through both holes and back, turn by turn; its end lies over the other turns."""
    drawn = min(turns, SHOWN_TURNS)
    colour, letter = (BLUE, "P") if left else (OCHRE, "S")
    near, far = (core_x, core_x + CORE_WIDE) if left else (core_x + CORE_WIDE, core_x)
    out = -1.0 if left else 1.0
    step = (HOLE - 2) / drawn
    first = [holes[0] - HOLE / 2 + 1 + step * (n + 0.5) for n in range(drawn)]
    second = [holes[1] + HOLE / 2 - 1 - step * (n + 0.5) for n in range(drawn)]
    way = [f"M{near + out * LEAD:g} {first[0]:g}H{far:g}"]
    for n in range(drawn):
        reach = 2.5 + 0.9 * (drawn - n)
        way.append(f"{_bend(far, first[n], second[n], -out * reach)}H{near:g}")
        if n + 1 < drawn:
            way.append(f"{_bend(near, second[n], first[n + 1], out * (reach - 0.45))}H{far:g}")
    lead = ((near, second[-1]), (near + out * LEAD, second[-1]))
    canvas.path("".join(way), 0.7, colour, stroke_linejoin="round", stroke_linecap="round")
    canvas.line(*lead, width=1.9, colour="#fff", stroke_linecap="round")
    canvas.line(*lead, width=0.7, colour=colour, stroke_linecap="round")
    canvas.circle(near + out * LEAD, first[0], 1.2, 0.4, fill=colour)
    anchor: Anchor = "end" if left else "start"
    canvas.text(near + out * (LEAD + 2), first[0] + 1.2, f"start {letter}1", SIZE, anchor)
    canvas.text(near + out * (LEAD + 2), second[-1] + 1.2, f"end {letter}2", SIZE, anchor)


def _bend(x: float, y1: float, y2: float, reach: float) -> str:
    """A bend outside a face, from one hole to the other."""
    return f"C{x + 1.33 * reach:g} {y1:g} {x + 1.33 * reach:g} {y2:g} {x:g} {y2:g}"

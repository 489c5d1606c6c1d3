"""Draws how a two-hole core is wound: both windings from above, with their leads and bends, and the holes end on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from boardgen.documents.canvas import BLUE, OCHRE, PANEL, SOFT, Anchor, Canvas, Point
from boardgen.model.transformer import LEADS, PRIMARY, SECONDARY, Face, Lead, WindingStyle

SIZE, SMALL = 3.4, 3.0
CORE_WIDE, CORE_LONG, MARGIN, TOP = 46.0, 62.0, 37.0, 11.0
HOLE, LEAD = 21.0, 20.0
END_WIDE, END_GAP = 34.0, 8.0
SHOWN_TURNS = 5
"""More turns than this are drawn as this many, and said so."""
PAIR_MM = 1.3
"""Between the wires of a pair."""
COLOURS = {"P": BLUE, "S": OCHRE}


def winding_picture(port_turns: int, board_turns: int, style: WindingStyle, leads: Mapping[str, Lead] = LEADS) -> str:
    """Both windings on one core; the port's leads on the left, the board's on the right, and the holes beside it."""
    drawn = {"P": min(port_turns, SHOWN_TURNS), "S": min(board_turns, SHOWN_TURNS)}
    canvas = Canvas()
    core_x, middle_x = MARGIN, MARGIN + CORE_WIDE / 2
    canvas.text(middle_x, 6, "from above", SIZE, "middle", face="bold")
    canvas.rect(core_x, TOP, CORE_WIDE, CORE_LONG, 0.4, fill=PANEL)
    holes = (TOP + 15.5, TOP + CORE_LONG - 15.5)
    for number, middle in enumerate(holes, 1):
        canvas.rect(core_x, middle - HOLE / 2, CORE_WIDE, HOLE, 0.4, SOFT, fill="#fff", dashes="1.5 1")
        away = middle - HOLE / 2 - 1.2 if number == 1 else middle + HOLE / 2 + 3.4
        canvas.text(middle_x, away, f"hole {number}", SMALL, "middle", colour=SOFT)
    _wires(canvas, holes, drawn, style, leads)
    canvas.text(core_x - 3, TOP - 2, "port's face", SMALL, "end", colour=SOFT)
    canvas.text(core_x + CORE_WIDE + 3, TOP - 2, "board's face", SMALL, colour=SOFT)
    foot = TOP + CORE_LONG + 6
    if max(port_turns, board_turns) > SHOWN_TURNS:
        canvas.text(middle_x, foot, f"at most {SHOWN_TURNS} turns of each are drawn", SMALL, "middle", colour=SOFT)
    end_x = CORE_WIDE + 2 * MARGIN + END_GAP
    _ends(canvas, end_x, drawn, style)
    title = "Both windings of a two-hole core, from above and from the port's face"
    return canvas.svg(end_x + END_WIDE + 4, foot + 4, title, sized=False, paper="")


def _passes(start: Lead, turns: int, style: WindingStyle, *, first: bool) -> list[tuple[int, int]]:
    """Of every pass through the core, in the order of the wire, its hole and its place among those of its kind there.

    In a pair the board winding joins the port winding at its second pass, and makes the last one alone.
    """
    found = []
    for n in range(2 * turns):
        hole = start.hole if n % 2 == 0 else 3 - start.hole
        later = style == "pair" and not first and hole == 3 - LEADS[SECONDARY[0]].hole
        found.append((hole, n // 2 + (1 if later else 0)))
    return found


def _wires(
    canvas: Canvas,
    holes: tuple[float, float],
    drawn: Mapping[str, int],
    style: WindingStyle,
    leads: Mapping[str, Lead],
) -> None:
    ways = {
        letter: _passes(leads[roles[0]], drawn[letter], style, first=letter == "P")
        for letter, roles in (("P", PRIMARY), ("S", SECONDARY))
    }
    slots = max(slot for way in ways.values() for _, slot in way) + 1

    def y(letter: str, hole: int, slot: int) -> float:
        """Places are counted from the outer side of each hole; apart, the port's winding has the outer half."""
        if style == "pair":
            inward = 1.5 + (HOLE - 3 - PAIR_MM) * (slot + 0.5) / slots + (PAIR_MM if letter == "S" else 0.0)
        else:
            half = HOLE / 2 - 1.5
            inward = (1.0 if letter == "P" else HOLE / 2 + 0.5) + half * (slot + 0.5) / slots
        return holes[0] - HOLE / 2 + inward if hole == 1 else holes[1] + HOLE / 2 - inward

    for letter, roles in (("P", PRIMARY), ("S", SECONDARY)):
        _bends(canvas, letter, leads[roles[0]].face, [y(letter, *one) for one in ways[letter]])
    for letter, roles in (("P", PRIMARY), ("S", SECONDARY)):
        found = [y(letter, *one) for one in ways[letter]]
        for role, at in ((roles[0], found[0]), (roles[1], found[-1])):
            _lead(canvas, letter, role, leads[role].face, at)


def _bends(canvas: Canvas, letter: str, face: Face, found: list[float]) -> None:
    """The wire from pass to pass; outer passes bend farther out."""
    left, right = MARGIN, MARGIN + CORE_WIDE
    here, other = (left, right) if face == "port" else (right, left)
    middle = TOP + CORE_LONG / 2
    way = [f"M{here:g} {found[0]:g}"]
    for n, at in enumerate(found):
        x = other if n % 2 == 0 else here
        way.append(f"H{x:g}")
        if n + 1 < len(found):
            reach = (1.0 + 0.3 * abs(at - middle)) * (1 if x == right else -1) * 1.33
            way.append(f"C{x + reach:g} {at:g} {x + reach:g} {found[n + 1]:g} {x:g} {found[n + 1]:g}")
    canvas.path("".join(way), 0.6, COLOURS[letter], stroke_linejoin="round", stroke_linecap="round")


def _lead(canvas: Canvas, letter: str, role: str, face: Face, at: float) -> None:
    is_start = role in (PRIMARY[0], SECONDARY[0])
    left = face == "port"
    near = MARGIN if left else MARGIN + CORE_WIDE
    out = near + (-LEAD if left else LEAD)
    line: tuple[Point, Point] = ((near, at), (out, at))
    canvas.line(*line, width=1.8, colour="#fff", stroke_linecap="butt")
    canvas.line(*line, width=0.6, colour=COLOURS[letter], stroke_linecap="round")
    canvas.circle(out, at, 1.3, 0.4, COLOURS[letter], fill=COLOURS[letter] if is_start else "#fff")
    anchor: Anchor = "end" if left else "start"
    words = f"{letter}1 start" if is_start else f"{letter}2 end"
    canvas.text(out + (-2 if left else 2), at + 1.2, words, SMALL, anchor)


def _ends(canvas: Canvas, x: float, drawn: Mapping[str, int], style: WindingStyle) -> None:
    """Both holes end on: the port's wires filled, the board's as rings."""
    canvas.text(x + END_WIDE / 2, 6, "from the port's face", SIZE, "middle", face="bold")
    canvas.rect(x, TOP, END_WIDE, CORE_LONG, 0.4, fill=PANEL)
    radius, wire = 10.5, 1.15
    for number, middle in ((1, TOP + 15.5), (2, TOP + CORE_LONG - 15.5)):
        centre = x + END_WIDE / 2
        canvas.circle(centre, middle, radius, 0.4, SOFT, fill="#fff")
        if style == "apart":
            canvas.line((centre, middle - radius), (centre, middle + radius), width=0.3, colour=SOFT, dashes="1.5 1")
        counts = Counter(drawn)
        for letter, side in (("P", -1), ("S", 1)):
            for n in range(counts[letter]):
                row, column = divmod(n, 2)
                if style == "apart":
                    at = (centre + side * (3.2 + 3.6 * column), middle + 3.2 * (row - (counts[letter] - 1) // 2 / 2))
                else:
                    at = (centre + side * wire + 7.0 * (column - 0.5), middle + 3.6 * (row - 1))
                fill = COLOURS[letter] if letter == "P" else "#fff"
                canvas.circle(*at, wire - 0.1, 0.45, COLOURS[letter], fill=fill)
        away = middle - radius - 1.2 if number == 1 else middle + radius + 3.4
        canvas.text(centre, away, f"hole {number}", SMALL, "middle", colour=SOFT)
    if style == "apart":
        foot = TOP + CORE_LONG + 4
        canvas.text(x, foot, "lower half", SMALL, colour=COLOURS["P"])
        canvas.text(x + END_WIDE, foot, "upper half", SMALL, "end", colour=COLOURS["S"])

"""Draws how a two-hole core is wound: each winding seen from above, with its leads, bends and turns."""

from __future__ import annotations

from html import escape

INK, SOFT, PANEL, BLUE, OCHRE = "#1D2A33", "#5A6872", "#F1EFE8", "#2B5C8A", "#A8701C"
CORE_WIDE, CORE_LONG, MARGIN, GAP = 40.0, 42.0, 26.0, 16.0
SHOWN_TURNS = 8
"""More turns than this are drawn as this many, and said so."""
TEXT = 3.4


def winding_picture(port_turns: int, board_turns: int) -> str:
    """Both windings, each alone on its core for clearness; the port's leads on the left, the board's on the right."""
    wide = 2 * (CORE_WIDE + 2 * MARGIN) + GAP
    high = CORE_LONG + 34
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {high:g}" role="img">',
        f"<title>{escape('Both windings of a two-hole core, seen from above')}</title>",
        _panel(0.0, "port winding", port_turns, left=True),
        _panel(CORE_WIDE + 2 * MARGIN + GAP, "board winding", board_turns, left=False),
        "</svg>",
    ]
    return "".join(parts)


def _panel(x: float, name: str, turns: int, *, left: bool) -> str:
    drawn = min(turns, SHOWN_TURNS)
    colour, letter = (BLUE, "P") if left else (OCHRE, "S")
    top, core_x = 14.0, x + MARGIN
    found = [
        _text(
            x + MARGIN + CORE_WIDE / 2, 6, f"{name}: {turns} {'turn' if turns == 1 else 'turns'}", "middle", bold=True
        ),
        f'<rect x="{core_x:g}" y="{top:g}" width="{CORE_WIDE:g}" height="{CORE_LONG:g}" rx="1.5" fill="{PANEL}" stroke="{INK}" stroke-width="0.5"/>',
    ]
    hole = CORE_LONG * 0.30
    middles = (top + CORE_LONG * 0.27, top + CORE_LONG * 0.73)
    for number, middle in enumerate(middles, 1):
        y = middle - hole / 2
        found.append(
            f'<rect x="{core_x:g}" y="{y:g}" width="{CORE_WIDE:g}" height="{hole:g}" fill="#fff" stroke="{SOFT}" stroke-width="0.3" stroke-dasharray="1.5 1"/>'
        )
        found.append(_text(core_x + CORE_WIDE / 2, y - 0.9, f"hole {number}", "middle", SOFT))
    step = (hole - 2) / max(1, drawn)
    first, second = ([middle - hole / 2 + 1 + step * (n + 0.5) for n in range(drawn)] for middle in middles)
    second = second[::-1]
    near, far = (core_x, core_x + CORE_WIDE) if left else (core_x + CORE_WIDE, core_x)
    out = -1.0 if left else 1.0
    lines = [f"M{near + out * 12:g} {first[0]:g}H{far:g}"]
    for n in range(drawn):
        bend = _bend(far, first[n], second[n], -out * (2.5 + 0.9 * (drawn - n)))
        lines.append(f"{bend}H{near:g}")
        if n + 1 < drawn:
            lines.append(f"{_bend(near, second[n], first[n + 1], out * (2.5 + 0.9 * (drawn - n - 1)))}H{far:g}")
    lines.append(f"H{near + out * 12:g}")
    found.append(
        f'<path d="{"".join(lines)}" fill="none" stroke="{colour}" stroke-width="0.7" stroke-linejoin="round"/>'
    )
    end_x = near + out * 13
    found.append(f'<circle cx="{near + out * 12:g}" cy="{first[0]:g}" r="1.2" fill="{colour}"/>')
    anchor = "end" if left else "start"
    found.append(_text(end_x + out, first[0] + 1.2, f"start {letter}1", anchor))
    found.append(_text(end_x, second[-1] + 1.2, f"end {letter}2", anchor))
    note = f"count {turns} {'bend' if turns == 1 else 'bends'} on the face without leads"
    found.append(_text(core_x + CORE_WIDE / 2, top + CORE_LONG + 6.5, note, "middle"))
    if drawn < turns:
        found.append(_text(core_x + CORE_WIDE / 2, top + CORE_LONG + 11.5, f"({drawn} of them drawn)", "middle", SOFT))
    return "".join(found)


def _bend(x: float, y1: float, y2: float, reach: float) -> str:
    """A bend outside a face, from one hole to the other."""
    return f"C{x + 1.33 * reach:g} {y1:g} {x + 1.33 * reach:g} {y2:g} {x:g} {y2:g}"


def _text(x: float, y: float, words: str, anchor: str, colour: str = INK, *, bold: bool = False) -> str:
    weight = ' font-weight="600"' if bold else ""
    return (
        f'<text x="{x:g}" y="{y:g}" text-anchor="{anchor}" font-family="sans-serif" font-size="{TEXT}" fill="{colour}"{weight}>'
        f"{escape(words)}</text>"
    )

"""Draws a simple manual selector: supply, fuse, rotary switch, conductors."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

INK, SOFT, BLUE = "#1D2A33", "#5A6872", "#2B5C8A"
STEP, TEXT = 7.0, 3.4


def selector_picture(
    positions: Sequence[tuple[str, str]], common: str, back: str, fuse: str, volts: str, *, low_side: bool
) -> str:
    """`positions` are antenna and conductor of each; `common` is what the switch's pole is joined to.

    On the high side the pole has the fused plus and `back` returns to minus; on the low side the pole has minus, and the
    fused plus goes to `back`.
    """
    high = 26 + STEP * (len(positions) + 1)
    pole_y = 16 + STEP * len(positions) / 2
    found = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 180 {high + 18:g}" role="img"><title>Manual selector</title>',
        f'<g fill="none" stroke="{INK}" stroke-width="0.5">',
        f'<rect x="2" y="{pole_y - 12:g}" width="34" height="24"/>',
    ]
    plus_y, minus_y = pole_y - 6, pole_y + 6
    pole_from = minus_y if low_side else plus_y
    pole_x, contact_x = 78.0, 100.0
    fuse_y = plus_y
    end_y = high + 6
    wire_fuse = f"M36 {fuse_y:g}H44M60 {fuse_y:g}"
    if low_side:
        found.append(f'<path d="{wire_fuse}H68V{4:g}H118M36 {pole_from:g}H{pole_x:g}"/>')
    else:
        found.append(f'<path d="{wire_fuse}H{pole_x:g}M36 {minus_y:g}H40V{end_y:g}H118"/>')
    found.append(f'<rect x="44" y="{fuse_y - 2.2:g}" width="16" height="4.4"/><path d="M44 {fuse_y:g}H60"/>')
    first_y = 14.0
    found.append(
        f'<path d="M{pole_x:g} {pole_from:g}L{contact_x - 1.4:g} {first_y + STEP:g}" stroke="{BLUE}" stroke-width="0.8"/>'
    )
    found.append("</g>")
    found.append(f'<circle cx="{pole_x:g}" cy="{pole_from:g}" r="1.1" fill="{INK}"/>')
    rows = [("off", ""), *positions]
    for number, (label, wire) in enumerate(rows):
        y = first_y + STEP * number
        found.append(f'<circle cx="{contact_x:g}" cy="{y:g}" r="1.1" fill="#fff" stroke="{INK}" stroke-width="0.4"/>')
        if wire:
            found.append(f'<path d="M{contact_x + 1.1:g} {y:g}H118" stroke="{INK}" stroke-width="0.5"/>')
        found.append(_text(120 if wire else contact_x + 3, y + 1.2, wire and f"{wire}: {_short(label)}" or label))
    found.append(_text(4, plus_y + 1.2, f"+ {volts}"))
    found.append(_text(4, minus_y + 1.2, "minus"))
    found.append(_text(52, fuse_y - 4, fuse, anchor="middle"))
    found.append(_text(120, (4 if low_side else end_y) + 1.2, f"{back}"))
    found.append(_text(2, pole_y + 17, "supply"))
    found.append(_text(pole_x - 6, (pole_from + 7) if low_side else pole_from + 7, common, anchor="middle"))
    return "".join((*found, "</svg>"))


def _short(words: str, most: int = 24) -> str:
    return words if len(words) <= most else f"{words[: most - 1]}…"


def _text(x: float, y: float, words: str, anchor: str = "start") -> str:
    return (
        f'<text x="{x:g}" y="{y:g}" text-anchor="{anchor}" font-family="sans-serif" font-size="{TEXT}" fill="{INK}">'
        f"{escape(words)}</text>"
    )

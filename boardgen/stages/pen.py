"""Draws a stage's sketch: parts across and down, wires, names and marks, with room for their words."""

from __future__ import annotations

import math
from collections.abc import Container

from boardgen.kinds import SYMBOLS, kind_of
from boardgen.model.cell import Pair, PinNets
from boardgen.model.netlist import Component, Netlist
from boardgen.model.sketch import Anchor, Glyph, Link, Mark, Point, Sketch, Text, Words, steps

LINE = 1.15
"""From a line of words to the next."""
ABOVE, BELOW = -0.35, 1.1
"""Baseline of a name over and under its wire."""
NOT_FITTED, STRIP = "*", "…"


def shown(part: Component, suffix: str = "") -> str:
    """The designator as it is written, marked where the part is not fitted."""
    return f"{part.ref}{suffix}{'' if part.fitted else NOT_FITTED}"


def pitch(*parts: Component) -> int:
    """Steps from one vertical part to the next so that its words have room."""
    return max(math.ceil(words_at(part) + _wide(part) + 1.3) for part in parts)


def _wide(part: Component) -> float:
    return max(steps(shown(part)), steps(part.value))


def symbol_of(part: Component) -> str:
    """The symbol of a part with two terminals."""
    return kind_of(part.part).symbol_of(part.part)


def short(netlist: Netlist, net: str, strip: str) -> str:
    """The name of a net with an ellipsis in the place of that strip's name."""
    called = netlist.called[net]
    return called.spelled(STRIP) if called.strip == strip else net


def spread(part: Component) -> float:
    """Whole steps by which the words of a horizontal part reach beyond its terminals at each side, and a little."""
    return float(math.ceil(max(0.0, _wide(part) + 0.8 - 4) / 2))


def words_at(part: Component) -> float:
    """From the line of a vertical part to its words."""
    box = SYMBOLS[symbol_of(part)].box
    return max(-box[1], box[3]) + 0.5


class Pen:
    """Gathers what a stage draws; `sketch` freezes it.

    Names of the nets of `strip`, a label, are shortened; `unnamed` nets are not named.
    """

    def __init__(self, netlist: Netlist, strip: str = "", unnamed: Container[str] = ()) -> None:
        self.pin_nets: PinNets = netlist.pin_nets
        self._netlist = netlist
        self.strip = strip
        self._unnamed = unnamed
        self._glyphs: list[Glyph] = []
        self._wires: list[tuple[Point, ...]] = []
        self._texts: list[Text] = []
        self._marks: list[Mark] = []
        self._links: list[Link] = []

    def sketch(self, right: float = 0.0, inward: Pair = ("", "")) -> Sketch:
        """What was drawn."""
        return Sketch(
            tuple(self._glyphs),
            tuple(self._wires),
            tuple(self._texts),
            tuple(self._marks),
            tuple(self._links),
            right,
            inward,
        )

    def wire(self, *points: Point) -> None:
        """A wire with its bends; nothing where it has no length."""
        if any(point != points[0] for point in points):
            self._wires.append(points)

    def link(self, start: Point, end: Point) -> None:
        """A mechanical link."""
        self._links.append(Link(start, end))

    def glyph(
        self, part: Component, symbol: str, at: Point, pins: tuple[str, ...], turn: int = 0, *, flip: bool = False
    ) -> None:
        """A symbol whose terminals are these roles of the part; roles that the netlist leaves free stay free."""
        self._glyphs.append(Glyph(part.ref, symbol, at, turn, flip, pins))

    def text(self, at: Point, words: str, kind: Words, owner: str = "", anchor: Anchor = "start") -> None:
        """Words on a baseline."""
        if words:
            self._texts.append(Text(at, words, kind, owner, anchor))

    def words(self, part: Component, x: float, y: float, suffix: str = "", anchor: Anchor = "start") -> None:
        """Designator over value, the designator's baseline at y."""
        self.text((x, y), shown(part, suffix), "ref", part.ref, anchor)
        self.text((x, y + LINE), part.value, "value", part.ref, anchor)

    def name(self, net: str, x: float, y: float, *, below: bool = False, anchor: Anchor = "start") -> None:
        """The name of the wire at that point."""
        if net not in self._unnamed:
            words = short(self._netlist, net, self.strip)
            self.text((x, y + (BELOW if below else ABOVE)), words, "net below" if below else "net", net, anchor)

    def room(self, net: str) -> float:
        """Whole steps that the name of a net takes."""
        return 0.0 if net in self._unnamed else float(math.ceil(steps(short(self._netlist, net, self.strip)) + 0.4))

    def mark(self, net: str, x: float, y: float) -> None:
        """The sign of 0V or earth; the letters of 0V stand under it."""
        self._marks.append(Mark(net, (x, y)))
        if net == "0V":
            self.text((x, y + 2.1), net, "mark", net, "middle")

    def two(self, part: Component, at: Point, net: str, turn: int) -> str:
        """A two-terminal part from `at` in the direction of `turn`, its end on `net` there; returns the other net."""
        first, second = self._ends(part)
        joined = self.pin_nets[part.ref]
        x, y = at
        if joined[first] == net:
            self.glyph(part, symbol_of(part), at, (first, second), turn)
            return joined[second]
        if joined[second] != net:
            raise ValueError("a part that is not on the net it is drawn at", part.ref, net)
        far = {0: (x + 4, y), 1: (x, y + 4), 2: (x - 4, y), 3: (x, y - 4)}[turn]
        self.glyph(part, symbol_of(part), far, (first, second), (turn + 2) % 4)
        return joined[first]

    @staticmethod
    def _ends(part: Component) -> tuple[str, str]:
        """The roles in the order of the symbol: along the arrow of a diode."""
        if {"anode", "cathode"} == set(part.part.pins):
            return "anode", "cathode"
        first, second = list(part.part.pins)[:2]
        return first, second

    def across(self, part: Component, x: float, y: float, net: str) -> str:
        """From left to right, designator above and value below; returns the net at the right end, at x + 4."""
        other = self.two(part, (x, y), net, 0)
        box = SYMBOLS[symbol_of(part)].box
        half = max(-box[1], box[3])
        self.text((x + 2, y - half - 0.45), shown(part), "ref", part.ref, "middle")
        self.text((x + 2, y + half + 1.25), part.value, "value", part.ref, "middle")
        return other

    def down(self, part: Component, x: float, y: float, net: str) -> str:
        """From top to bottom with its words to the right; returns the net at the lower end, at y + 4."""
        other = self.two(part, (x, y), net, 1)
        self.words(part, x + words_at(part), y + 1.85)
        return other

    def up(self, part: Component, x: float, y: float, net: str) -> str:
        """From bottom to top with its words to the right; returns the net at the upper end, at y - 4."""
        other = self.two(part, (x, y), net, 3)
        self.words(part, x + words_at(part), y - 2.15)
        return other

    def hang(self, part: Component, x: float, y: float, net: str) -> None:
        """From a wire down to 0V or earth."""
        self.mark(self.down(part, x, y, net), x, y + 4)

    def between(self, part: Component, x: float, depth: float, net: str) -> None:
        """From the upper row of a pair, which is on `net`, to the lower, `depth` steps below."""
        top = (depth - 4) / 2
        self.wire((x, 0), (x, top))
        self.down(part, x, top, net)
        self.wire((x, top + 4), (x, depth))

    def pair(self, left: float, right: float, rows: tuple[float, float], *, both: bool = True) -> None:
        """The pair straight on."""
        for row in rows if both else rows[:1]:
            self.wire((left, row), (right, row))

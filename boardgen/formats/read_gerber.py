"""Reads a Gerber layer back: flashes, draws and areas with their apertures and attributes.

Source as in boardgen.formats.gerber, from whose code nothing is taken over. Knows what the format asks of a two-layer
board drawn with circles and rectangles; anything else is a fault by name, so that nothing is passed over in silence.
"""

from __future__ import annotations

import re

from msgspec import Struct, field

from boardgen.model.copper import PointNm

_COMMAND = re.compile(r"%([^%]*)%|([^*%]*)\*", re.DOTALL)
_MOVE = re.compile(r"(?:X(-?\d+))?(?:Y(-?\d+))?D0([123])")
_APERTURE = re.compile(r"ADD(\d+)(?:C,([0-9.]+)|R,([0-9.]+)X([0-9.]+))")
_ATTRIBUTES = ("TF.", "TA.", "TO.")
_HEAD = {"FSLAX46Y46", "MOMM"}
"""Coordinates with six decimals of a millimetre: without both, no number of a file has a size."""


class LayerError(ValueError):
    """The file is not a layer that can be read whole."""


class Flash(Struct, frozen=True):
    """A pad: its place, width and height in nm (equal and round, or a rectangle).

    `attributes` are those of the object, `function` is what its aperture says that it is for.
    """

    at: PointNm
    round: bool
    width_nm: int
    height_nm: int
    attributes: tuple[tuple[str, str], ...]
    function: str = ""


class Draw(Struct, frozen=True):
    """A straight line drawn with a round aperture; attributes and function as those of a pad."""

    start: PointNm
    end: PointNm
    width_nm: int
    attributes: tuple[tuple[str, str], ...]
    function: str = ""


class Area(Struct):
    """A filled outline, the areas cleared out of it, and the attributes of the object."""

    outline: tuple[PointNm, ...]
    clear: list[tuple[PointNm, ...]] = field(default_factory=list)
    attributes: tuple[tuple[str, str], ...] = ()


class Layer(Struct):
    """What a file draws, in order, and its file attributes."""

    attributes: dict[str, str] = field(default_factory=dict)
    flashes: list[Flash] = field(default_factory=list)
    draws: list[Draw] = field(default_factory=list)
    areas: list[Area] = field(default_factory=list)


def read_gerber(text: str) -> Layer:
    """The layer that a file holds. Raises LayerError for what cannot be read, or a file that ends too early."""
    return _Reader().read(text)


class _Reader:
    def __init__(self) -> None:
        self.layer = Layer()
        self.apertures: dict[int, tuple[bool, int, int, str]] = {}
        self.functions: dict[str, str] = {}
        self.head: set[str] = set()
        self.current = 0
        self.at: PointNm = (0, 0)
        self.objects: dict[str, str] = {}
        self.dark = True
        self.ring: list[PointNm] | None = None
        self.ended = False

    def read(self, text: str) -> Layer:
        if not text.isascii():
            raise LayerError("it is not plain ASCII")
        read = 0
        for match in _COMMAND.finditer(text):
            extended, word = match.group(1), match.group(2)
            if text[read : match.start()].strip():
                break
            read = match.end()
            if extended is not None:
                for each in extended.strip().rstrip("*").split("*"):
                    self._extended(each)
            elif word.strip():
                self._word(word.strip())
        if not self.ended:
            raise LayerError("the file ends before M02")
        if text[read:].strip():
            msg = f"{text[read:].split()[0][:20]} is not a statement"
            raise LayerError(msg)
        return self.layer

    def _extended(self, text: str) -> None:
        if self.ended:
            msg = f"%{text}% after the end"
            raise LayerError(msg)
        if text.startswith(_ATTRIBUTES):
            name, _, value = text[3:].partition(",")
            value = re.sub(r"\\u([0-9A-F]{4})", lambda m: chr(int(m.group(1), 16)), value)
            {"TF.": self.layer.attributes, "TA.": self.functions, "TO.": self.objects}[text[:3]][name] = value
        elif text == "TD":
            self.objects, self.functions = {}, {}
        elif text.startswith("TD."):
            self.objects.pop(text[3:], None)
            self.functions.pop(text[3:], None)
        elif text in ("LPD", "LPC"):
            self.dark = text == "LPD"
        elif found := _APERTURE.fullmatch(text):
            self._aperture(found)
        elif text in _HEAD:
            self.head.add(text)
        else:
            msg = f"%{text}% is not known here"
            raise LayerError(msg)

    def _aperture(self, found: re.Match[str]) -> None:
        number, circle, *rectangle = found.groups()
        wide, high = (round(float(size) * 1e6) for size in ((circle, circle) if circle else rectangle))
        if int(number) in self.apertures or not (wide and high):
            msg = f"%{found.group()}% defines an aperture twice, or one of no size"
            raise LayerError(msg)
        self.apertures[int(number)] = (bool(circle), wide, high, self.functions.get("AperFunction", ""))

    def _word(self, word: str) -> None:
        if self.ended:
            msg = f"{word} after the end"
            raise LayerError(msg)
        if word == "M02":
            self.ended = True
        elif word == "G36":
            self.ring = []
        elif word == "G37":
            self._close()
        elif move := _MOVE.fullmatch(word):
            self._move(move)
        elif word.startswith("D") and word[1:].isdigit():
            self.current = int(word[1:])
        elif word not in ("G01", "G75"):
            msg = f"{word} is not known here"
            raise LayerError(msg)

    def _close(self) -> None:
        ring, self.ring = self.ring or [], None
        if len(ring) < 4:
            raise LayerError("an area of fewer than three corners")
        if ring[0] != ring[-1]:
            raise LayerError("an area that is not closed")
        if self.dark:
            self.layer.areas.append(Area(tuple(ring[:-1]), attributes=self._attributes()))
        elif self.layer.areas and not self.layer.draws and not self.layer.flashes:
            self.layer.areas[-1].clear.append(tuple(ring[:-1]))
        else:
            raise LayerError("an area is cleared out of what is not an area")

    def _attributes(self) -> tuple[tuple[str, str], ...]:
        return tuple(sorted(self.objects.items()))

    def _move(self, move: re.Match[str]) -> None:
        if self.head != _HEAD:
            raise LayerError("a coordinate before format and unit")
        x, y, action = move.groups()
        to = (int(x) if x else self.at[0], int(y) if y else self.at[1])
        if self.ring is not None:
            if action != ("1" if self.ring else "2"):
                raise LayerError("an area that is not drawn in one line")
            self.ring.append(to)
        elif action != "2":
            if not self.dark or self.current not in self.apertures:
                msg = f"{move.group()} without a dark aperture"
                raise LayerError(msg)
            circle, wide, high, function = self.apertures[self.current]
            if action == "3":
                self.layer.flashes.append(Flash(to, circle, wide, high, self._attributes(), function))
            elif circle:
                self.layer.draws.append(Draw(self.at, to, wide, self._attributes(), function))
            else:
                raise LayerError("a line drawn with a rectangle")
        self.at = to

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
_APERTURE = re.compile(r"ADD(\d+)([CR]),([0-9.]+)(?:X([0-9.]+))?$")


class LayerError(ValueError):
    """The file is not a layer that can be read whole."""


class Flash(Struct, frozen=True):
    """A pad: its place, width and height in nm (equal and round, or a rectangle), and its object attributes."""

    at: PointNm
    round: bool
    width_nm: int
    height_nm: int
    attributes: tuple[tuple[str, str], ...]


class Draw(Struct, frozen=True):
    """A straight line drawn with a round aperture."""

    start: PointNm
    end: PointNm
    width_nm: int
    attributes: tuple[tuple[str, str], ...]


class Area(Struct):
    """A filled outline and the areas cleared out of it."""

    outline: tuple[PointNm, ...]
    clear: list[tuple[PointNm, ...]] = field(default_factory=list)


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
        self.apertures: dict[int, tuple[str, int, int]] = {}
        self.current = 0
        self.at: PointNm = (0, 0)
        self.objects: dict[str, str] = {}
        self.dark = True
        self.ring: list[PointNm] | None = None
        self.ended = False

    def read(self, text: str) -> Layer:
        for match in _COMMAND.finditer(text):
            extended, word = match.group(1), match.group(2)
            if extended is not None:
                for each in extended.strip().rstrip("*").split("*"):
                    self._extended(each)
            elif word.strip():
                self._word(word.strip())
        if not self.ended:
            raise LayerError("the file ends before M02")
        return self.layer

    def _extended(self, text: str) -> None:
        if text.startswith("TF."):
            name, _, value = text[3:].partition(",")
            self.layer.attributes[name] = value
        elif text.startswith("TO."):
            name, _, value = text[3:].partition(",")
            self.objects[name] = re.sub(r"\\u([0-9A-F]{4})", lambda m: chr(int(m.group(1), 16)), value)
        elif text == "TD":
            self.objects = {}
        elif text.startswith(("TA.", "TD.")):
            pass
        elif text in ("LPD", "LPC"):
            self.dark = text == "LPD"
        elif found := _APERTURE.match(text):
            wide = round(float(found.group(3)) * 1e6)
            high = round(float(found.group(4)) * 1e6) if found.group(4) else wide
            self.apertures[int(found.group(1))] = (found.group(2), wide, high)
        elif text not in ("FSLAX46Y46", "MOMM"):
            msg = f"%{text}% is not known here"
            raise LayerError(msg)

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
        ring = tuple((self.ring or [])[:-1])
        self.ring = None
        if len(ring) < 3:
            raise LayerError("an area of fewer than three corners")
        if self.dark:
            self.layer.areas.append(Area(ring))
        elif self.layer.areas and not self.layer.draws and not self.layer.flashes:
            self.layer.areas[-1].clear.append(ring)
        else:
            raise LayerError("an area is cleared out of what is not an area")

    def _move(self, move: re.Match[str]) -> None:
        x, y, action = move.groups()
        to = (int(x) if x else self.at[0], int(y) if y else self.at[1])
        if self.ring is not None:
            self.ring.append(to)
        elif action != "2":
            if not self.dark or self.current not in self.apertures:
                msg = f"{move.group()} without a dark aperture"
                raise LayerError(msg)
            form, wide, high = self.apertures[self.current]
            attributes = tuple(sorted(self.objects.items()))
            if action == "3":
                self.layer.flashes.append(Flash(to, form == "C", wide, high, attributes))
            elif form == "C":
                self.layer.draws.append(Draw(self.at, to, wide, attributes))
            else:
                raise LayerError("a line drawn with a rectangle")
        self.at = to

"""How words and numbers are set on a page: units with their signs, decimal comma or point, lengths with inches."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cached_property, lru_cache

from markupsafe import Markup
from msgspec import Struct

THIN = "\N{NARROW NO-BREAK SPACE}"
INCH_M = 0.0254
MOST_KNOWN = 4096
"""Texts whose setting is kept, since a page says the same again and again; a book has half as many."""
_UNITS = "[kMG]?Hz|dB|[mkM]?V|[mu]?A|[pn]F|[mn]?H|mW|W|[mckµ]?m|cm²|mm²|g"
_SIGNS = (
    ("..", re.compile(r"(?<=\d)\.\.(?=-?\d)"), "\N{EN DASH}"),
    ("+-", re.compile(r"\+-(?=[\s\d])"), "±"),
    (" x ", re.compile(r"(?<=\d) x (?=\d)"), " × "),
    ("-", re.compile(r"(?<![\w.)\-])-(?=\d)"), "\N{MINUS SIGN}"),
    ("ohm", re.compile(r"(?<=[\d.]) ?([kMm]?)ohm\b"), rf"{THIN}\1Ω"),
    ("ohm", re.compile(r"\b([kMm])ohm\b"), r"\1Ω"),
    ("degC", re.compile(r"(?<=\d) ?degC\b"), f"{THIN}°C"),
    (" u", re.compile(r"(?<=\d) u([HFAVms])\b"), rf"{THIN}µ\1"),
    ("mm2", re.compile(r"\bmm2\b"), "mm²"),
    ("cm2", re.compile(r"\bcm2\b"), "cm²"),
    ("dm2", re.compile(r"\bdm2\b"), "dm²"),
    ("%", re.compile(r"(?<=\d) ?%(?!\w)"), f"{THIN}%"),
    (">=", re.compile(r">= ?(?=\d)"), "≥ "),
    ("<=", re.compile(r"<= ?(?=\d)"), "≤ "),
    (" ", re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w]))"), THIN),
)
"""What must stand in the words, what is looked for where it does, and what is set in its place."""
_WORTH_A_LOOK = re.compile(r"[0-9]|ohm|\+-")
_FORMULA_SIGNS = ((">=", "≥"), ("<=", "≤"), ("mu0", "µ₀"), ("mu'", "µ'"), ("^2", "²"), ("sqrt(", "√("), (" x ", " × "))
_LISTED = re.compile(r"(?<=\.\d), (?=\d+\.\d)|(?<=\.\d\d), (?=\d+\.\d)")
"""Between numbers of a list, where a comma is taken by the decimals."""
_POINT = re.compile(r"(?<![\w.,/])(\d+)\.(\d+)(?!\w)(?!\.\d)(?!/)")


class Spelling(Struct, frozen=True, dict=True):
    """How one page is set. `own_words` are left as they are wherever they stand."""

    comma: bool = False
    inches: bool = False
    own_words: tuple[str, ...] = ()

    def __call__(self, words: str) -> str:
        """The words as they are printed; markup is left alone."""
        if isinstance(words, Markup) or not words:
            return words
        if self._kept is None:
            return self._set(words)
        pieces = self._kept.split(words)
        return "".join(piece if n % 2 else self._set(piece) for n, piece in enumerate(pieces))

    def length(self, metres: float, digits: int = 2) -> str:
        """Millimetres, with inches beside them where that is wanted."""
        text = f"{metres * 1e3:.{digits}f} mm"
        return f"{text} ({metres / INCH_M:.2f} in)" if self.inches else text

    def size(self, millimetres: Iterable[float], digits: int = 2) -> str:
        """Width and height, with inches beside them where that is wanted."""
        sides = tuple(millimetres)
        text = " x ".join(f"{side:.{digits}f}" for side in sides) + " mm"
        return text + (f" ({' x '.join(f'{side / INCH_M / 1e3:.2f}' for side in sides)} in)" if self.inches else "")

    def far(self, metres: float) -> str:
        """A distance in metres, with feet beside it where inches are wanted."""
        return f"{float(f'{metres:.3g}'):.9g} m" + (f" ({metres / INCH_M / 12:.0f} ft)" if self.inches else "")

    @cached_property
    def _kept(self) -> re.Pattern[str] | None:
        """What must stay, longest first; nothing where setting would change none of it."""
        touched = [word for word in self.own_words if word and self._set(word) != word]
        if not touched:
            return None
        return re.compile(f"({'|'.join(re.escape(word) for word in sorted(touched, key=len, reverse=True))})")

    def _set(self, words: str) -> str:
        return _set(words, self.comma)


def formula(words: str) -> str:
    """A formula with its signs: neither its numbers nor its letters are set as quantities."""
    for written, sign in _FORMULA_SIGNS:
        words = words.replace(written, sign)
    return words


@lru_cache(MOST_KNOWN)
def _set(words: str, comma: bool) -> str:
    if not _WORTH_A_LOOK.search(words):
        return words
    for part, pattern, sign in _SIGNS:
        if part in words:
            words = pattern.sub(sign, words)
    return _POINT.sub(r"\1,\2", _LISTED.sub("; ", words)) if comma else words

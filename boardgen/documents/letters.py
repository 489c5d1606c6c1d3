"""The letters of the drawings: DejaVu Sans and DejaVu Sans Mono, free fonts that come with matplotlib.

Words are laid out by the widths of these fonts, and every file of a drawing carries the letters that it shows, so that
no reader's fonts move a word. A letter that the fonts lack is lent by the reader's; its width is taken on the large
side.
"""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Mapping
from functools import cache, lru_cache
from html import unescape
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

from boardgen.model.sketch import ems

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

Face = Literal["sans", "bold", "mono"]
SANS, MONO = "DejaVu Sans", "DejaVu Sans Mono"
FACES: Final[Mapping[Face, tuple[str, str, str]]] = {
    "sans": (SANS, "normal", "DejaVuSans.ttf"),
    "bold": (SANS, "bold", "DejaVuSans-Bold.ttf"),
    "mono": (MONO, "normal", "DejaVuSansMono.ttf"),
}
"""Family, weight and file of each face."""
COMMON = frozenset(map(chr, range(0x20, 0x7F))) | frozenset("°±µ×Ωäöüß…–—−²³≥≤")
"""Letters that every font of a drawing has: so most drawings of a build share one, which is cut once."""
_TEXT = re.compile(r"<text\b([^>]*)>(.*?)</text>", re.DOTALL)
_SVG = re.compile(r"<svg\b[^>]*>")


def text_width_mm(words: str, size_mm: float, face: Face = "sans") -> float:
    """Width of words on one line, by the advance widths of the face: the fonts that drawings carry have no kerning."""
    advances = _advances(face)
    return sum(advances.get(ord(letter)) or _lent(letter) for letter in words) * size_mm


def wrapped(words: str, most_mm: float, size_mm: float, face: Face = "sans") -> list[str]:
    """Words in lines that are no wider, broken at spaces, and inside a word only where it fills a line by itself."""
    lines: list[str] = []
    line = ""
    for word in words.split(" "):
        longer = f"{line} {word}" if line else word
        if text_width_mm(longer, size_mm, face) <= most_mm:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while text_width_mm(line, size_mm, face) > most_mm and len(line) > 1:
            cut = _fitting(line, most_mm, size_mm, face)
            lines.append(line[:cut])
            line = line[cut:]
    return [*lines, line] if line or not lines else lines


def shortened(words: str, most_mm: float, size_mm: float, face: Face = "sans") -> str:
    """The words, or as many of their letters as fit before an ellipsis."""
    if text_width_mm(words, size_mm, face) <= most_mm:
        return words
    return f"{words[: _fitting(words, most_mm - text_width_mm('…', size_mm, face), size_mm, face)]}…"


def _fitting(words: str, most_mm: float, size_mm: float, face: Face) -> int:
    """How many letters fit, at least one."""
    total = 0.0
    for number, letter in enumerate(words):
        total += text_width_mm(letter, size_mm, face)
        if total > most_mm:
            return max(1, number)
    return len(words)


def with_letters(svg: str) -> str:
    """A drawing as a file of its own: its letters stand at its head."""
    return _SVG.sub(lambda found: f"{found[0]}<style>{font_faces(svg)}</style>", svg, count=1)


def font_faces(drawn: str) -> str:
    """Rules of a style sheet with the letters of all the <text> in a drawing or page.

    Fonts are not compressed, since not every library that compresses yields the same bytes.
    """
    used: dict[Face, set[str]] = {}
    for attributes, words in _TEXT.findall(drawn):
        face: Face = "mono" if MONO in attributes else "bold" if 'font-weight="bold"' in attributes else "sans"
        used.setdefault(face, set()).update(unescape(re.sub(r"<[^>]*>", "", words)))
    return "".join(_font_face(face, COMMON | used[face]) for face in FACES if face in used)


@lru_cache(maxsize=16)
def _font_face(face: Face, letters: frozenset[str]) -> str:
    family, weight, _ = FACES[face]
    content = base64.b64encode(_cut(face, letters)).decode()
    return f'@font-face{{font-family:"{family}";font-weight:{weight};src:url("data:font/ttf;base64,{content}")}}'


def _cut(face: Face, letters: frozenset[str]) -> bytes:
    """The font with those letters alone, without kerning, ligatures and hints; its copyright stays in it."""
    # the library takes a tenth of a second to load
    from fontTools.subset import Options, Subsetter

    options = Options(layout_features=[], hinting=False, name_IDs=[0, 14], notdef_outline=True, recalc_timestamp=False)
    options.drop_tables += ["FFTM", "GDEF", "GPOS", "GSUB", "MATH", "gasp"]
    cutter, content = Subsetter(options), io.BytesIO()
    cutter.populate(unicodes=sorted(map(ord, letters)))
    with _font(face) as font:
        cutter.subset(font)
        font.save(content)
    return content.getvalue()


@cache
def _advances(face: Face) -> Mapping[int, float]:
    """Advance width of each letter of a face, in ems."""
    with _font(face) as font:
        unit, widths = font["head"].unitsPerEm, font["hmtx"].metrics
        return {code: widths[glyph][0] / unit for code, glyph in font.getBestCmap().items()}


def font_file(face: Face) -> Path:
    """Where the whole font of a face lies."""
    library = find_spec("matplotlib")
    if library is None or library.origin is None:
        raise FileNotFoundError("matplotlib, which brings the fonts of the drawings, is not installed")
    return Path(library.origin).parent / "mpl-data" / "fonts" / "ttf" / FACES[face][2]


def _font(face: Face) -> TTFont:
    from fontTools.ttLib import TTFont

    return TTFont(font_file(face), lazy=True, recalcTimestamp=False)


def _lent(letter: str) -> float:
    """Width of a letter that another font lends, in ems: on the large side."""
    return 1.05 * ems(letter)

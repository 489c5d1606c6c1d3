"""Drawings carry their own letters: each is there, and as wide as it was taken to be, whatever fonts there are."""

import base64
import io
import os
import re
import shutil
import xml.etree.ElementTree as ET
from pathlib import Path

import matplotlib as mpl
import pytest
from fontTools.ttLib import TTFont
from matplotlib.ft2font import FT2Font, LoadFlags

from boardgen.documents.letters import FACES, font_faces, shortened, text_width_mm, with_letters, wrapped
from boardgen.documents.pictures.schematic import schematic
from tests.documents.drawn_boards import netlist_of
from tests.documents.test_schematic_words import labelled

FONTS = Path(mpl.get_data_path()) / "fonts" / "ttf"
WORDS = "Größe über Ödland, 40° nach Süden: 2.2 µH ± 5 %, Дальний лес — WAVE fi"
SVG = "{http://www.w3.org/2000/svg}"
LAID = "[...document.querySelectorAll('text')].map(t => [t.textContent, t.getComputedTextLength()])"


def carried(css: str) -> dict[tuple[str, str], TTFont]:
    """The fonts of a style sheet by family and weight."""
    pattern = r'@font-face\{font-family:"([^"]+)";font-weight:(\w+);src:url\("data:font/ttf;base64,([^"]+)"\)\}'
    return {
        (family, weight): TTFont(io.BytesIO(base64.b64decode(data)))
        for family, weight, data in re.findall(pattern, css)
    }


@pytest.mark.parametrize("face", FACES)
def test_widths_are_those_of_another_reader_of_the_font(face):
    """FreeType, without hints and kerning."""
    font = FT2Font(FONTS / FACES[face][2])
    font.set_size(1000, 72)
    advances = [font.load_char(ord(letter), flags=LoadFlags.NO_HINTING).linearHoriAdvance / 65536 for letter in WORDS]
    assert text_width_mm(WORDS, 10.0, face) == pytest.approx(sum(advances) / 100, rel=1e-4)


def test_a_letter_that_no_font_of_ours_has_is_taken_wide():
    assert text_width_mm("東", 1.0) > 1.0


@pytest.mark.parametrize("face", FACES)
def test_lines_are_as_full_as_they_may_be(face):
    lines = wrapped(f"{WORDS} {'W' * 60}", 40.0, 3.0, face)
    assert "".join(lines).replace(" ", "") == f"{WORDS}{'W' * 60}".replace(" ", "")
    assert all(text_width_mm(line, 3.0, face) <= 40.0 for line in lines)
    short = shortened(WORDS, 40.0, 3.0, face)
    assert text_width_mm(short, 3.0, face) <= 40.0 < text_width_mm(f"{short}MM", 3.0, face)
    assert shortened("short", 40.0, 3.0, face) == "short"


@pytest.mark.slow
def test_every_letter_of_a_drawing_is_in_its_own_fonts():
    """With the width that the drawing was laid out by; what DejaVu lacks is left to the reader."""
    drawn = with_letters(schematic(netlist_of(labelled(8))))
    fonts = carried(ET.fromstring(drawn).find(f"{SVG}style").text)
    assert set(fonts) == {("DejaVu Sans", "normal"), ("DejaVu Sans Mono", "normal")}
    seen = 0
    for text in ET.fromstring(drawn).iter(f"{SVG}text"):
        face = "mono" if "Mono" in (text.get("font-family") or "") else "sans"
        font = fonts[FACES[face][:2]]
        with TTFont(FONTS / FACES[face][2]) as whole:
            ours = [letter for letter in text.text if ord(letter) in whole.getBestCmap()]
        cmap, unit = font.getBestCmap(), font["head"].unitsPerEm
        wide = sum(font["hmtx"][cmap[ord(letter)]][0] for letter in ours) / unit
        assert text_width_mm("".join(ours), 1.0, face) == pytest.approx(wide)
        seen += len(ours)
    assert seen > 1000
    assert "Д" in "".join(ET.fromstring(drawn).itertext())


def test_fonts_are_small_and_always_the_same():
    svg = '<svg><text font-weight="bold">R1 &amp; R2</text></svg>'
    css = font_faces(svg)
    assert list(carried(css)) == [("DejaVu Sans", "bold")]
    assert len(css) < 20_000
    assert ord("&") in carried(css)["DejaVu Sans", "bold"].getBestCmap()
    assert css == font_faces(svg)
    assert font_faces("<svg></svg>") == ""


@pytest.mark.peer
def test_a_browser_with_other_fonts_lays_words_as_wide(tmp_path):
    """Chromium sees no font but one of serifs."""
    path = shutil.which("chromium")
    if path is None:
        (pytest.fail if os.environ.get("CI") else pytest.skip)("chromium IS ABSENT: no drawing was opened")
    from playwright.sync_api import sync_playwright

    (tmp_path / "fonts").mkdir()
    shutil.copy(FONTS / "STIXGeneral.ttf", tmp_path / "fonts")
    config = tmp_path / "fonts.conf"
    config.write_text(f"<fontconfig><dir>{tmp_path}/fonts</dir><cachedir>{tmp_path}/cache</cachedir></fontconfig>")
    drawing = tmp_path / "schematic.svg"
    drawing.write_text(with_letters(schematic(netlist_of(labelled(3)))), encoding="utf-8")
    with sync_playwright() as playwright:
        environment = {**os.environ, "FONTCONFIG_FILE": str(config)}
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"], env=environment)
        page = browser.new_page()
        page.goto(drawing.as_uri())
        page.evaluate("document.fonts.ready")
        found = page.evaluate(LAID)
        browser.close()
    drawn = list(ET.fromstring(drawing.read_text(encoding="utf-8")).iter(f"{SVG}text"))
    assert len(found) == len(drawn) > 40
    for (words, wide), text in zip(found, drawn, strict=True):
        face = "mono" if "Mono" in (text.get("font-family") or "") else "sans"
        assert wide == pytest.approx(text_width_mm(words, float(text.get("font-size")), face), rel=0.01), words

"""The short book on paper: how many sheets it takes, and how much ink the drawings of book and appendix take.

Sheets are counted with DejaVu Sans in full, which is wider than the fonts of most systems: so no machine's fonts
decide, and a reader's book is no longer.
"""

import base64
import io
from functools import cache
from pathlib import Path

import pypdf
import pytest
from PIL import Image

import boardgen
from boardgen.design import make_design
from boardgen.documents.build_files import build_files
from boardgen.documents.letters import FACES, font_file
from boardgen.request import Request
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.documents.listening_page import A4_CSS_PX

pytestmark = [pytest.mark.peer, pytest.mark.slow]
TEMPLATES = Path(boardgen.__file__).parent.parent / "templates"
MOST_SHEETS = {"four-way": 12, "eight-way": 14}
MOST_DARK = 0.05
"""Of a sheet's area, beside the letters of its text."""
DARK = 128
NO_LETTERS = "* { color: transparent !important; }"


@cache
def written(template):
    """What a build of the template writes."""
    text = (TEMPLATES / f"{template}.toml").read_text(encoding="utf-8")
    return build_files(
        make_design(Request(read_text(text), CATALOGUE), predicted=True, laid_out=True), {}, "2026-01-02"
    )


def with_whole_fonts(page):
    """The page with fonts of its own in the place of the reader's."""
    rules = ""
    for face, (_, weight, _) in FACES.items():
        content = base64.b64encode(font_file(face).read_bytes()).decode()
        family = "ui-monospace" if face == "mono" else "system-ui"
        source = f'src:url("data:font/ttf;base64,{content}")'
        rules += f'@font-face{{font-family:"own {family}";font-weight:{weight};{source}}}'
    for family in ("system-ui", "ui-monospace"):
        page = page.replace(f"{family},", f'"own {family}",')
    return page.replace("<style>", f"<style>{rules}", 1)


@pytest.fixture(scope="module")
def sheet(browser, tmp_path_factory):
    """A page of a template's book as a browser has it in print."""
    folder = tmp_path_factory.mktemp("printed")

    def opened(template, file):
        path = folder / f"{template}-{file}"
        path.write_text(with_whole_fonts(written(template)[file].decode()), encoding="utf-8")
        page = browser.new_page(viewport={"width": A4_CSS_PX, "height": A4_CSS_PX}, device_scale_factor=1)
        page.goto(path.as_uri())
        page.emulate_media(media="print")
        # a page is loaded before its fonts are, on a busy machine
        page.evaluate("Promise.all([...document.fonts].map(face => face.load())).then(() => true)")
        return page

    return opened


@pytest.mark.parametrize("template", MOST_SHEETS)
def test_a_short_book_is_short(sheet, template):
    page = sheet(template, "book.html")
    assert page.evaluate("document.fonts.check('12px \"own system-ui\"')")
    made = pypdf.PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True)))
    page.close()
    assert len(made.pages) <= MOST_SHEETS[template]


@pytest.mark.parametrize("file", ["book.html", "appendix.html", "bench-bill.html"])
def test_no_sheet_is_covered_with_ink(sheet, file):
    """Dark pixels in each stretch as long as a sheet."""
    page = sheet("four-way", file)
    page.add_style_tag(content=NO_LETTERS)
    shot = Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("L")
    page.close()
    high = round(A4_CSS_PX * 297 / 210)
    assert shot.height > high
    for top in range(0, shot.height, high // 2):
        piece = shot.crop((0, top, shot.width, min(top + high, shot.height)))
        dark = sum(piece.histogram()[:DARK]) / (shot.width * high)
        assert dark <= MOST_DARK, f"{file}: {dark:.1%} dark at {top}"

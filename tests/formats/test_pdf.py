"""PDF: the same bytes for the same page, nothing fetched, and plain words where it cannot be made."""

import io
import sys

import pypdf
import pytest

from boardgen.documents.canvas import Canvas
from boardgen.documents.pdf_files import pdf_files
from boardgen.documents.pictures.sheets import sheets_svg
from boardgen.formats import pdf
from boardgen.model.problem import InputError

PAGE = '<html lang="en"><title>sheet</title><body style="font-family: sans-serif"><h1>Ω µ é</h1></body></html>'
DRAWING = b'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50"></svg>'


def test_same_page_same_bytes():
    made = pdf.pdf(PAGE)
    assert made.startswith(b"%PDF-")
    assert made == pdf.pdf(PAGE)
    assert made != pdf.pdf(PAGE.replace("sheet", "other"))


@pytest.mark.parametrize("address", ["https://example.org/a.png", "file:///etc/hostname"])
def test_nothing_is_fetched(address):
    with pytest.raises(ValueError, match=address):
        pdf.pdf(f'<html lang="en"><title>sheet</title><body><img alt="" src="{address}"></body></html>')


def test_nothing_is_left_in_the_home(tmp_path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    pdf.pdf(PAGE)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("raised", "words"), [(ImportError, 'pip install ".[pdf]"'), (OSError, "apt-get install libpango")]
)
def test_what_is_missing_is_named(monkeypatch, raised, words):
    class Refusing:
        def find_spec(self, name, path=None, target=None):
            if name == "weasyprint":
                raise raised(name)

    for name in [name for name in sys.modules if name.split(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [Refusing(), *sys.meta_path])
    with pytest.raises(InputError) as caught:
        pdf.load()
    (problem,) = caught.value.problems
    assert words in problem.hint


def pages(made: bytes) -> list[list[float]]:
    """The size of each page in mm."""
    return [[float(x) * 25.4 / 72 for x in page.mediabox] for page in pypdf.PdfReader(io.BytesIO(made)).pages]


def test_only_what_is_meant_for_paper_and_at_its_own_size():
    sheets = sheets_svg("s", [Canvas(), Canvas()], 297, 210, between=6)
    made = pdf_files(
        {
            "schematic.svg": sheets.encode(),
            "drill-template.svg": DRAWING,
            "board-top.svg": DRAWING,
            "book.html": PAGE.encode(),
        }
    )
    assert set(made) == {"schematic.pdf", "drill-template.pdf", "book.pdf"}
    assert pages(made["drill-template.pdf"]) == [pytest.approx([0, 0, 100, 50])]
    assert pages(made["schematic.pdf"]) == [pytest.approx([0, 0, 297, 210])] * 2


@pytest.mark.parametrize(("name", "words"), [("drill-template.svg", "millimetres"), ("schematic.svg", "sheets")])
def test_a_drawing_without_a_size_is_refused(name, words):
    with pytest.raises(ValueError, match=words):
        pdf_files({name: b"<svg></svg>"})

"""A build with PDF: what it writes, what the label on the box says of it, and what is said where PDF cannot be made."""

import hashlib
import io
import json
import re

import pypdf
import pytest

from boardgen.documents.pictures.sheets import sheets_of
from tests.cli.empty_folder import TITLES, User, built_of, listed

PDF = {"appendix.pdf", "book.pdf", "drill-template.pdf", "labels.pdf", "schematic.pdf"}


@pytest.fixture(scope="module")
def built(tmp_path_factory) -> dict[str, bytes]:
    user = User(tmp_path_factory.mktemp("pdf"))
    spec = user.start("two-way")
    text = spec.read_text(encoding="utf-8")
    assert 'paper      = "A4"' in text
    spec.write_text(text.replace('paper      = "A4"', 'paper      = "Letter"'), encoding="utf-8")
    assert user.run("build", "board.toml", "--pdf", "--quiet").returncode in (0, 1)
    assert list(user.home.iterdir()) == list(user.temporary.iterdir()) == []
    return user.built(TITLES["two-way"])


@pytest.mark.slow
def test_pdf_stands_beside_each_drawing_for_paper(built):
    assert listed(built) == built_of("two-way") | PDF
    assert "weasyprint" in json.loads(built["manifest.json"])["libraries"]
    for name in ("schematic", "labels"):
        pages = pypdf.PdfReader(io.BytesIO(built[f"{name}.pdf"])).pages
        assert len(pages) == len(sheets_of(built[f"{name}.svg"].decode()))
        sizes = [sorted(float(side) * 25.4 / 72 for side in page.mediabox[2:]) for page in pages]
        assert sizes == [pytest.approx([215.9, 279.4])] * len(pages)
    text = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(built["schematic.pdf"])).pages)
    for words in ("K1A", "K2B", "bus centre", "37.4 ohm", "Larkfield two-way", "sheet 1 of "):
        assert words in text


@pytest.mark.slow
def test_the_label_holds_the_digest_of_the_folder(built):
    made = sorted(name for name in built if name.startswith("fabrication/") or name == "netlist.net")
    lines = "".join(f"{hashlib.sha256(built[name]).hexdigest()}  {name}\n" for name in made)
    digest = hashlib.sha256(lines.encode()).hexdigest()
    written = re.findall(r">((?:[0-9a-f]{8} ){3}[0-9a-f]{8})<", built["labels.svg"].decode())
    assert "".join(written).replace(" ", "") == digest


def test_a_missing_library_is_named_before_any_work(tmp_path):
    user, absent = User(tmp_path / "user"), tmp_path / "absent"
    absent.mkdir()
    (absent / "weasyprint.py").write_text('raise ImportError("not here")\n', encoding="utf-8")
    user.start("two-way")
    assert 'pip install ".[pdf]"' in user.refused("build", "board.toml", "--pdf", PYTHONPATH=str(absent))

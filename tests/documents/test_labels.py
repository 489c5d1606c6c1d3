"""Labels: the code reads as title, revision and digest; no word leaves its box; every part and cable has its label."""

import hashlib
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
import zxingcpp

from boardgen.design import Design, make_design
from boardgen.documents.pictures.labels import CODE_MM, PAPERS, code, coded, labels
from boardgen.formats.manifest import digest_of_made
from boardgen.request import Request
from boardgen.spec.load import read_text
from tests.circuit.options import specification
from tests.documents.drawn_boards import CATALOGUE
from tests.documents.drawn_words import clashes, read
from tests.documents.test_schematic_words import labelled

SVG = "{http://www.w3.org/2000/svg}"
DIGEST = hashlib.sha256(b"made").hexdigest()


def design(text: str) -> Design:
    return make_design(Request(read_text(text), CATALOGUE))


def drawn(text: str, paper: str = "A4") -> str:
    found = design(text)
    return labels(found.netlist, found.bill, DIGEST, "2026-11-25", paper)


def dark(svg: str) -> np.ndarray:
    """The modules of a code as a picture of eight dots a module, from what is drawn."""
    path = re.search(r'class="code" transform="scale\(([0-9.]+)\)"[^>]* d="([^"]*)"', svg)
    count = round(CODE_MM / float(path[1]))
    image = np.full((count * 8, count * 8), 255, np.uint8)
    for x, y, length in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", path[2]):
        left, top, right = 8 * int(x), 8 * int(y), 8 * (int(x) + int(length))
        image[top : top + 8, left:right] = 0
    return image


@pytest.mark.parametrize("title", ["options", "Größe 東 & <b>", "W" * 80, "東" * 60])
def test_an_independent_reader_reads_the_code(title):
    text = specification({}, 2).replace('title = "options"', f'title = "{title}"\nrevision = "B.2"')
    (found,) = zxingcpp.read_barcodes(dark(drawn(text)))
    assert found.text == f"{title}\nrevision B.2\n{DIGEST}"
    assert found.format == zxingcpp.BarcodeFormat.QRCode


def test_a_spoilt_code_is_not_read():
    image = dark(str(code("x")))
    image[: len(image) // 2] = 255
    assert zxingcpp.read_barcodes(image) == []


def test_the_digest_is_that_of_the_two_commands():
    files = {"netlist.net": b"n", "fabrication/a.gbr": b"a", "bill.csv": b"prices", "labels.svg": b"l"}
    lines = "".join(
        f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in ("fabrication/a.gbr", "netlist.net")
    )
    assert digest_of_made(files) == hashlib.sha256(lines.encode()).hexdigest()
    assert digest_of_made(files | {"bill.csv": b"other prices"}) == digest_of_made(files)
    assert digest_of_made(files | {"netlist.net": b"other"}) != digest_of_made(files)


@pytest.mark.parametrize("ways", [1, 2, 5, 16])
@pytest.mark.parametrize("paper", PAPERS)
def test_words_stay_in_their_boxes(ways, paper):
    svg = drawn(labelled(ways), paper)
    assert clashes(svg) == []
    words, strokes = read(svg)
    boxes = [s for s in strokes if s.what == "cut"]
    wide = PAPERS[paper][0]
    for box in boxes:
        assert min(x for s in box.segments for x in (s[0], s[2])) > 5
        assert max(x for s in box.segments for x in (s[0], s[2])) < wide - 5
    high = PAPERS[paper][1]
    for word in words:
        assert word.box[3] % high < high - 5


def test_every_part_and_every_cable_end_has_a_label():
    text = specification({"feed": "local rail", "unfitted": True, "entry": "jack"}, 4)
    found = design(text)
    words = [t.text for t in ET.fromstring(drawn(text)).iter(f"{SVG}text")]
    shown = {ref for line in words for ref in line.split() if re.fullmatch("[A-Z]+[0-9]+", ref)}
    billed = {ref for line in found.bill.lines for ref in line.refs}
    assert billed <= shown
    for number in (1, 2, 3):
        assert words.count(f"way {number}") == 4
    assert "way 4" not in words
    assert words.count("main coax to the receiver") + words.count("main coax to the") == 4
    assert "notEthernet" in "".join(words).replace(" ", "")


def test_markup_is_text_and_the_bytes_are_the_same():
    text = labelled(2)
    svg = drawn(text)
    assert "<script" not in svg
    assert "<script>alert(1)</script>" in "".join(t.text for t in ET.fromstring(svg).iter(f"{SVG}text"))
    assert svg == drawn(text)


def test_what_the_code_says():
    assert coded(design(specification({}, 2)).netlist, "0" * 64) == "options\nrevision A\n" + "0" * 64

"""No word of the schematic lies on another, on a wire or on a symbol, whatever the labels; and markup is only text."""

import re
import xml.etree.ElementTree as ET

import pytest

from boardgen.documents.letters import MONO
from boardgen.documents.pictures.schematic import schematic
from boardgen.documents.pictures.sheets import sheets_of
from tests.circuit.options import ALL, covering, specification
from tests.documents.drawn_boards import board, netlist_of
from tests.documents.drawn_netlist import faults
from tests.documents.drawn_words import clashes

LABELS = (
    "W" * 60,
    "<script>alert(1)</script>",
    "=1+1",
    "Größe über Ödland, 40° nach Süden",
    "東のビバレージアンテナ東のビバレージアンテナ",
    "Дальний лес & «болото»",
    'the "long" one behind the barn at the end of the lane, by 30',
    "bus 2",
    "fed",
    "Süd",
    "南",
    "…",
    "é" * 60,
    "a b",
    "line centre",
    "earth 2",
)


def labelled(ways: int, **option: object) -> str:
    """A board whose antennas have those labels."""
    text = specification({"feed": "local rail", **option}, ways)
    for number, label in list(enumerate(LABELS, 1))[:ways]:
        quoted = label.replace('"', '\\"')
        text = text.replace(f'label = "way {number}"\n', f'label = "{quoted}"\n', 1)
    return text


@pytest.mark.parametrize("ways", range(1, 17))
def test_long_and_strange_labels(ways):
    option = {"entry": "jack"} if ways % 2 else {"relays_in_series": 2}
    netlist = netlist_of(labelled(ways, **option))
    drawn = schematic(netlist, "2026-11-25", "Letter" if ways % 3 else "A4")
    assert clashes(drawn) == []
    assert faults(drawn, netlist) == []


@pytest.mark.parametrize("option", covering(ALL, 2), ids=lambda o: "-".join(str(v)[:4] for v in o.values()))
def test_every_pair_of_options(option):
    assert clashes(schematic(board(option, 3))) == []


@pytest.mark.parametrize("ways", [2, 8])
def test_a_port_through_at_rest(ways):
    text = labelled(ways, rest=LABELS[0], idle="open", braid_breakers="all" if ways == 8 else "none")
    netlist = netlist_of(text)
    drawn = schematic(netlist)
    assert clashes(drawn) == []
    assert faults(drawn, netlist) == []


def test_markup_in_a_label_or_title_is_text():
    text = labelled(2).replace('title = "options"', 'title = "<b>&amp; <script>alert(2)<b>"')
    drawn = schematic(netlist_of(text))
    root = ET.fromstring(drawn)
    assert {element.tag.rpartition("}")[2] for element in root.iter()} <= {
        "svg", "g", "path", "circle", "rect", "text", "title",
    }  # fmt: skip
    words = " ".join(t.text for t in root.iter("{http://www.w3.org/2000/svg}text"))
    assert "<script>alert(1)</script>" in words
    assert "<b>&amp; <script>alert(2)<b>" in words


def test_a_clash_is_found():
    """So that the tests above cannot pass by measuring nothing."""
    drawn = schematic(board({}, 2))
    longer = drawn.replace(">E1<", ">E1 and words that run on into the next part and over it<")
    assert any("on a" in clash for clash in clashes(longer))
    (x, y) = re.search(r'class="ref" x="([0-9.]+)" y="([0-9.]+)"[^>]*>R1<', drawn).groups()
    moved = drawn.replace(">R1<", f'>R1</text><text font-family="{MONO}" font-size="2.5" x="{x}" y="{y}">R9<')
    assert "'R1' on 'R9'" in clashes(moved)
    assert any("leaves the page" in c for c in clashes(drawn.replace('class="ref" x="', 'class="ref" x="-99', 1)))


def test_the_same_bytes_twice():
    assert schematic(board({}, 4)) == schematic(board({}, 4))


def test_its_sheets_can_be_taken_out_one_by_one():
    drawn = schematic(netlist_of(labelled(9)))
    sheets = sheets_of(drawn)
    assert len(sheets) > 1
    words = [t.text for t in ET.fromstring(drawn).iter("{http://www.w3.org/2000/svg}text")]
    apart = [t.text for s in sheets for t in ET.fromstring(s.svg).iter("{http://www.w3.org/2000/svg}text")]
    assert apart == words
    assert {(s.wide_mm, s.high_mm) for s in sheets} == {(297.0, 210.0)}
    assert [f"sheet {n} of {len(sheets)}" in s.svg for n, s in enumerate(sheets, 1)] == [True] * len(sheets)


def test_a_table_stands_on_no_sheet_before_its_antenna():
    """A board of two sorts of antennas: a fed one's drawing leaves no room for the other beside it."""
    text = labelled(8)
    for number in range(1, 5):
        text = text.replace(f'label = "{LABELS[number]}"\n', f'label = "{LABELS[number]}"\nbraid_breaker = false\n', 1)
    sheets = [
        [t.text or "" for t in ET.fromstring(s.svg).iter("{http://www.w3.org/2000/svg}text")]
        for s in sheets_of(schematic(netlist_of(text)))
    ]
    tables = [(n, words) for n, lines in enumerate(sheets) for words in lines if words.startswith("Wired like ")]
    assert len(sheets) > 1
    assert len(tables) > 1
    for number, words in tables:
        first = words.removeprefix("Wired like ").removesuffix(", with the same values")
        headings = [[line for line in lines if line.startswith("Antenna ") and first in line] for lines in sheets]
        assert any(headings)
        assert not any(headings[number + 1 :]), first

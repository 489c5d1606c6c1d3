"""The book as text: what it holds, how it is set, and that nothing of the user's does anything in it."""

import re
from html import unescape
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from boardgen.documents.book.conductors import conductors
from boardgen.documents.book.radio_tests import on_instrument
from boardgen.documents.book.source import Source, listed
from boardgen.documents.book.steps import steps, way_round
from boardgen.documents.identity import told
from boardgen.documents.page.blocks import Page, Section, Words
from boardgen.documents.page.render import render
from boardgen.documents.page.spelling import THIN, Spelling, formula
from boardgen.documents.text import plain
from boardgen.model.problem import Place, Problem
from boardgen.spec import quantity
from tests.documents.book_boards import BOARDS, FOREIGN, HOSTILE, LONG, PAGES, design, files, page
from tests.documents.shown_figures import shown, unnamed

pytestmark = pytest.mark.slow
MOST_BYTES = 2_000_000
VOID = {"meta", "link", "input", "br", "img"}


class Reader(HTMLParser):
    """Tags in order, their attributes, and the words outside style and script."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.words, self.open = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if not {"style", "script"} & set(self.open):
            self.words.append(data)


@pytest.mark.parametrize("file", PAGES)
@pytest.mark.parametrize("name", BOARDS)
def test_well_formed_alone_and_small(name, file):
    text = page(name, file)
    assert len(text.encode()) < MOST_BYTES
    read = Reader(text)
    assert read.open == []
    ids = [a["id"] for _, a in read.tags if "id" in a]
    assert len(ids) == len(set(ids))
    links = [a["href"] for tag, a in read.tags if tag == "a"]
    assert len(links) >= 7
    assert {link[1:] for link in links} <= set(ids)
    assert not [a for tag, a in read.tags if tag in ("iframe", "img", "object")]
    # the one script is ours, the same in every page
    (script,) = re.findall(r"<script>\n(.*?)</script>", text, re.DOTALL)
    assert script.strip() == files("one way")["book.html"].decode().split("<script>")[1].split("</script>")[0].strip()
    assert not [name for _, a in read.tags for name in a if name.startswith("on")]
    addresses = [a[k] for _, a in read.tags for k in ("href", "xlink:href", "src") if k in a]
    assert [address for address in addresses if not address.startswith(("#", "data:,"))] == []
    assert not re.findall(r"""url\((?!#|"data:)""", text)
    assert "@import" not in text


@pytest.mark.parametrize("file", PAGES)
@pytest.mark.parametrize("name", BOARDS)
def test_headings_tables_and_pictures_can_be_heard(name, file):
    read = Reader(page(name, file))
    levels = [int(tag[1]) for tag, _ in read.tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert dict(read.tags)["html"] == {"lang": "en"}
    heads = [a for tag, a in read.tags if tag == "th"]
    assert all(a.get("scope") in ("col", "row") for a in heads)
    pictures = [a for tag, a in read.tags if tag == "div" and a.get("role") == "img"]
    assert len(pictures) >= 1
    assert all(len(a["aria-label"]) > 40 for a in pictures)
    fields = [a for tag, a in read.tags if tag == "input"]
    assert {a["type"] for a in fields} <= {"checkbox", "text"}
    assert all(a["aria-label"] for a in fields if a["type"] == "text")


def contrast(one, other):
    """Contrast by the formula of WCAG 2.1 (recalled)."""

    def light(colour):
        parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    bright, dark = sorted((light(one), light(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def test_words_stand_out():
    colours = dict(re.findall(r"--(\w+):(#[0-9A-F]{6})", page("one way")))
    for ink in ("ink", "soft", "blue"):
        for paper in ("paper", "panel"):
            assert contrast(colours[ink], colours[paper]) >= 4.5, (ink, paper)


def test_hostile_words_stand_as_words():
    text = page("hostile")
    words = "".join(Reader(text).words)
    for label in (*HOSTILE, "<img src=x onerror=alert(2)>"):
        assert label in words
    assert "<script>alert" not in text
    assert "{{ 7 * 7 }}" in words
    style = text[text.index("<style>") : text.index("</style>")]
    assert "onerror" in style
    assert "<" not in style.removeprefix("<style>")


def test_long_and_foreign_labels_are_whole():
    words = "".join(Reader(page("foreign")).words)
    for label in (*LONG, *FOREIGN):
        assert label in words


def test_comma_inches_and_own_words():
    words = "".join(Reader(page("foreign")).words)
    # a number of ours has a comma, a label and a title keep theirs, and so do part numbers
    assert f"10,15{THIN}MHz" in words
    assert "3.5 MHz loop" in words
    assert "Footprint stud-4.7" in words or "Footprint gas-tube-two-12.7" in words
    assert "Прибор 2.5" in words
    assert re.search(r"\d{3},\d\d × \d{2,3},\d\d.mm \(\d+,\d\d × \d+,\d\d in\)", words)
    assert f"10.15{THIN}MHz" in "".join(Reader(page("jack")).words)


@pytest.mark.parametrize(
    ("words", "point", "comma"),
    [
        ("1.8 MHz to 10.15 MHz", "1.8_MHz to 10.15_MHz", "1,8_MHz to 10,15_MHz"),
        ("13.2..14.0 V", "13.2–14.0_V", "13,2–14,0_V"),
        ("82 kohm +-1 %", "82_kΩ ±1_%", "82_kΩ ±1_%"),
        ("+- is the bound", "± is the bound", "± is the bound"),
        ("-30 degC", "−30_°C", "−30_°C"),
        ("MFR-25FBF52-37R4, TQ2-12V", "MFR-25FBF52-37R4, TQ2-12V", "MFR-25FBF52-37R4, TQ2-12V"),
        ("boardgen 0.1.0", "boardgen 0.1.0", "boardgen 0.1.0"),
        ("dtsheet.com/doc/1.5", "dtsheet.com/doc/1.5", "dtsheet.com/doc/1.5"),
        ("3.5 loop at 3.5 MHz.", "3.5 loop at 3.5_MHz.", "3.5 loop at 3,5_MHz."),
        ("4.3, 4.5, 4.8 mm", "4.3, 4.5, 4.8_mm", "4,3; 4,5; 4,8_mm"),
        ("a >= 5 V, 10%, 8/20 us", "a ≥ 5_V, 10_%, 8/20_µs", "a ≥ 5_V, 10_%, 8/20_µs"),
        ("150 uH, 0.5 mm2", "150_µH, 0.5_mm²", "150_µH, 0,5_mm²"),
    ],
)
def test_spelling(words, point, comma):
    own = ("3.5 loop",)
    assert Spelling(False, False, own)(words).replace(THIN, "_") == point
    assert Spelling(True, False, own)(words).replace(THIN, "_") == comma


def test_a_formula_gets_its_signs_and_nothing_else():
    assert formula("I >= 0.048 dT^0.44 A^0.725, Z = N^2 x 3") == "I ≥ 0.048 dT^0.44 A^0.725, Z = N² × 3"


@pytest.mark.parametrize("name", [name for name in BOARDS if name != "jack"])
def test_every_soldered_part_is_in_one_step_and_low_parts_come_first(name):
    made = design(name)
    found = steps(made.layout.board, made.netlist, made.catalogue.footprints)
    refs = [stand.ref for step in found for stand in step.stands]
    wanted = {c.ref for c in made.netlist.components if c.fitted and c.part.kind != "connector"}
    assert sorted(refs) == sorted(wanted)
    heights = [step.height_nm for step in found if not step.kind.assembly.late_since]
    assert heights == sorted(heights)
    assert all(way_round(stand) for step in found for stand in step.stands)
    places = [[stand.middle[0] for stand in step.stands] for step in found]
    assert places == [sorted(place) for place in places]


def test_a_board_without_a_layout_has_a_book_all_the_same():
    """No drawing of the jack's holes could be read, so that board is not laid out."""
    assert design("jack").layout is None
    assert "could not be laid out" in page("jack", "appendix.html")
    assert "not laid out" in page("jack")


def test_polarity_points_at_the_pad_of_the_cathode():
    made = design("hostile")
    found = steps(made.layout.board, made.netlist, made.catalogue.footprints)
    diodes = [stand for step in found for stand in step.stands if stand.component.part.kind == "diode"]
    assert {stand.bent is None for stand in diodes} == {True, False}
    for stand in diodes:
        pads = {pad.number: pad.at for pad in made.layout.board.pads if pad.ref == stand.ref}
        cathode, anode = (pads[stand.component.part.pins[role]] for role in ("cathode", "anode"))
        assert stand.marked == cathode
        words = way_round(stand)
        dx, dy = cathode[0] - anode[0], cathode[1] - anode[1]
        side = ("right" if dx > 0 else "left") if abs(dx) > abs(dy) else ("top" if dy > 0 else "bottom")
        if stand.bent is None:
            assert words == f"band towards the {side}"
        else:
            # the pattern has the band's lead bent: the body stands over the anode, its band up
            assert stand.bent == cathode
            assert words == f"band up; bent lead into the hole towards the {side}"


@pytest.mark.parametrize("name", BOARDS)
def test_every_line_has_one_conductor_and_ends_where_the_netlist_has_it(name):
    made = design(name)
    source = Source(made, Spelling(), {}, "")
    found, missing = conductors(source.bench)
    assert missing == ()
    control = made.spec.control
    jacks = [c for c in made.netlist.of_kind("jack") if c.fitted]
    assert len(found) == (8 * len(jacks) if jacks else control.cables * control.conductors)
    live = [c.line.net for c in found if c.line and c.line.kind != "0V"]
    assert len(live) == len(set(live))
    wanted = {f"select {s.name}" for s in made.request.antennas if s.fitted}
    assert wanted <= set(live)
    for conductor in found:
        if conductor.line and conductor.terminal:
            ref, _, pin = conductor.terminal.partition(" pin ")
            assert made.netlist.pin_nets[ref][pin or "1"] == conductor.line.net
    if control.conductors == 8:
        assert [c.place.colour for c in found[:4]] == ["white/orange", "orange", "white/green", "blue"]


@pytest.mark.parametrize("name", BOARDS)
def test_equal_values_are_equal_figures_in_all_documents(name):
    """Pages, drawings, workbook and terminal; enough of the names stand in several of them that this says something."""
    found = shown(files(name), design(name))
    assert {value: texts for value, texts in found.items() if len(texts) > 1} == {}
    often = [value for value, texts in found.items() if len({file for files in texts.values() for file in files}) > 1]
    assert len(often) > 40


@pytest.mark.parametrize("file", [*PAGES, "bench-bill.html"])
@pytest.mark.parametrize("name", BOARDS)
def test_every_figure_that_is_worked_out_names_its_value(name, file):
    if file in files(name):
        spec = design(name).spec
        assert unnamed(page(name, file), (spec.title, *(antenna.label for antenna in spec.antenna))) == []


def test_two_figures_of_one_value_are_seen():
    put = '<p><span data-value="{}">{}</span></p>'
    pages = {
        "book.html": put.format("a", "1 V"),
        "appendix.html": put.format("b a", "2 V") + put.format("b", "2 V"),
    }
    found = shown({name: text.encode() for name, text in pages.items()})
    assert {name: set(texts) for name, texts in found.items()} == {"a": {"1 V", "2 V"}, "b": {"2 V"}}
    words = "or 17.3 mV, with a fuse of 200 mA"
    assert unnamed(f"{pages['book.html']}<p>{words}</p>", ()) == [("17.3 mV", words)]


def test_two_problems_of_a_kind_at_one_place_are_two_values():
    problems = [Problem("R002 refined", "note", Place(key="prediction"), found) for found in ("core", "choke", "core")]
    assert [(one.names, one.words) for one in told(problems)] == [
        ("problem.R002_refined.prediction.1 problem.R002_refined.prediction.3", "prediction: core"),
        ("problem.R002_refined.prediction.2", "prediction: choke"),
    ]


@pytest.mark.parametrize(
    ("ohm", "figures"), [(50, []), (75, ["0.18 dB", "14 dB"]), (93, ["0.41 dB", "10 dB"]), (300, ["3.10 dB", "3 dB"])]
)
def test_an_instrument_of_50_ohm_on_another_port(ohm, figures):
    """By hand: 75 ohm reflects 0.2 of the wave, so 4 % of the power; 300 ohm 0.714, so 51 %."""
    assert re.findall(r"[\d.]+ dB", plain(on_instrument(ohm))) == figures


def test_designators_in_runs():
    assert listed(["R1", "R2", "R3", "R9", "C1", "C2"]) == "R1 to R3, R9, C1, C2"


def test_same_page_same_bytes_and_a_page_of_another_make():
    again = design("jack")
    assert files("jack")["book.html"] == files("jack")["book.html"]
    other = Page("Another", "page", (Section("one", "One", "Do it.", (Words("1.5 V"),)),), "foot")
    assert again.spec.title not in render(other, Spelling(), "A4").decode()
    assert b"Do it." in render(other, Spelling(), "A4")


def test_every_section_begins_with_what_to_do():
    text = "".join(page("jack", file) for file in PAGES)
    sections = re.findall(r"<h2[^>]*>[^<]*</h2>\n<p class=\"do\">([^<]+)</p>", text)
    assert len(sections) == text.count("<h2") >= 14
    assert all(unescape(words).endswith(".") for words in sections)


def test_a_long_board_is_held_in_the_middle():
    """Pushing a wire into a terminal must not bend it: no two screws of a long edge are far apart."""
    board = design("foreign").layout.board
    across = sorted({hole.at[0] for hole in board.mounting_holes})
    assert board.width_nm > 200e6
    assert max(right - left for left, right in pairwise(across)) <= 200e6


def test_a_book_speaks_only_of_what_its_board_has() -> None:
    """Without surge protection no stake and no tubes; without braid breakers none that a metal box could undo."""
    without_surge, without_breakers = (page(name) for name in ("one way", "no breakers"))
    for words in ("stake of the box", "fire tubes", "Gas tubes"):
        assert words not in without_surge
        assert words in without_breakers
    assert "every braid breaker" in without_surge
    assert "every braid breaker" not in without_breakers
    assert ">no port has a braid breaker<" in without_breakers
    assert "no antenna is ever idle" in without_surge


def test_what_is_to_be_written_into_a_specification_is_kept_letter_for_letter() -> None:
    """A range with a dash for its two dots would be refused."""
    assert "290..330 nH" in unescape(page("foreign"))
    assert quantity.parse_range("290..330 nH", "H") == (290e-9, 330e-9)

"""The book of a station in a real headless browser: hostile labels stay words, nothing overflows, all can be ticked."""

import pytest

from boardgen.design import make_design
from boardgen.documents.station.book import book_files
from boardgen.documents.station.source import Source
from boardgen.request import Request
from boardgen.spec.load import read_text
from boardgen.station.keys import Plan
from boardgen.station.load import with_cables
from boardgen.station_design import StationDesign
from tests.catalogue.shipped import CATALOGUE
from tests.documents.listening_page import A4_CSS_PX, OVERFLOWS, OVERLAPS, PHONE, listening
from tests.documents.shown_figures import Shown, unnamed

pytestmark = [pytest.mark.peer, pytest.mark.slow]
FED = 'feed = "12 V 60 mA"'
LABELS = {
    "a": ("<script>alert(1)</script>", "=1+1"),
    "upper meadow behind the old brick kiln by the river": ("north", "a label that goes on and on to the end of it"),
}
FORMULA = "=2*3</title><b>"


def box(labels):
    rows = "\n".join(f"[[antenna]]\nlabel = {label!r}\n{FED if n == 0 else ''}" for n, label in enumerate(labels))
    return read_text(f'[band]\nlowest = "1.8 MHz"\nhighest = "10.15 MHz"\n{rows}\n[targets]\nisolation = "40 dB"\n')


def plan(source):
    """Every antenna a direction, and one with the remote up the first coax; labels that a page could take for marks."""
    antennas = [f"{name}/{label}" for name, labels in LABELS.items() for label in labels]
    directions = [(label.split("/", 1)[1], label, None) for label in antennas]
    directions.append((FORMULA, antennas[0], "{{ 7 * 7 }}"))
    feeder = {"cable": "RG-6 copper centre", "length": "120 m"}
    return Plan.model_validate(
        {
            "title": "<img src=x onerror=alert(2)>",
            "source": {"outputs": 12, **source},
            "box": [{"name": name, "spec": f"{n}.toml", "feeder": feeder} for n, name in enumerate(LABELS)],
            "remote": [{"name": "{{ 7 * 7 }}", "antenna": antennas[0]}],
            "direction": [
                {"label": label, "bearing": f"{20 * n} deg", "antenna": antenna} | ({"remote": far} if far else {})
                for n, (label, antenna, far) in enumerate(directions)
            ],
        }
    )


@pytest.fixture(scope="session")
def books():
    """The books of two stations by what works them, the boxes sized once."""
    catalogue = CATALOGUE
    found = {}
    for kind, source in {"outputs": {}, "switch": {"kind": "manual switch", "poles": 2}}.items():
        made = plan(source)
        specs = {b.name: with_cables(made, b, box(LABELS[b.name])) for b in made.box}
        boxes = {name: make_design(Request(spec, catalogue)) for name, spec in specs.items()}
        found[kind] = book_files(Source(StationDesign(made, boxes, catalogue), "2026-11-25"))
    return found


@pytest.mark.parametrize("kind", ["outputs", "switch"])
def test_every_figure_names_its_value_and_equal_values_are_equal_figures(books, kind):
    """In the book; its drawings wrap their words, so they are held by the book that shows them."""
    made = plan({})
    own = (made.title, *LABELS, *(label for labels in LABELS.values() for label in labels))
    page = books[kind]["station.html"]
    assert unnamed(page.decode(), own) == []
    values = [(name, words) for names, words in Shown(page.decode()).values for name in names.split()]
    assert len(values) > 200
    texts = {}
    for name, words in values:
        texts.setdefault(name, set()).add(words)
    assert {name: found for name, found in texts.items() if len(found) > 1 and "_cable" not in name} == {}


@pytest.fixture(params=["outputs", "switch"])
def opened(browser, books, tmp_path, request):
    """A page that notes every request, message and dialogue."""
    path = tmp_path / "station.html"
    path.write_bytes(books[request.param]["station.html"])
    page = listening(browser, path)
    yield page
    page.close()


def test_labels_are_words_and_nothing_is_asked_for(opened):
    assert [words for words in opened.heard if not words.startswith("data:")] == []
    assert opened.locator("img, b").count() == 0
    cells = opened.locator("td").all_inner_texts()
    for label in ("<script>alert(1)</script>", "=1+1", FORMULA):
        assert any(label in cell for cell in cells), label
    assert opened.title() == "<img src=x onerror=alert(2)>: station book"


def test_nothing_overflows_and_no_words_overlap(opened):
    for width in (PHONE, A4_CSS_PX):
        opened.set_viewport_size({"width": width, "height": 1000})
        assert opened.evaluate(OVERFLOWS) == [], width
    opened.set_viewport_size({"width": 1280, "height": 1000})
    assert opened.evaluate("document.querySelectorAll('svg text').length") > 40
    assert opened.evaluate(OVERLAPS) == []


def test_every_link_and_every_box_works(opened):
    links = opened.locator("a").all()
    assert len(links) >= 8
    for link in links:
        target = link.get_attribute("href")
        link.click()
        assert opened.evaluate("decodeURIComponent(location.hash)") == target
        assert opened.evaluate("document.querySelector(location.hash).getBoundingClientRect().top") < 1000
    boxes = opened.locator("input[type=checkbox]").count()
    assert boxes > 30
    ticked = "[...document.querySelectorAll('input')].filter(b => { b.click(); return b.checked; }).length"
    assert opened.evaluate(ticked) == boxes
    opened.locator(".ticks label").first.click()
    assert not opened.locator(".ticks label input").first.is_checked()

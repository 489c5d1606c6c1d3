"""The bill for the bench: every soldered part is in one line and once on the board, and touching either lights both."""

import re

import pytest

from boardgen.kinds import KIND
from tests.documents.book_boards import design, files
from tests.documents.listening_page import OVERFLOWS, PHONE, listening

LIT = "[...document.querySelectorAll('svg .lit')].map(part => part.dataset.ref)"


@pytest.mark.slow
@pytest.mark.parametrize("name", ["one way", "cascaded, low side"])
def test_every_part_that_is_soldered_stands_in_one_line_and_once_on_the_board(name):
    page = files(name)["bench-bill.html"].decode()
    soldered = {
        part.ref for part in design(name).layout.board.parts if part.fitted and KIND[part.kind].appearance.colour
    }
    lines = [ref for refs in re.findall(r'data-refs="([^"]*)"', page) for ref in refs.split()]
    assert len(soldered) > 10
    assert sorted(lines) == sorted(soldered)
    assert sorted(re.findall(r'data-ref="([^"]*)"', page)) == sorted(soldered)


@pytest.fixture(scope="module", params=["hostile", "foreign"])
def opened(browser, tmp_path_factory, request):
    path = tmp_path_factory.mktemp("bench") / "bench-bill.html"
    path.write_bytes(files(request.param)["bench-bill.html"])
    page = listening(browser, path)
    yield page
    page.close()


@pytest.mark.peer
@pytest.mark.slow
def test_a_touched_line_lights_its_parts_and_a_touched_part_its_line(opened):
    row = opened.locator("tr[data-refs]").nth(1)
    refs = row.get_attribute("data-refs").split()
    row.locator("button").focus()
    opened.keyboard.press("Enter")
    assert sorted(opened.evaluate(LIT)) == sorted(refs)
    assert row.locator("button").get_attribute("aria-pressed") == "true"
    opened.keyboard.press("Escape")
    assert opened.evaluate(LIT) == []
    opened.locator(f'svg [data-ref="{refs[-1]}"]').click()
    assert opened.evaluate(LIT) == [refs[-1]]
    assert "lit" in row.get_attribute("class").split()


@pytest.mark.peer
@pytest.mark.slow
def test_ticks_are_kept_until_they_are_cleared_and_nothing_overflows(opened):
    opened.locator("[data-tick]").nth(3).check()
    opened.reload()
    assert opened.locator("[data-tick]:checked").count() == 1
    opened.set_viewport_size({"width": PHONE, "height": 900})
    assert opened.evaluate(OVERFLOWS) == []
    opened.evaluate("window.confirm = () => true")
    opened.locator("#clear").click()
    opened.reload()
    assert opened.locator("[data-tick]:checked").count() == 0
    assert [words for words in opened.heard if not words.startswith("data:")] == []

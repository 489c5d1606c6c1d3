"""Six books in a real headless browser: nothing overflows, overlaps, breaks, or asks anything of anybody."""

import io

import pytest

from tests.documents.book_boards import BOARDS, PAGES, files
from tests.documents.listening_page import A4_CSS_PX, OVERFLOWS, OVERLAPS, PHONE, listening

pytestmark = [pytest.mark.peer, pytest.mark.slow]
SCROLLS = """() => [...document.querySelectorAll('figure:not(.sheet) .scroll, figure:not(.sheet) .fit')]
  .filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.getAttribute('aria-label'))"""
"""What is wider than its place; the sheets of the schematic alone may be."""
TICK = "[...document.querySelectorAll('input[type=checkbox]')].filter(b => { b.click(); return b.checked; }).length"
KEYS = "() => Object.keys(JSON.parse(Object.values(localStorage)[0])).length"
MARK = """() => {
  const mark = (e, words, first) => {
    const s = document.createElement('span');
    s.textContent = words; s.className = 'mark'; s.style.cssText = 'font:2px monospace;white-space:nowrap';
    first ? e.prepend(s) : e.append(s);
  };
  let n = 0;
  for (const tr of document.querySelectorAll('tbody tr')) {
    const cells = [...tr.children]; n += 1;
    for (const c of cells) { mark(c, `[r${n}a]`, true); mark(c, `[r${n}z]`, false); }
  }
  const heads = [...document.querySelectorAll('h2,h3,h4,.do,.table>figcaption,.says')];
  heads.forEach((h, k) => {
    mark(h, `[h${k}a]`, false);
    let next = h.nextElementSibling;
    while (next && !next.textContent.trim()) next = next.nextElementSibling;
    const row = h.matches('figcaption') ? next.querySelector('tbody td:not(.tick), tbody th') : null;
    while (next && next.matches('section,div.caution,figure,ul,ol,dl,dl div') && next.firstElementChild
           && !next.matches('.picture')) next = next.firstElementChild;
    if (next && next.matches('.picture')) next = next.querySelector('figcaption') || next;
    if (next && next.textContent.trim()) mark(row || next.querySelector('label span') || next, `[h${k}z]`, true);
  });
  // the rest keeps its place without being seen, so that the sheets hold little else to be read back
  const rest = document.createElement('style');
  rest.textContent = '* { visibility: hidden !important; } .mark { visibility: visible !important; }';
  document.head.append(rest);
  return [n, heads.length];
}"""


@pytest.fixture(scope="module", params=[(name, file) for name in BOARDS for file in PAGES])
def opened(browser, tmp_path_factory, request):
    """A page of the book in a browser that notes every request, message and dialogue; opened once for all tests."""
    name, file = request.param
    path = tmp_path_factory.mktemp("book") / file
    path.write_bytes(files(name)[file])
    page = listening(browser, path)
    yield page
    page.close()


def test_nothing_is_asked_for_and_nothing_goes_wrong(opened):
    assert [words for words in opened.heard if not words.startswith("data:")] == []
    assert opened.locator("script").count() == 1


def test_nothing_overflows_on_a_phone_or_on_paper(opened):
    for width in (PHONE, A4_CSS_PX):
        opened.set_viewport_size({"width": width, "height": 1000})
        assert opened.evaluate(OVERFLOWS) == [], width
    opened.set_viewport_size({"width": PHONE, "height": 1000})
    assert opened.evaluate(SCROLLS) == []


def test_words_in_drawings_do_not_overlap(opened):
    opened.set_viewport_size({"width": 1280, "height": 1000})
    assert opened.evaluate("document.querySelectorAll('svg text').length") > 10
    assert opened.evaluate(OVERLAPS) == []


def test_every_link_and_every_box_works(opened):
    for link in opened.locator("a").all():
        target = link.get_attribute("href")
        link.click()
        assert opened.evaluate("decodeURIComponent(location.hash)") == target
        assert opened.evaluate("document.querySelector(location.hash).getBoundingClientRect().top") < 1000
    boxes = opened.locator("input[type=checkbox]").count()
    assert boxes >= 1
    assert opened.evaluate(TICK) == boxes
    for field in opened.locator("input[type=text]").all():
        field.fill("13.4 V")
    assert opened.evaluate(KEYS) == opened.locator("main input").count(), "two fields are kept under one name"
    # what a person ticks is there when the page is opened again
    opened.reload()
    assert opened.locator("input:checked").count() == boxes
    assert {field.input_value() for field in opened.locator("input[type=text]").all()} <= {"13.4 V"}
    opened.locator("#clear").click()
    assert "Clear all ticks" in opened.heard.pop()
    assert opened.locator("input:checked").count() == boxes, "cleared though nobody said yes"
    opened.evaluate("window.confirm = () => true")
    opened.locator("#clear").click()
    opened.reload()
    assert opened.locator("input:checked").count() == 0


def test_ticks_of_another_revision_are_not_taken_over(browser, tmp_path):
    """Both lie in one folder, one after the other, as the browser sees it."""
    text = files("one way")["book.html"].decode()
    path = tmp_path / "book.html"
    context = browser.new_context()
    for revision, checked in (("A", 1), ("B", 0)):
        path.write_text(text.replace("revision A", f"revision {revision}"), encoding="utf-8")
        page = context.new_page()
        page.goto(path.as_uri())
        if revision == "A":
            page.locator("main input[type=checkbox]").first.click()
            page.reload()
        assert page.locator("input:checked").count() == checked
    context.close()


def test_a_box_is_ticked_by_its_words_too(browser, tmp_path):
    path = tmp_path / "book.html"
    path.write_bytes(files("one way")["book.html"])
    page = listening(browser, path)
    label = page.locator(".ticks label").first
    label.click()
    assert label.locator("input").is_checked()
    page.close()


def test_no_row_is_cut_and_no_heading_stands_alone_in_print(opened):
    """Last, since it writes into the page. Both ends of every cell, every heading and what
    follows it carry a small mark: each pair is on one sheet.
    """
    from pypdf import PdfReader

    rows, headings = opened.evaluate(MARK)
    assert rows > 15
    assert headings > 10
    sheets = PdfReader(io.BytesIO(opened.pdf(prefer_css_page_size=True, print_background=True))).pages
    where: dict[str, set[int]] = {}
    for number, sheet in enumerate(sheets):
        words = sheet.extract_text().replace("\n", "")
        for piece in words.split("[")[1:]:
            name = piece.split("]", 1)[0]
            if name[:1] in "rh" and name[1:-1].isdigit() and name[-1] in "az":
                where.setdefault(name, set()).add(number)
    found = [name[:-1] for name in where if name.endswith("a")]
    assert len([name for name in found if name[0] == "r"]) == rows
    cut = [
        name
        for name in found
        if where.get(f"{name}z", where[f"{name}a"]) != where[f"{name}a"] or len(where[f"{name}a"]) > 1
    ]
    assert cut == []


def test_paper_is_what_was_asked_for(browser, tmp_path):
    from pypdf import PdfReader

    for name, points in (("foreign", (612, 792)), ("jack", (595, 842))):
        path = tmp_path / "book.html"
        path.write_bytes(files(name)["book.html"])
        page = browser.new_page()
        page.goto(path.as_uri())
        sheet = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True))).pages[0]
        assert abs(sheet.mediabox.width - points[0]) < 2
        assert abs(sheet.mediabox.height - points[1]) < 2
        page.close()

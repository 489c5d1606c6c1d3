"""A real browser walks the page, as somebody would who has never used a terminal."""

import io
import tomllib
import zipfile

import pytest

from boardgen.spec.template import with_ways
from tests.documents.conftest import browser  # noqa: F401 - one browser for the tests of this file
from tests.page.every_key import CHANGES
from tests.page.served import serving

pytestmark = [pytest.mark.peer, pytest.mark.slow]
OPEN = """id => {
  let at = document.querySelector(id);
  while ((at = at.parentElement)) if (at.open === false) at.open = true;
}"""
TEXT = with_ways("two-way", None)


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    folder = tmp_path_factory.mktemp("walk")
    with serving(folder, process=None, out=str(folder / "output")) as page:
        yield page


@pytest.fixture
def window(served, browser):  # noqa: F811
    """A window on the page; what its console says, and every address it asks for, is kept."""
    context = browser.new_context(viewport={"width": 1400, "height": 900})
    context.set_default_timeout(0)
    opened = context.new_page()
    opened.said, opened.asked = [], []
    opened.on("console", lambda message: opened.said.append(message.text) if message.type == "error" else None)
    opened.on("pageerror", lambda error: opened.said.append(str(error)))
    opened.on("request", lambda request: opened.asked.append(request.url))
    opened.goto(served.first)
    yield opened
    own = f"http://127.0.0.1:{served.port}/"
    assert [url for url in opened.asked if not url.startswith((own, "data:"))] == []
    # the browser itself says of each refusal that the page shows that it was one
    assert [words for words in opened.said if "409" not in words] == []
    context.close()


@pytest.fixture
def board(served, window):
    """The window with a board in it as the template has it, saved."""
    path = served.room.folder / "board.toml"
    if not path.exists():
        window.select_option("#template", "two-way")
        window.fill("#name", "board")
        window.click("text=Begin >> nth=-1")
    else:
        # what an earlier test left would be put on top of an outside change
        assert served.ask("save")[0] == 200
        path.write_text(TEXT)
        window.wait_for_function("text => document.querySelector('#g-file pre')?.textContent === text", arg=TEXT)
    window.wait_for_selector("#board svg")
    current(window)
    return window


def current(window):
    """Waits until every view is of the state on view."""
    window.wait_for_function("() => [...document.querySelectorAll('.stale')].every(line => !line.textContent)")
    window.wait_for_function("() => !document.querySelector('#status').textContent.includes('working')")


def file_of(served):
    return (served.room.folder / "board.toml").read_text()


def test_from_a_template_to_a_zip_without_a_terminal(served, board):
    board.fill("#f-control-length", "55")
    board.click("text=Add an antenna")
    board.wait_for_selector("#f-antenna-2-label")
    board.fill("#f-antenna-2-label", "meadow")
    board.press("#f-antenna-2-label", "Tab")
    current(board)
    assert "changed" in board.inner_text("#values")
    board.locator("#to-read").scroll_into_view_if_needed()
    board.frame_locator("#book-pages").locator("text=meadow").first.wait_for()
    board.click("text=Write the files")
    board.wait_for_selector("text=Download all as one zip")
    with board.expect_download() as found:
        board.click("text=Download all as one zip")
    archive = zipfile.ZipFile(io.BytesIO(found.value.path().read_bytes()))
    assert {"bill.xlsx", "book.html", "manifest.json", "netlist.net"} <= set(archive.namelist())
    data = tomllib.loads(file_of(served))
    assert data["control"]["length"] == "55 m"
    assert [row["label"] for row in data["antenna"]] == ["marsh", "ridge", "meadow"]
    with board.expect_popup() as book:
        board.click("text=Open the build book")
    assert "meadow" in book.value.inner_text("body")


def test_every_key_is_typed_and_read_back_and_undone(served, board):
    """Values that the commands would refuse are as good here: the text of the page has them letter for letter."""
    for key, value in CHANGES:
        address = "#f-" + "-".join(map(str, key))
        board.evaluate(OPEN, address)
        field = board.locator(address)
        words = str(value).lower() if isinstance(value, bool) else str(value)
        if field.evaluate("field => field.tagName") == "SELECT":
            options = field.evaluate("field => [...field.options].map(option => option.value)")
            if words not in options:
                continue
            field.select_option(words)
        else:
            field.fill(words)
    # until all that was typed is sent and answered
    board.evaluate("() => queue")
    data = tomllib.loads(served.room.desk.file.history.now.text)
    for key, value in CHANGES:
        found = data
        for step in key:
            found = found[step] if not isinstance(found, dict) or step in found else None
        if key[0] != "parts" or found is not None:
            assert found == value, key
    comments = [line.partition("#")[2] for line in TEXT.splitlines() if "#" in line]
    assert [
        line.partition("#")[2] for line in served.room.desk.file.history.now.text.splitlines() if "#" in line
    ] == comments
    while board.is_enabled("[data-post=undo]"):
        at = board.evaluate("() => now")
        board.click("[data-post=undo]")
        board.wait_for_function("at => now !== at", arg=at)
        if served.room.desk.file.history.now.text == TEXT:
            break
    assert served.room.desk.file.history.now.text == TEXT


def test_a_fault_stands_under_its_field_and_the_last_good_state_stays(board):
    board.fill("#f-control-length", "9 mm")
    board.wait_for_function("() => document.querySelector('#f-control-length-fault').textContent.includes('not yet')")
    assert board.get_attribute("#f-control-length", "aria-invalid") == "true"
    assert board.input_value("#f-control-length") == "9 mm"
    assert "last good state" in board.inner_text("section:has(#values) .stale")
    assert board.locator("#values table").count() > 0
    board.click("[data-post=undo]")
    current(board)
    assert board.input_value("#f-control-length") == "40"


def test_what_an_editor_saves_appears_and_two_windows_agree(served, board, browser):  # noqa: F811
    board.fill("#f-control-returns", "1")
    other = browser.new_context().new_page()
    other.goto(served.first)
    other.wait_for_function("() => document.querySelector('#f-control-returns').value === '1'")
    other.fill("#f-control-length", "33")
    board.wait_for_function("() => document.querySelector('#f-control-length').value === '33'")
    path = served.room.folder / "board.toml"
    path.write_text(TEXT.replace('coil       = "12 V"', 'coil       = "24 V"  # theirs'))
    for window in (board, other):
        window.wait_for_function("() => document.querySelector('#f-control-coil').value === '24'")
        assert "changed outside" in window.inner_text("#head")
    assert board.input_value("#f-control-length") == "33"
    assert path.read_text().count("# theirs") == 1
    other.context.close()


def test_the_keyboard_alone_changes_saves_and_reads_a_curve(served, board):
    board.focus("#f-control-length")
    board.keyboard.press("Control+a")
    board.keyboard.type("44 m")
    board.wait_for_function("() => !document.querySelector('[data-post=save]').disabled")
    board.evaluate("() => queue")
    assert not board.is_visible("#f-control-length-unit")
    board.keyboard.press("Tab")
    board.wait_for_function("() => document.querySelector('#f-control-length').value === '44'")
    assert board.inner_text("#f-control-length-unit") == "m"
    board.keyboard.press("Control+s")
    board.wait_for_function("() => document.querySelector('[data-post=save]').disabled")
    assert tomllib.loads(file_of(served))["control"]["length"] == "44 m"
    current(board)
    board.focus(".plot")
    board.keyboard.press("ArrowRight")
    assert "MHz:" in board.inner_text(".plot output")
    board.focus("#bill .refs")
    board.keyboard.press("Enter")
    assert board.locator("#board rect.lit").count() > 0
    assert board.locator("#schematic text.lit").count() > 0
    board.select_option("#strip", "ridge")
    for view in ("#board rect", "#schematic text", "#bill tr", "#order tr", "#hands tr"):
        assert board.locator(f"{view}.lit").count() > 0, view
    assert "ridge" in board.inner_text("#hands tr.lit >> nth=1")


@pytest.mark.parametrize(("width", "scheme"), [(390, "dark"), (1024, "light"), (1600, "dark")])
def test_nothing_runs_over_and_the_accessibility_checker_finds_nothing_serious(board, width, scheme):
    """Each width once and either scheme: what one sets is places, what the other sets is colours."""
    assert serious(board, width, scheme) == []


def serious(window, width, scheme):
    """What the accessibility checker finds with all of the form open, and whether anything is wider than the window."""
    from axe_playwright_python.sync_playwright import Axe

    window.set_viewport_size({"width": width, "height": 900})
    window.emulate_media(color_scheme=scheme)
    window.evaluate("() => document.querySelectorAll('#form details').forEach(one => { one.open = true; })")
    wide = window.evaluate("() => document.documentElement.scrollWidth") > width
    return [("runs over", width)] * wide + [
        (one["id"], [node["html"] for node in one["nodes"]][:3])
        for one in Axe().run(window).response["violations"]
        if one["impact"] in ("serious", "critical")
    ]


def test_a_station_is_begun_changed_on_its_map_and_saved(tmp_path, browser):  # noqa: F811
    with serving(tmp_path, process=None, out=str(tmp_path / "output")) as page:
        station = browser.new_context().new_page()
        station.set_default_timeout(0)
        station.goto(page.first)
        assert serious(station, 390, "light") == []
        station.select_option("#template", "two-boxes")
        station.fill("#name", "mine")
        station.click("text=Begin >> nth=-1")
        station.wait_for_selector("#maps svg")
        assert "100" not in station.inner_text("#selection")
        station.evaluate(OPEN, "#f-direction-2-bearing")
        station.fill("#f-direction-2-bearing", "100")
        station.wait_for_function("() => document.querySelector('#selection').innerText.includes('100')")
        current(station)
        for width, scheme in ((390, "dark"), (1600, "light")):
            assert serious(station, width, scheme) == []
        station.keyboard.press("Control+s")
        station.wait_for_function("() => document.querySelector('[data-post=save]').disabled")
        assert tomllib.loads((tmp_path / "mine.toml").read_text())["direction"][2]["bearing"] == "100 deg"
        station.context.close()

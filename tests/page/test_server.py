"""What the page's own script asks for, without a browser and without processes."""

import tomllib

import pytest

from boardgen.model.problem import Place, Problem
from boardgen.page.form import Group, form, read_typed
from boardgen.page.job import Book, Files, View
from boardgen.page.layout import SPEC, layout_of
from boardgen.page.process import Done, Refused, Step
from boardgen.spec.faults import key_text
from boardgen.spec.rewrite import value_at
from boardgen.spec.template import station_files, with_ways
from tests.page.every_key import CHANGES
from tests.page.served import serving

TEXT = with_ways("two-way", None)


@pytest.fixture
def page(tmp_path):
    (tmp_path / "mine.toml").write_text(TEXT)
    with serving(tmp_path, tmp_path / "mine.toml") as served:
        yield served


def shown(page):
    return page.get("/").content.decode()


def told(page, kind, news, task="show"):
    """As a process would tell it."""
    process = page.room._processes[kind]
    job = process.jobs[-1]
    assert job.task == task
    process.told(kind, job, news)
    page.get("/")


def test_a_change_is_worked_out_saved_and_taken_back(page):
    code, state = page.ask("set", key=["control", "length"], words="7", unit="m", seen=0)
    assert code == 200
    assert state["now"] == 1
    jobs = page.room._processes["soon"].jobs
    assert [tomllib.loads(job.text)["control"]["length"] for job in jobs] == ["40 m", "7 m"]
    assert jobs[-1].saved == TEXT
    assert page.ask("save")[0] == 200
    path = page.room.desk.file.path
    assert tomllib.loads(path.read_text())["control"]["length"] == "7 m"
    page.ask("undo")
    page.ask("save")
    assert path.read_text() == TEXT


def test_an_edit_outlives_the_server(tmp_path):
    (tmp_path / "mine.toml").write_text(TEXT)
    with serving(tmp_path, tmp_path / "mine.toml") as page:
        page.ask("set", key=["control", "length"], words="7", unit="m", seen=0)
    with serving(tmp_path, tmp_path / "mine.toml") as page:
        assert "here they are again" in page.get("/").content.decode()
        assert tomllib.loads(page.room._processes["soon"].jobs[-1].text)["control"]["length"] == "7 m"
        page.ask("undo")
    assert [path.name for path in tmp_path.iterdir()] == ["mine.toml"]


def test_a_keystroke_sends_no_more_of_the_form_than_it_changes(page):
    desk = page.room.desk
    desk.state()
    before = desk.made
    code, answer = page.ask("set", key=["control", "length"], words="7", unit="m", seen=0)
    assert code == 200
    assert set(answer["pieces"]) == {"out", "status"}
    assert set(desk.state(before)["pieces"]) - {"out", "status"} == {"head", "g-Control-cable-and-supply", "g-file"}


def test_every_fault_stands_at_its_field_and_nothing_is_worked_out_or_saved(page):
    jobs = page.room._processes["soon"].jobs
    _, state = page.ask("set", key=["control", "length"], words="7 mm", seen=0)
    _, state = page.ask("set", key=["targets", "isolation"], words="many", seen=state["now"])
    assert state["faulty"]
    for address in ("f-control-length", "f-targets-isolation"):
        fault = shown(page).split(f'id="{address}-fault">')[1].split("<")[0]
        assert fault.startswith("not yet: ")
    assert len(jobs) == 1
    code, state = page.ask("save")
    assert code == 409
    assert "control.length" in state["refused"]
    assert page.room.desk.file.path.read_text() == TEXT


def test_another_windows_change_is_not_overwritten(page):
    page.ask("set", key=["control", "length"], words="7 m", seen=0)
    code, state = page.ask("set", key=["control", "length"], words="8 m", seen=0)
    assert code == 409
    assert "changed in another window, to 7 m" in state["refused"]
    assert state["now"] == 1


def test_antennas_come_go_and_change_places(page):
    page.ask("rows", table="antenna", seen=0)
    page.ask("rows", table="antenna", seen=1, at=2, to=0)
    page.ask("rows", table="antenna", seen=2, at=1)
    labels = [row["label"] for row in tomllib.loads(page.room.desk.file.history.now.text)["antenna"]]
    assert labels == ["antenna 3", "ridge"]
    assert page.ask("rows", table="box", seen=3)[0] == 409


def test_a_view_is_shown_until_a_newer_state_has_one(page):
    told(page, "soon", View("values", "<p>first</p>"))
    told(page, "laid", View("values", "<p>with copper</p>"))
    told(page, "soon", View("values", "<p>without again</p>"))
    assert page.room.desk.views()["values"]["html"] == "<p>with copper</p>"
    old = page.room._processes["laid"].jobs[-1]
    page.ask("set", key=["control", "length"], words="7 m", seen=0)
    page.room._processes["laid"].told("laid", old, View("values", "<p>late</p>"))
    told(page, "soon", View("values", "<p>new</p>"))
    assert page.room.desk.views()["values"] == {"html": "<p>new</p>", "number": 1}


def test_what_the_work_refuses_stands_at_its_field(page):
    problem = Problem("V001 pinned part", "error", Place(key="parts.relay"), "no such relay")
    told(page, "soon", Refused((problem,)))
    assert "no such relay" in page.get("/").content.decode().split('id="f-parts-relay-fault">')[1].split("</span>")[0]


def test_writing_tells_its_steps_and_serves_what_was_written(page, tmp_path):
    assert page.get("/written/book.html").status == 404
    page.ask("set", key=["title"], words="Other", seen=0)
    page.ask("write")
    assert 'title = "Other"' in " ".join((tmp_path / "mine.toml").read_text().split())
    told(page, "laid", Step("laying out"), "write")
    assert "laying out" in page.get("/").content.decode()
    made = tmp_path / "made"
    made.mkdir()
    (made / "book.html").write_text("<script>1</script>")
    told(page, "laid", Files(str(made), ("book.html",), "book.html", ()), "write")
    told(page, "laid", Done(1.0), "write")
    answer = page.get("/written/book.html")
    assert answer.content == b"<script>1</script>"
    assert "script-src 'sha256-" in answer.getheader("content-security-policy")
    assert page.get("/written/other.html").status == 404
    assert page.get("/board.zip").content[:2] == b"PK"


def test_the_book_within_the_page_is_framed_by_it_alone_and_stays_until_a_newer_state_has_one(page):
    assert page.get("/book/book.html").status == 404
    told(page, "laid", Book({"book.html": b"<script>1</script>"}))
    told(page, "laid", View("book", '<iframe src="/book/book.html?1"></iframe>'))
    old = page.room._processes["laid"].jobs[-1]
    page.ask("set", key=["control", "length"], words="7 m", seen=0)
    page.room._processes["laid"].told("laid", old, Book({"book.html": b"late"}))
    assert page.room.desk.views()["book"]["number"] == 0
    answer = page.get("/book/book.html?1")
    assert answer.content == b"<script>1</script>"
    policy = answer.getheader("content-security-policy")
    assert "default-src 'none'; script-src 'sha256-" in policy
    assert "frame-ancestors 'self'" in policy
    assert "frame-src 'self'" in page.get("/").getheader("content-security-policy")
    for name in ("other.html", "../mine.toml", "..%2Fmine.toml"):
        assert page.get(f"/book/{name}").status == 404


def test_an_outside_change_is_told_to_every_window(page):
    page.room.desk.file.path.write_text(TEXT + "# theirs\n")
    events = page.room._loop
    import asyncio

    async def next_news():
        async for news in page.room.desk.news(asyncio.Event()):
            if "changed outside" in news["pieces"]["head"]:
                return news
        return None

    news = asyncio.run_coroutine_threadsafe(next_news(), events).result(20)
    assert "# theirs" in news["pieces"]["g-file"]


def test_a_board_is_begun_from_a_template(tmp_path):
    with serving(tmp_path) as page:
        assert "four-way" in page.get("/").content.decode()
        assert page.get("/board.zip").status == 404
        code, _ = page.ask("begin", template="two-way", name="mine", ways=3)
        assert code == 200
        assert len(tomllib.loads((tmp_path / "mine.toml").read_text())["antenna"]) == 3
        assert 'id="f-control-length"' in page.get("/").content.decode()
        page.ask("set", key=["title"], words="Other", seen=0)
        assert page.ask("open", name="mine.toml")[0] == 409
        page.ask("save")
        assert page.ask("open", name="mine.toml")[0] == 200


def test_a_station_is_begun_from_a_template_whole_or_not_at_all(tmp_path):
    with serving(tmp_path) as page:
        assert "two boxes of four antennas each" in page.get("/").content.decode()
        (tmp_path / "heath.toml").write_text("mine")
        code, state = page.ask("begin", template="two-boxes", name="mine")
        assert (code, [path.name for path in tmp_path.iterdir()]) == (409, ["heath.toml"])
        assert "exists already" in state["refused"]
        (tmp_path / "heath.toml").unlink()
        assert page.ask("begin", template="two-boxes", name="mine")[0] == 200
        assert page.room.desk.plan
        assert {path.name for path in tmp_path.iterdir()} == {"mine.toml", "dune.toml", "heath.toml"}
        assert page.ask("begin", template="none", name="other")[0] == 409
        assert page.ask("begin", template="three-boxes", name="other", ways=3)[0] == 409


def test_prices_and_parts_are_taken_from_the_folder_of_the_page_alone(page, tmp_path):
    (tmp_path / "mine.csv").write_text("")
    assert page.ask("beside", parts="", prices="mine.csv")[0] == 200
    assert page.room._processes["laid"].jobs[-1].prices == (str(tmp_path / "mine.csv"),)
    for path in ("/etc", "../", "absent.csv"):
        code, state = page.ask("beside", parts=path, prices="")
        assert code == 409
        assert "in the folder of this page" in state["refused"]
    (tmp_path / "sweeps").mkdir()
    assert page.ask("beside", parts="", prices="", sweeps="mine.csv")[0] == 409
    assert page.ask("beside", parts="", prices="", sweeps="sweeps")[0] == 200
    assert page.room._processes["laid"].jobs[-1].sweeps == str(tmp_path / "sweeps")
    assert page.ask("beside", parts="", prices="")[0] == 200
    assert page.room._processes["laid"].jobs[-1].prices == ()


def test_a_plan_is_shown_and_its_boxes_opened(tmp_path):
    for name, text in station_files("two-boxes").items():
        (tmp_path / name).write_text(text)
    with serving(tmp_path, tmp_path / "station.toml") as page:
        assert page.room._processes["soon"].jobs == []
        assert page.room._processes["laid"].jobs[-1].plan
        assert "Curlew Flats" in page.get("/").content.decode()
        assert page.ask("open", name="dune.toml")[0] == 200
        assert not page.room._processes["laid"].jobs[-1].plan
        page.ask("set", key=["title"], words="Other", seen=0)
        assert page.ask("close")[0] == 409
        page.ask("undo")
        assert page.ask("close")[0] == 200
        assert "station.toml" in page.get("/").content.decode()


def test_a_box_in_a_folder_beside_the_plan_opens_and_nothing_outside_does(tmp_path):
    folder = tmp_path / "station"
    (folder / "boxes").mkdir(parents=True)
    for place in (folder / "mine.toml", folder / "boxes" / "dune.toml", tmp_path / "outside.toml"):
        place.write_text(TEXT)
    (folder / "boxes" / "away.toml").symlink_to(tmp_path / "outside.toml")
    with serving(folder, folder / "mine.toml") as page:
        for name in (
            "../outside.toml",
            str(tmp_path / "outside.toml"),
            "boxes/away.toml",
            "boxes",
            "none.toml",
            "a\0.toml",
        ):
            code, state = page.ask("open", name=name)
            assert code == 409
            assert "in the folder of this page" in state["refused"]
        assert page.ask("open", name="boxes/dune.toml")[0] == 200
        assert page.room.desk.file.path == folder / "boxes" / "dune.toml"


def test_every_key_is_in_the_form():
    data = tomllib.loads(TEXT)
    shown = fields(form(data, SPEC, (), {}))
    assert {key for key, _ in CHANGES} <= {field.key for field in shown}
    rows = {name: [{}] for name in SPEC.shape.lists}
    keys = {(name, 0, key) for name in rows for key in SPEC.shape.tables[name].model_fields}
    assert keys <= {field.key for field in fields(form(rows, SPEC, (), {}))}
    assert all(field.sentence for field in shown)


@pytest.mark.parametrize("layout", [SPEC, layout_of({"box": []})])
def test_every_table_has_a_heading(layout):
    assert sorted(name for part in layout.parts for name in part.tables) == sorted(layout.shape.tables)


def fields(made):
    groups = [group for part in made.parts for group in ([part] if isinstance(part, Group) else part.groups)]
    return [field for group in groups for field in group.fields]


PLAN = station_files("two-boxes")["station.toml"]


@pytest.fixture
def station(tmp_path):
    for name, text in station_files("two-boxes").items():
        (tmp_path / name).write_text(text)
    with serving(tmp_path, tmp_path / "station.toml") as served:
        yield served


def test_every_key_of_a_plan_is_typed_and_read_back_beside_its_comments(station):
    data = tomllib.loads(PLAN)
    shown = {field.name: field for field in fields(form(data, layout_of(data), (), {}))}
    typed = {
        ("box", 1, "control", "conductors"): ("6", 6),
        ("box", 0, "rest"): ("false", False),
        ("box", 1, "feeder", "length"): ("95", "95 m"),
        ("source", "supply"): ("12..13", "12..13 V"),
        ("receiver", "isolation"): ("45 dB", "45 dB"),
        ("direction", 2, "bearing"): ("91", "91 deg"),
        ("direction", 1, "gain"): ("-8 dB", "-8 dB"),
        ("remote", 0, "name"): ("pair a", "pair a"),
    }
    for seen, (key, (words, _)) in enumerate(typed.items()):
        unit = shown[key_text(key)].unit
        assert station.ask("set", key=key, words=words, unit=unit, seen=seen)[0] == 200
    text = station.room.desk.file.history.now.text
    for key, (_, value) in typed.items():
        assert value_at(text, key) == value
    assert [line.partition("#")[2] for line in text.splitlines() if "#" in line] == [
        line.partition("#")[2] for line in PLAN.splitlines() if "#" in line
    ]
    for _ in typed:
        station.ask("undo")
    assert station.room.desk.file.history.now.text == PLAN


def test_directions_and_boxes_come_go_and_change_places_and_faults_stand_at_their_fields(station):
    jobs = station.room._processes["laid"].jobs
    station.ask("rows", table="direction", seen=0, at=3, to=0)
    assert jobs[-1].text != PLAN
    station.ask("rows", table="direction", seen=1)
    at = len(tomllib.loads(PLAN)["direction"])
    assert "not yet: " in shown(station).split(f'id="f-direction-{at}-bearing-fault">')[1].split("<")[0]
    assert len(jobs) == 2
    assert station.ask("save")[0] == 409
    station.ask("rows", table="direction", seen=2, at=at)
    assert station.ask("save")[0] == 200
    labels = [row["label"] for row in tomllib.loads((station.room.folder / "station.toml").read_text())["direction"]]
    assert labels[:4] == ["west", "north", "north-east", "east"]
    station.ask("set", key=["box", 0, "spec"], words="none.toml", seen=3)
    assert "there is no file" in shown(station).split('id="f-box-0-spec-fault">')[1].split("<")[0]


@pytest.mark.parametrize(
    ("words", "unit", "value"),
    [
        ("130", "m", "130 m"),
        ("130 ft", "m", "130 ft"),
        (" 1.8 MHz ", "", "1.8 MHz"),
        ("160 m", "MHz", "160 m"),
        ("", "m", None),
    ],
)
def test_a_number_alone_takes_the_unit_beside_it(words, unit, value):
    assert read_typed(("control", "length"), words, unit, SPEC.shape) == value


def test_whole_numbers_and_truths_are_no_texts():
    assert read_typed(("control", "conductors"), "12", "", SPEC.shape) == 12
    assert read_typed(("control", "conductors"), "12 x", "", SPEC.shape) == "12 x"
    assert read_typed(("protection", "surge"), "false", "", SPEC.shape) is False
    assert read_typed(("antenna", 0, "fitted"), "true", "", SPEC.shape) is True

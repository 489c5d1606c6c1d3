"""What the page shows is what the commands make of the same text."""

import hashlib
import html
import json
import queue
import re
from html import unescape

import pytest

from boardgen import design_board
from boardgen.cli.app import main
from boardgen.design import untold
from boardgen.documents.build_files import build_files
from boardgen.documents.values import rows
from boardgen.documents.verdicts import figure
from boardgen.inputs.board import Sources, read_board, read_catalogue
from boardgen.inputs.footprint_names import read_footprint_names
from boardgen.model.problem import InputError
from boardgen.page.job import Book, Job, View
from boardgen.page.process import Done, Process, Step
from boardgen.page.render import say
from boardgen.page.work import Offers, Worker
from boardgen.spec.rewrite import with_value
from boardgen.spec.template import with_ways
from tests.cli.test_measured_command import sweep

pytestmark = pytest.mark.slow
TEXT = with_ways("two-way", None)
MISSED = TEXT.replace('"55 dB"', '"90 dB"')


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    file = tmp_path_factory.mktemp("work") / "two-way.toml"
    file.write_text(TEXT)
    return file


@pytest.fixture(scope="module")
def worker():
    return Worker()


def soon(worker, path, text, saved=TEXT):
    found = list(worker.soon(Job(1, str(path), text, saved)))
    return {view.name: view.html for view in found if isinstance(view, View)}, found


@pytest.fixture(scope="module")
def told(worker, path):
    return list(worker.laid(Job(0, str(path), TEXT, TEXT), untold))


@pytest.fixture(scope="module")
def laid(told):
    return {view.name: view.html for view in told if isinstance(view, View)}


def words(html):
    return " ".join(unescape(re.sub("<[^>]*>", " ", html)).split())


@pytest.fixture(scope="module")
def design(path):
    return design_board(path)._design


def test_values_and_targets_are_those_of_a_build(laid, design):
    shown = {name: words(page) for name, page in laid.items()}
    for row in rows(design.choices, design.request.strips):
        assert say(row.chosen) in shown["values"]
    for verdict in design.prediction.verdicts:
        assert say(figure(verdict)) in shown["targets"]
    assert "as laid out" in shown["targets"]
    for line in design.bill.lines:
        assert line.part.number in shown["bill"]


def test_cores_and_meter_points_name_the_parts_that_light_up_in_every_view(laid, design):
    lit = {name: set(" ".join(re.findall(r'data-part="([^"]*)"', page)).split()) for name, page in laid.items()}
    assert lit["hands"] <= lit["board"]
    assert {part.ref for part in design.netlist.of_kind("core", "relay") if part.fitted} <= lit["hands"]
    assert {port.ref for port in design.netlist.ports} <= lit["hands"]
    strips = dict(re.findall(r'<option value="([^"]+)">(marsh|ridge|output)</option>', laid["board"]))
    assert sorted(strips.values()) == ["marsh", "output", "ridge"]
    for refs, strip in strips.items():
        own = {part.ref for part in design.netlist.components if part.fitted and part.subject.strip == strip}
        assert sorted(own) == sorted(refs.split())
        assert own <= lit["board"]


def test_the_book_on_view_is_the_one_that_a_build_writes(told, laid, path, design):
    book = next(one for one in told if isinstance(one, Book))
    date = read_board(path, Sources(), read_catalogue(None)).date_text
    written = build_files(design, read_footprint_names(None), date)
    assert book.pages == {name: written[name] for name in ("book.html", "appendix.html")}
    assert f"/book/book.html?{hashlib.sha256(written['book.html']).hexdigest()}" in laid["book"]


def test_the_order_comes_to_what_its_command_says(laid, path, tmp_path, capsys):
    assert main(["order", str(path), "--out", str(tmp_path)]) == 0
    total = re.search(r"total\s+([0-9.]+ CAD, \d+ lines at \d+ suppliers)", capsys.readouterr().out)[1]
    assert f"total {total}" in words(laid["order"])
    assert "nothing cheaper can be bought" in words(laid["order"])


def test_sweeps_of_the_built_board_lie_over_the_curves_they_are_of(worker, path, design, tmp_path):
    for ports, selected in ((("ridge", "output"), "ridge"), (("marsh", "output"), "ridge")):
        made = sweep(design.prediction.network, ports, selected)
        (tmp_path / f"{' to '.join(ports)} with {selected}.s2p").write_bytes(made)
    (tmp_path / "attic.s1p").write_text("# MHz S MA R 50\n1 0.1 0\n")
    page = worker._response_view(Job(0, str(path), TEXT, TEXT, sweeps=str(tmp_path)), design.prediction, laid=True).html
    plots = {data["unit"] + name: data for name, data in plotted(page)}
    titles = {name: [title for title, _ in data["measured"]] for name, data in plots.items()}
    assert titles["dBinsertion loss"] == ["loss from ridge to output with ridge selected"]
    assert titles["dBisolation"] == ["loss from marsh to output with ridge selected"]
    assert len(titles["dBreturn loss"]) == 4
    assert page.count('class="curve measured"') == 6
    (_, loss), worst = plots["dBinsertion loss"]["measured"][0], plots["dBinsertion loss"]["now"]
    both = [(one, most) for one, most in zip(loss, worst, strict=True) if one is not None]
    assert len(both) > 20
    assert all(one <= most + 0.02 for one, most in both)
    assert "inside: " in words(page)
    assert re.search(r"attic\.s1p: .*names no sweep of this board", words(page))


def plotted(page):
    """Name and data of every plot."""
    for name, data in re.findall(r'aria-label="([^"]*?), [^"]*; arrow keys read it" data-plot=\'([^\']*)\'', page):
        yield name, json.loads(html.unescape(data))


def test_what_differs_from_the_saved_state_is_marked_with_what_it_was(worker, path):
    first, _ = soon(worker, path, TEXT)
    assert "was" not in words(first["values"])
    second, _ = soon(worker, path, TEXT.replace('"1.8 MHz"', '"472 kHz"'))
    assert re.search(r'class="was">was \d', second["values"])
    assert 'class="curve saved"' in second["response"]


def test_a_missed_target_has_buttons_that_say_what_they_bring_and_cost(worker, path):
    shown, _ = soon(worker, path, MISSED)
    text = words(shown["remedies"])
    assert "Take relays_in_series = 2" in text
    assert re.search(r"isolation is .* dB.*CAD of parts a board", text)
    held = re.search(r"Ask for isolation of (\d+ dB)", text)[1]
    again, _ = soon(worker, path, MISSED.replace("90 dB", held))
    assert "isolation" not in words(again["remedies"]).partition("Keep")[0]


def test_parts_on_offer_are_told_once(path):
    fresh = Worker()
    offers = [one for one in soon(fresh, path, TEXT)[1] if isinstance(one, Offers)]
    assert any("TQ2" in part.words for part in offers[0].pins["relay"])
    assert [one for one in soon(fresh, path, TEXT)[1] if isinstance(one, Offers)] == []


def test_a_pin_that_is_no_part_is_refused_at_its_key(worker, path):
    with pytest.raises(InputError) as refused:
        soon(worker, path, TEXT + '\n[parts]\nrelay = "none such"\n')
    assert refused.value.problems[0].place.key == "parts.relay"


def test_newer_input_ends_older_work(path):
    told = queue.Queue()
    process = Process("laid", lambda _, job, news: told.put((job.number, news)))
    try:
        process.ask(Job(1, str(path), TEXT, TEXT))
        while not isinstance(told.get()[1], Step):
            pass
        process.ask(Job(2, str(path), MISSED, TEXT))
        heard = []
        while not (heard and heard[-1][0] == 2 and isinstance(heard[-1][1], Done)):
            heard.append(told.get())
        assert not any(number == 1 and isinstance(news, Done) for number, news in heard)
    finally:
        process.close()


def test_the_values_that_are_asked_for_first_come_first_before_the_targets_are_looked_at(worker, path):
    found = soon(worker, path, TEXT)[1]
    assert [view.name for view in found[:3]] == ["values", "values", "targets"]
    rules, settled = (words(view.html) for view in found[:2])
    assert "targets are being looked at" in rules
    for shown in (rules, settled):
        decisive = shown.partition("more values")[0]
        assert all(role in decisive for role in ("board turns", "winding reactance", "relay voltage", "longest cable"))
        assert "control loop resistance" not in decisive


def test_a_value_that_falls_short_has_buttons_that_make_it_hold(worker, path):
    far = TEXT.replace('"40 m"', '"1.9 km"')
    assert far != TEXT
    shown = soon(worker, path, far)[0]["remedies"]
    offered = re.findall(r"data-remedy='([^']*)'", shown)
    keys = [json.loads(html.unescape(one)) for one in offered]
    assert ["control", "length"] in [key for one in keys for key, _ in one]
    assert "relay voltage" in words(shown)
    for one in keys:
        changed = far
        for key, value in one:
            changed = with_value(changed, tuple(key), value)
        assert "left at the coil" not in words(soon(worker, path, changed)[0]["remedies"])

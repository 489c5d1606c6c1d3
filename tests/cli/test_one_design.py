"""One specification makes one board, whichever command, document or script is asked and whatever the parts cost."""

import csv
import json
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

import boardgen
from boardgen.catalogue.load import load, parts_folder
from boardgen.cli.app import main
from boardgen.documents.identity import named
from boardgen.documents.verdicts import number
from boardgen.inputs import board as inputs_of_board
from boardgen.rf import refine
from boardgen.rf.refinement_report import REFINED
from tests.circuit.options import covering
from tests.cli import one_design as read
from tests.documents.shown_figures import shown, unnamed

CATALOGUE = cache(load)
BOARDS = covering(read.UNLIKE, 2, seed=36)
"""Every two options meet in one of these."""
PAGES = ("book.html", "appendix.html", "bench-bill.html")
STATIONED = (4, 9, 10)
"""Those that a station has as its box as well: fed and not, one way and two, either drive."""

HANDED = (3, 14)
"""Those whose specification names parts in hand, one of them in a station."""


def unlike(row):
    """What is unlike the usual of a board."""
    return ", ".join(f"{key} {value}" for key, value in row.items() if value != read.UNLIKE[key][0])


def dear(folder, keys):
    """The demonstration prices, these parts made 15 times as dear."""
    with (parts_folder() / "prices" / "demo-cad.csv").open(encoding="utf-8", newline="") as source:
        heading, *rows = csv.reader(source)
    at = heading.index("unit_price")
    changed = [[*row[:at], f"{float(row[at]) * 15:.2f}", *row[at + 1 :]] if row[0] in keys else row for row in rows]
    assert changed != rows
    path = folder / "dear.csv"
    with path.open("w", encoding="utf-8", newline="") as target:
        csv.writer(target).writerows([heading, *changed])
    return path


def one_row(folder):
    """A price file that knows no part of a board but one diode."""
    path = folder / "one.csv"
    lines = (parts_folder() / "prices" / "demo-cad.csv").read_text(encoding="utf-8").splitlines()
    row = next(line for line in lines if line.startswith("diode-1n4148,"))
    path.write_text(f"{lines[0]}\n{row}\n", encoding="utf-8")
    return path


class Asked:
    """One board as every command tells of it, each asked once."""

    def __init__(self, folder, text, capsys, *, scripted):
        self.path, self.folder, self._capsys = folder / "board.toml", folder, capsys
        self.path.write_text(text, encoding="utf-8")
        self.values = self.said("values")
        self.response = self.said("response")
        self.decided = read.choices(self.values)
        # what was chosen is made dear, so that whatever looks at prices would choose otherwise
        self.prices = dear(folder, read.chosen(self.values, "turns") | read.chosen(self.values, "relay voltage"))
        priced = ("--prices", str(self.prices))
        self.built = self.said("build", *priced, "--out", str(folder / "built"))
        self.scripted = boardgen.design_board(self.path, prices=one_row(folder)) if scripted else None
        self.compared = self.said("compare", "--boards", "3", *priced)
        self.order = self.said("order", *priced, "--out", str(folder / "ordered"))
        self.files = read.read_folder(Path(self.built["folder"]))
        self.in_folder = json.loads(self.files["values.json"])

    def said(self, command, *words):
        """What a command says as JSON."""
        self._capsys.readouterr()
        assert main([command, str(self.path), *words, "--json"]) in (0, 1)
        return json.loads(self._capsys.readouterr().out)

    def proved(self):
        """The exit code of prove."""
        code = main(["prove", self.built["folder"]])
        self._capsys.readouterr()
        return code


@pytest.mark.slow
@pytest.mark.parametrize("at", range(len(BOARDS)), ids=lambda at: unlike(BOARDS[at]))
def test_every_command_document_and_script_tells_of_the_same_board(at, tmp_path, capsys, monkeypatch):
    # hopeless targets are searched for as long in every command: a short search tells as much here
    monkeypatch.setattr(refine, "MOST_TRIED", 8)
    # the catalogue is read once for all commands of all boards
    monkeypatch.setattr(inputs_of_board, "load_catalogue", CATALOGUE)
    monkeypatch.chdir(tmp_path)
    stationed = at in STATIONED
    text = read.specification(BOARDS[at]) + (read.FEEDER if stationed else "") + (read.IN_HAND if at in HANDED else "")
    board = Asked(tmp_path, text, capsys, scripted=at % 3 == 0)
    same_choices(board)
    same_figures(board)
    same_parts(board)
    same_costs(board)
    same_in_documents(board)
    if board.scripted:
        same_in_a_script(board)
    if board.built["board"]:
        assert board.proved() == 0
    if stationed:
        same_in_a_station(board, BOARDS[at])


def same_choices(board):
    """Core, turns, relay and all else that is sized."""
    assert read.choices(board.in_folder) == board.decided
    assert refined(board.order) == refined(board.built)
    assert [v for v in board.compared["values"] if v["part_before"] != v["part_after"]] == []


def refined(document):
    """What prediction chose, in sentences."""
    return [p["found"] for p in document["warnings"] if p["id"] == REFINED]


def same_in_a_script(board):
    """What is sized and how far the targets are met."""
    design = board.scripted._design
    assert {(c.role, str(c.subject)): (c.part, c.chosen) for c in design.choices.values} == board.decided
    judged = [(j.at_hz, j.port) for j in design.prediction.judged]
    assert judged == [(t["at_hz"], t["port"]) for t in board.built["targets"]]
    assert (design.layout is not None) == (board.built["board"] is not None)


def same_in_a_station(board, row):
    """Every file, where the station has the box's own cables and supply; the book tells of the station besides."""
    plan = board.folder / "plan.toml"
    plan.write_text(read.plan(row, board.path.name), encoding="utf-8")
    assert main(["station", str(plan), "--prices", str(board.prices), "--out", str(board.folder / "station")]) in (0, 1)
    box = read.read_folder(board.folder / "station" / read.STATION / "boxes" / read.BOX)
    alone = {name: data for name, data in board.files.items() if name != "manifest.json"}
    assert set(box) == set(alone)
    assert [name for name in alone if box[name] != alone[name]] == ["book.html"]


def same_figures(board):
    """Targets with bounds, states and places; area, parts, relays, hours, the longest cable."""
    laid = board.built["targets"]
    before, after = board.compared["before"], board.compared["after"]
    assert board.response["targets"] == board.values["targets"]
    assert board.in_folder["targets"] == before["targets"] == after["targets"] == laid
    assert read.short(board.values["targets"]) ^ read.short(laid) <= read.undecided(board.values["targets"])
    for target in laid:
        worst = read.worst_of_curves(board.files, target | {"highest_hz": before["highest_hz"]}, before["lowest_hz"])
        if worst is not None and not target["better_than"]:
            # curves have the unknown split of a capacitance in its middle, targets at its worst
            moved = read.moved_by_split(board.response, target, before["lowest_hz"], before["highest_hz"])
            assert worst == pytest.approx(target["achieved"] - moved, rel=0.03)
    size = board.built["board"]
    assert before["area_cm2"] == (size["area_cm2"] if size else None)
    assert before["parts"] == board.built["parts"]
    cable = next(v["achieved"] for v in board.values["values"] if v["role"] == "longest cable")
    assert before["longest_cable_m"] == cable


def same_in_documents(board):
    """Every named figure of pages, drawings and workbook, and what the commands say of them."""
    found = shown(board.files)
    assert {name: dict(texts) for name, texts in found.items() if len(texts) > 1} == {}
    own = ("options", "way 1", "way 2")
    assert [
        figure for file, page in board.files.items() if file in PAGES for figure in unnamed(page.decode(), own)
    ] == []
    for target in board.built["targets"]:
        if target["achieved"] is not None:
            best = f"> {target['achieved']:.0f} dB"
            text = best if target["better_than"] else number(target["achieved"], target["unit"])
            assert next(iter(found[named("target", target["target"], "predicted")])).startswith(text)
    if size := board.built["board"]:
        assert set(found["board.size"]) == {f"{size['width_mm']:.2f} x {size['height_mm']:.2f} mm"}
    of_strip = {(v["strip"], v["role"]): v for v in board.values["values"] if v["role"] in ("turns", "port turns")}
    for ref, number_of_core, strip in read.transformers(board.files):
        for role, name in (("turns", "board turns"), ("port turns", "port turns")):
            value = of_strip[strip, role]
            assert value["number"] == number_of_core
            assert set(found[named(ref, name)]) == {f"{value['chosen']} turns"}


def same_parts(board):
    """Designators with the number of each part, and how many are ordered."""
    assert sum(read.wired(board.files, bought=False).values()) == board.built["parts"]
    fitted = read.wired(board.files, bought=True)
    assert read.billed(board.files) == fitted
    if board.built["board"]:
        assert read.assembled(board.files) == fitted
    bill = {
        line["maker's number"]: (Decimal(line["needed"]), Decimal(line["spares"]))
        for line in read.rows(board.files["bill.csv"])
        if line["line"] and line["ordered"] != "0"
    }
    # what is in hand as a whole is bought by neither
    assert read.needed(board.order) == bill


def same_costs(board):
    """What one board and the order of it come to before freight and tax."""
    before, bill = board.compared["before"], board.built["bill"]
    for key in ("board_value", "order_total", "currency"):
        assert before[key] == bill[key]

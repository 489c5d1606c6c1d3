"""A part kind is one new file, its line in the list and its part's data, and all of the program knows it.

The kind is varistor.py; guard.py is a stage that uses one. Both are put into a copy of the package in which no other
file is touched.
"""

import csv
import json
import math
import os
import re
import shutil
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
HERE = Path(__file__).parent
TEMPLATE = ROOT / "templates" / "four-way.toml"
Z0_OHM = 75.0
KEY, NUMBER, FARAD = "varistor-invented-22pf", "IV-25-22P", 22e-12
PART = """\
# Invented for a test.
[[part]]
key = "{key}"
kind = "varistor"
maker = "Invented Parts"
number = "{number}"
value = "25 V"
description = "disc varistor"
footprint = "capacitor-5.08"
standing = "assumed"
source = "invented for a test"
pins = {{ 1 = "1", 2 = "2" }}
figures = {{ "working voltage" = "25 V", capacitance = "{capacitance}" }}
"""
PRICE = f"""\
part,supplier,order_code,currency,quantity,unit_price,minimum,multiple,stock,lead_days,as_of,source
{KEY},Invented Supplier A (demo),V-1,CAD,1,0.42,1,1,100,5,2026-11-01,invented for a test
"""
pytestmark = pytest.mark.slow


def child(arguments, folder, package):
    """Runs Python in that folder with that copy of the package."""
    environment = os.environ | {"PYTHONPATH": os.pathsep.join((str(package), str(ROOT)))}
    return subprocess.run([sys.executable, *arguments], cwd=folder, env=environment, capture_output=True, text=True)


def listed(init: Path, module: str, name: str, before: str):
    """Puts a record into the tuple of an __init__.py, before another, with its import."""
    text = init.read_text(encoding="utf-8")
    line = f"    {before},\n"
    assert text.count(line) == 1
    text = text.replace(line, f"    {name},\n{line}")
    first = text.index("\nfrom boardgen.")
    init.write_text(f"{text[:first]}\nfrom {module} import {name}{text[first:]}", encoding="utf-8")


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    top = tmp_path_factory.mktemp("copy")
    for name in ("boardgen", "parts", "templates"):
        shutil.copytree(ROOT / name, top / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(HERE / "varistor.py", top / "boardgen" / "kinds")
    shutil.copy(HERE / "guard.py", top / "boardgen" / "stages")
    listed(top / "boardgen" / "kinds" / "__init__.py", "boardgen.kinds.varistor", "VARISTOR", "GAS_TUBE")
    listed(top / "boardgen" / "stages" / "__init__.py", "boardgen.stages.guard", "GUARD", "FEED")
    part = PART.format(key=KEY, number=NUMBER, capacitance="22 pF")
    (top / "parts" / "varistors.toml").write_text(part, encoding="utf-8")
    return top


@pytest.fixture(scope="module")
def built(copy, tmp_path_factory):
    """What `boardgen build` of the copy writes of the four-way template."""
    folder = tmp_path_factory.mktemp("build")
    shutil.copy(TEMPLATE, folder)
    (folder / "varistors.csv").write_text(PRICE, encoding="utf-8")
    prices = ["--prices", str(copy / "parts" / "prices" / "demo-cad.csv"), "--prices", "varistors.csv"]
    done = child(["-m", "boardgen", "build", TEMPLATE.name, *prices], folder, copy)
    assert done.returncode == 0, done.stdout + done.stderr
    (target,) = (folder / "output").iterdir()
    return target


@pytest.fixture(scope="module")
def facts_of(copy, tmp_path_factory):
    """Facts of the four-way template by a package; with a capacitance, of a varistor that has it."""
    folder = tmp_path_factory.mktemp("facts")

    def facts(package, capacitance=""):
        own = []
        if capacitance:
            (folder / "own").mkdir()
            part = PART.format(key="varistor-large", number="IV-25-L", capacitance=capacitance)
            (folder / "own" / "varistors.toml").write_text(part, encoding="utf-8")
            own = [str(folder / "own")]
        done = child([str(HERE / "part_facts.py"), str(TEMPLATE), *own], folder, package)
        assert done.returncode == 0, done.stderr
        found = json.loads(done.stdout)
        assert found["package"] == str(package / "boardgen")
        return found

    return facts


def words(page: Path):
    """The text of a page."""
    return re.sub(r"\s+", " ", re.sub("<[^>]*>", " ", page.read_text(encoding="utf-8")))


def test_the_board_is_proven_from_its_files(copy, built):
    done = child(["-m", "boardgen", "prove", str(built)], built.parent, copy)
    assert done.returncode == 0, done.stdout + done.stderr


def test_it_is_drawn_laid_billed_and_soldered(built):
    drawn = (built / "schematic.svg").read_text(encoding="utf-8")
    assert drawn.count('data-symbol="varistor"') == drawn.count('data-ref="RV1"') == 1
    with (built / "fabrication" / "positions.csv").open(encoding="utf-8-sig", newline="") as rows:
        assert [row[2] for row in csv.reader(rows) if row and row[0] == "RV1"] == ["capacitor-5.08"]
    with (built / "bill.csv").open(encoding="utf-8-sig", newline="") as rows:
        (line,) = (row for row in csv.reader(rows) if NUMBER in row)
    assert "RV1" in line
    assert "0.42" in line
    assert "#7A8CA0" in (built / "board-top.svg").read_text(encoding="utf-8")
    book = words(built / "book.html")
    assert "A varistor that fired often leaks: test it." in book
    assert "varistors, 1 in all" in book


def test_it_is_in_the_network_that_is_predicted(built):
    deck = (built / "response.cir").read_text(encoding="utf-8").splitlines()
    ((_, element),) = (pair for pair in pairwise(deck) if pair[0] == "* RV1 capacitance")
    assert float(element.split()[-1]) == FARAD


def test_its_faults_are_told_with_what_shows_them(built):
    book = words(built / "appendix.html")
    assert re.search("insertion loss at [0-9.]+ MHz ?: over [0-9]+ dB instead of [0-9.]+ dB RV1: short", book)
    assert "RV1: open, or a dry joint" in book


def test_nothing_is_found_of_it(copy, facts_of):
    assert facts_of(copy)["problems"] == facts_of(ROOT)["problems"]


def test_its_capacitance_does_what_an_admittance_across_the_output_does(copy, facts_of):
    """An admittance Y at a terminal with reflection G turns S into S / (1 + Y Z0 (1 + G) / 2): the load and what is
    seen of the board are in parallel with it.
    """
    with_one, plain = facts_of(copy, "470 pF"), facts_of(ROOT)
    assert with_one["refs"].items() - plain["refs"].items() == {("RV1", "varistor")}
    assert [e[1:] for e in with_one["elements"] if e[0] == "RV1"] == [["capacitance", {"capacitance": 470e-12}]]
    rows = zip(with_one["frequency_hz"], with_one["through"], plain["through"], plain["reflected"], strict=True)
    for at_hz, found, through, reflected in rows:
        siemens = 2j * math.pi * at_hz * 470e-12
        expected = complex(*through) / (1 + siemens * Z0_OHM * (1 + complex(*reflected)) / 2)
        assert complex(*found) == pytest.approx(expected, rel=1e-6)


def test_a_meter_meets_it(copy, facts_of):
    known = facts_of(copy)
    ((below, above),) = [
        ([v for v, i in points if abs(i) < 1e-6], [v for v, i in points if abs(i) > 1e-3])
        for points in known["points"]["varistor"]
    ]
    assert max(below) == 25.0
    assert min(map(abs, above)) > 25.0
    assert known["faults"]["varistor"] == ["open, or a dry joint", "short"]

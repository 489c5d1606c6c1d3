"""A stage is one new file and its line in the list: it is wired, sized, predicted, laid out, drawn, billed, metered.

The stage is pad.py, put into a copy of the package in which no other file is touched.
"""

from __future__ import annotations

import csv
import json
import math
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
PAD = Path(__file__).parent / "pad.py"
IMPORT_MARK, LIST_MARK = "from boardgen.stages.port import PORT\n", "    CHANGEOVER,\n"
NEAR_DB = 0.1
pytestmark = pytest.mark.slow


def child(arguments: list[str], folder: Path, package: Path) -> subprocess.CompletedProcess[str]:
    """Runs Python in that folder with that copy of the package."""
    environment = os.environ | {"PYTHONPATH": os.pathsep.join((str(package), str(ROOT)))}
    command = [sys.executable, *arguments]
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the package with the pad as one new file and its line in the list, with its import."""
    top = tmp_path_factory.mktemp("copy")
    for name in ("boardgen", "parts", "templates"):
        shutil.copytree(ROOT / name, top / name, ignore=shutil.ignore_patterns("__pycache__"))
    stages = top / "boardgen" / "stages"
    shutil.copy(PAD, stages / "pad.py")
    text = (stages / "__init__.py").read_text(encoding="utf-8")
    assert text.count(IMPORT_MARK) == text.count(LIST_MARK) == 1
    text = text.replace(IMPORT_MARK, f"from boardgen.stages.pad import PAD\n{IMPORT_MARK}")
    (stages / "__init__.py").write_text(text.replace(LIST_MARK, f"{LIST_MARK}    PAD,\n"), encoding="utf-8")
    return top


@pytest.fixture(scope="module")
def built(copy: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What `boardgen build` writes of the four-way template with the pad."""
    folder = tmp_path_factory.mktemp("build")
    spec = folder / "four-way.toml"
    shutil.copy(ROOT / "templates" / "four-way.toml", spec)
    run = child(["-m", "boardgen", "build", spec.name], folder, copy)
    assert run.returncode == 0, run.stdout + run.stderr
    (target,) = (folder / "output").iterdir()
    return target


@pytest.fixture(scope="module")
def facts_of(copy: Path, tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, bool], Any]:
    """Facts of the four-way template, driven so, with the pad or without it."""
    folder = tmp_path_factory.mktemp("facts")
    known: dict[tuple[str, bool], Any] = {}

    def facts(drive: str, with_pad: bool) -> Any:
        if (drive, with_pad) not in known:
            text = (ROOT / "templates" / "four-way.toml").read_text(encoding="utf-8")
            text, count = re.subn(r'(?m)^drive( *= *)"[a-z ]+"', rf'drive\1"{drive}"', text)
            assert count == 1
            spec = folder / f"{drive}.toml"
            spec.write_text(text, encoding="utf-8")
            package = copy if with_pad else ROOT
            run = child([str(PAD.parent / "board_facts.py"), str(spec)], folder, package)
            assert run.returncode == 0, run.stderr
            known[drive, with_pad] = json.loads(run.stdout)
            assert known[drive, with_pad]["package"] == str(package / "boardgen")
        return known[drive, with_pad]

    return facts


def test_the_built_board_is_proven_from_its_files(copy: Path, built: Path) -> None:
    run = child(["-m", "boardgen", "prove", str(built)], built.parent, copy)
    assert run.returncode == 0, run.stdout + run.stderr


def pad_loss_db(shunt_ohm: float, series_ohm: float, z0_ohm: float) -> float:
    """Loss of shunt, series, shunt between equal resistances, from the chain matrix of the three."""
    forward = 1 + series_ohm / shunt_ohm
    across = 2 / shunt_ohm + series_ohm / shunt_ohm**2
    return 20 * math.log10(abs(2 * forward + series_ohm / z0_ohm + across * z0_ohm) / 2)


def test_the_pad_costs_its_loss_and_its_relay_nearly_none(facts_of: Callable[[str, bool], Any]) -> None:
    padded, plain = facts_of("high side", True), facts_of("high side", False)
    shunt, series = (padded["achieved"][f"resistance, pad {slot}"] for slot in ("shunt", "series"))
    loss_db = pad_loss_db(shunt, series, 75.0)
    assert abs(loss_db - 10) < NEAR_DB
    for live, rest, without in zip(padded["loss_live_db"], padded["loss_db"], plain["loss_db"], strict=True):
        assert abs(live - rest - loss_db) < NEAR_DB
        assert abs(rest - without) < 0.05


@pytest.mark.parametrize("drive", ["high side", "low side"])
def test_nothing_falls_short_and_every_part_is_drawn_on_its_nets(
    facts_of: Callable[[str, bool], Any], drive: str
) -> None:
    padded = facts_of(drive, True)
    assert [p for p in padded["problems"] if not p.startswith("price-")] == []
    assert padded["drawn"] == []


def test_every_part_of_the_pad_is_in_schematic_bill_and_layout(
    facts_of: Callable[[str, bool], Any], built: Path
) -> None:
    refs = {ref for ref, stage in facts_of("high side", True)["stages"].items() if stage == "pad"}
    assert len(refs) == 5 + len(("flyback diode", "coil bypass", "series diode"))
    lettered = set(re.findall(r">([A-Z]+[0-9]+)[AB]?<", (built / "schematic.svg").read_text(encoding="utf-8")))
    assert refs <= lettered
    with (built / "bill.csv").open(encoding="utf-8-sig", newline="") as rows:
        billed = {ref for row in csv.reader(rows) for cell in row for ref in cell.split()}
    assert refs <= billed
    placed = (built / "fabrication" / "positions.csv").read_text(encoding="utf-8")
    assert refs <= set(re.findall(r"[A-Z]+[0-9]+", placed))


def test_it_counts_in_the_estimate_of_a_board_that_is_not_laid_out(facts_of: Callable[[str, bool], Any]) -> None:
    (wide, high), (_, plain) = (facts_of("high side", with_pad)["estimated_m"] for with_pad in (True, False))
    assert wide > 0
    assert high == pytest.approx(plain + 25e-3)


def test_its_relay_is_read_on_the_bench_by_its_own_line(facts_of: Callable[[str, bool], Any], built: Path) -> None:
    padded = facts_of("high side", True)
    (relay,) = (ref for ref, stage in padded["stages"].items() if stage == "pad" and ref.startswith("K"))
    assert padded["volts"][f"volts at the coil of {relay}"] > 10
    assert not any(relay in name for name in facts_of("high side", False)["volts"])
    pages = "".join((built / name).read_text(encoding="utf-8") for name in ("book.html", "appendix.html"))
    book = re.sub("<[^>]*>", " ", pages)
    assert re.search(rf"{relay} pins \d+ and \d+ +coil ", book)
    assert "Supply on the line pad" in book
    assert re.search("pad: a switch of its own from the supply&#39;s fused plus, conductor [a-z/]+", book)


@pytest.mark.parametrize("drive", ["high side", "low side"])
def test_its_coil_counts_in_fuse_and_conductors_and_on_the_common_return(
    facts_of: Callable[[str, bool], Any], drive: str
) -> None:
    padded, plain = facts_of(drive, True), facts_of(drive, False)
    fuse, conductors = "cable fuse, control entry cable", "conductors, control entry cable"
    # one coil was live at a time, now two are
    assert padded["required"][fuse] == pytest.approx(2 * plain["required"][fuse])
    assert padded["required"][conductors] == plain["required"][conductors] + 1
    for facts, others in ((padded, 1), (plain, 0)):
        told = facts["achieved"]["relay voltage, selector relay"]
        assert told == pytest.approx(facts["coil_v_by_nodes"][others], rel=1e-3)
    assert padded["coil_v_by_nodes"][1] < padded["coil_v_by_nodes"][0] - 0.01

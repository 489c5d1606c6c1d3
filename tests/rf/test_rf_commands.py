"""Prediction through the command, in a process of its own."""

import re
import subprocess
import sys

import numpy as np
import pytest

from boardgen.design import make_design
from boardgen.request import Request
from boardgen.spec.load import read_text
from tests.rf.rf_boards import BOARDS, catalogue
from tests.rf.rf_peers import module

PINNED = '[parts]\ncore = "core-73-202"\n'
"""With it refinement has four boards to try, not fifty."""
CANNOT = '[targets]\ninsertion_loss = "0.01 dB"\ncommon_mode = "500 kohm"\n'


def run(folder, text, *arguments):
    """The finished process, on a specification in that folder."""
    (folder / "board.toml").write_text(text)
    command = [sys.executable, "-m", "boardgen", arguments[0], "board.toml", *arguments[1:]]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, encoding="utf-8")


@pytest.mark.slow
def test_targets_that_cannot_be_met(tmp_path):
    """Exit 1, and one paragraph with the numbers of all that cannot hold together; a build still writes its files."""
    done = run(tmp_path, BOARDS["default"] + PINNED + CANNOT, "build")
    assert done.returncode == 1
    assert done.stderr == ""
    paragraph = next(line for line in done.stdout.splitlines() if "all targets together" in line)
    for words in (
        "insertion loss is",
        "wanted is at most 0.01 dB",
        "common-mode impedance is",
        "wanted is at least 500 kohm",
    ):
        assert words in paragraph
    reached = float(re.search(r"insertion loss is ([0-9.]+) dB", paragraph)[1])
    assert 0.1 < reached < 0.8
    assert (tmp_path / "output" / "switch board" / "response.csv").is_file()


def test_targets_that_hold(tmp_path):
    """Exit 0 and no such paragraph."""
    done = run(tmp_path, BOARDS["default"], "response")
    assert done.returncode == 0
    assert "cannot hold" not in done.stdout


@pytest.mark.peer
@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(("label", "state"), [("way 3", "way 3"), ("none", None)])
def test_chosen_state(label, state, tmp_path):
    """Touchstone and deck of that state, which is named in both beside the ports."""
    skrf = module("skrf")
    assert run(tmp_path, BOARDS["default"], "response", "--selected", label, "--out", "states").returncode == 0
    folder = tmp_path / "states" / f"switch board {label}"
    head = (folder / "response.s10p").read_text()
    assert f"selected: {label}" in head.splitlines()[0]
    assert "! Port[5] = way 3 differential" in head
    deck = (folder / "response.cir").read_text()
    assert f"* selected: {label};" in deck
    assert "5 way 3 differential" in deck
    read = skrf.Network(str(folder / "response.s10p"))
    solved = make_design(Request(read_text(BOARDS["default"]), catalogue()), predicted=True).prediction.network
    ours = solved.solve(solved.operated(state), solved.blocks(np.asarray(read.f))).matrix()[0]
    assert np.abs(read.s - ours).max() < 1e-7
    # written again over itself, but never over another's work
    assert run(tmp_path, BOARDS["default"], "response", "--selected", label, "--out", "states").returncode == 0
    (folder / "notes.txt").write_text("mine")
    refused = run(tmp_path, BOARDS["default"], "response", "--selected", label, "--out", "states")
    assert refused.returncode == 2
    assert "notes.txt" in refused.stderr


@pytest.mark.parametrize("arguments", [["--selected", "way 9", "--out", "states"], ["--selected", "way 1"]])
def test_wrong_state(arguments, tmp_path):
    """What is not there, or would be written nowhere, is refused."""
    done = run(tmp_path, BOARDS["default"], "response", *arguments)
    assert done.returncode == 2
    assert "way 9" in done.stderr or "--out" in done.stderr
    assert not (tmp_path / "states").exists()


@pytest.mark.slow
def test_targets_that_exclude_each_other(tmp_path):
    """Each is met by some board on offer; the paragraph names that board and what it misses."""
    text = BOARDS["default"] + '[targets]\ninsertion_loss = "0.3 dB"\ncommon_mode = "4.5 kohm to 3.5 MHz"\n'
    done = run(tmp_path, text, "response")
    assert done.returncode == 1
    paragraph = next(line for line in done.stdout.splitlines() if "all targets together" in line)
    words = (
        r"The common-mode impedance is ([0-9.]+) kohm with .*core [0-9]+.*, but then insertion loss is ([0-9.]+) dB at"
    )
    kilohm, loss = re.search(words, paragraph).groups()
    assert float(kilohm) >= 4.5
    assert float(loss) > 0.3

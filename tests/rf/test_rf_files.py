"""The files of a prediction: read back, the same bytes every time, and what they say."""

import csv
import io
import json
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from rf_boards import BOARDS, design
from rf_peers import module

from boardgen.cli.app import main
from boardgen.design import Design
from boardgen.documents.response import csv_bytes, touchstone_bytes
from boardgen.documents.response_plot import response_svg
from boardgen.files.touchstone import touchstone


def fresh(name):
    """The same board predicted anew."""
    found = design(name)
    return Design(found.spec, found.catalogue).prediction


@pytest.mark.parametrize("name", ["default", "common-mode choked"])
@pytest.mark.parametrize("make", [csv_bytes, response_svg, touchstone_bytes, lambda p: p.deck()])
def test_same_bytes(name, make):
    """Whoever predicts it, and whenever."""
    assert make(fresh(name)) == make(design(name).prediction)


@pytest.mark.peer
@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("name", ["default", "one floating", "other impedance"])
def test_touchstone_is_read_back(name, tmp_path):
    """By a library that knows nothing of this program: the matrix, the impedance, the frequencies."""
    skrf = module("skrf")
    prediction = design(name).prediction
    file_name, content = touchstone_bytes(prediction)
    (tmp_path / file_name).write_bytes(content)
    read = skrf.Network(str(tmp_path / file_name))
    points, matrix, names, _ = prediction.s_matrix()
    assert read.nports == len(names)
    assert np.allclose(read.f, points, rtol=1e-9)
    assert np.abs(read.s - matrix).max() < 1e-10
    assert np.allclose(read.z0, 75)


def test_touchstone_with_two_ports_keeps_the_old_order():
    """S21 comes before S12 in files of two ports only."""
    matrix = [[11 + 0j, 12 + 0j], [21 + 0j, 22 + 0j]]
    text = touchstone([1e6], [matrix], ["a", "b"], 50, ["tést"]).decode()
    assert text.splitlines()[0] == "! t?st"
    numbers = [float(x) for x in text.splitlines()[-1].split()]
    assert numbers[1::2] == [11, 21, 12, 22]


def test_csv_is_the_response():
    """One row for each frequency and antenna, with the worst idle antenna named."""
    prediction = design("unlike strips").prediction
    rows = list(csv.DictReader(io.StringIO(csv_bytes(prediction).decode())))
    assert len(rows) == len(prediction.network.antennas) * prediction.response.frequency_hz.size
    for row in rows[:: len(rows) // 7]:
        assert row["isolation_of"] not in ("", row["selected"])
        assert float(row["mode_conversion_low_db"]) <= float(row["mode_conversion_high_db"])
        assert 0 < float(row["loss_bound_db"]) < float(row["insertion_loss_db"])


def test_plot_holds_limits_and_bands():
    """Words a reader looks for, in text that stays text."""
    texts = ["".join(e.itertext()) for e in ElementTree.fromstring(response_svg(design("default").prediction)).iter()]
    for word in ("at most 0.8 dB", "at least 55 dB", "at least 3 kohm", "80 m", "frequency, MHz", "worst"):
        assert any(word in text for text in texts)


def test_command(tmp_path, capsys):
    """Prints the table and judges the targets; exit 1 with a paragraph where one is not met."""
    path = tmp_path / "board.toml"
    path.write_text(BOARDS["default"])
    assert main(["response", str(path), "--boards", "20"]) == 0
    printed = capsys.readouterr().out
    for word in (
        "insertion loss",
        "met:",
        "boards, part tolerances alone",
        "nothing floats",
        "open contact capacitance",
    ):
        assert word in printed
    path.write_text(BOARDS["default"] + '[targets]\nisolation = "150 dB"\n')
    assert main(["response", str(path), "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert document["shortfalls"][0]["id"] == "R001 target"
    assert "What limits it most" in document["shortfalls"][0]["found"]
    assert main(["response", str(path), "--boards", "-1"]) == 2
    capsys.readouterr()

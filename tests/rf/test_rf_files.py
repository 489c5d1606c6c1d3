"""The files of a prediction: read back, the same bytes every time, and what they say."""

import csv
import io
import json
import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from msgspec.structs import replace

from boardgen.cli.app import main
from boardgen.design import make_design
from boardgen.documents.json.response import targets_document
from boardgen.documents.plots.response import response_svg
from boardgen.documents.receive_path import rows
from boardgen.documents.response import (
    edge_rows,
    state_files,
    target_rows,
)
from boardgen.documents.response_table import response_csv
from boardgen.request import Request
from boardgen.rf.bounds import CORE_MODEL
from boardgen.rf.response import LOSS_BOUND, LOW_ANGLE_BOUND
from boardgen.spec.load import read_text
from tests.rf.rf_boards import BOARDS, catalogue, design
from tests.rf.rf_peers import module


def fresh(name):
    """The same board predicted anew."""
    found = design(name)
    return make_design(Request(found.spec, found.catalogue)).prediction


@pytest.mark.parametrize("name", ["default", "common-mode choked"])
@pytest.mark.parametrize("make", [response_csv, response_svg, state_files])
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
    ((file_name, content),) = ((n, c) for n, c in state_files(prediction).items() if n != "response.cir")
    (tmp_path / file_name).write_bytes(content)
    read = skrf.Network(str(tmp_path / file_name))
    points, matrix, names = prediction.s_matrix()
    assert read.nports == len(names)
    assert np.allclose(read.f, points, rtol=1e-9)
    assert np.abs(read.s - matrix).max() < 1e-10
    assert np.allclose(read.z0, 75)


def test_csv_is_the_response():
    """One row for each frequency and antenna, with the worst idle antenna named."""
    prediction = design("unlike strips").prediction
    rows = list(csv.DictReader(io.StringIO(response_csv(prediction).decode())))
    assert len(rows) == len(prediction.network.antennas) * prediction.response.frequency_hz.size
    for row in rows[:: len(rows) // 7]:
        assert row["isolation_of"] not in ("", row["selected"])
        assert float(row["mode_conversion_low_db"]) <= float(row["mode_conversion_high_db"])
        assert 0 < float(row["loss_bound_db"]) < float(row["insertion_loss_db"])


def test_plot_holds_limits_and_bands():
    """Words a reader looks for, in text that stays text."""
    texts = ["".join(e.itertext()) for e in ElementTree.fromstring(response_svg(design("default").prediction)).iter()]
    for word in ("at most 0.80 dB", "at least 55.0 dB", "at least 3 kohm", "80 m", "frequency, MHz", "worst"):
        assert any(word in text for text in texts)


def test_command(tmp_path, capsys):
    """Prints the table and judges the targets; exit 1 with a paragraph where one is not met."""
    path = tmp_path / "board.toml"
    path.write_text(BOARDS["default"])
    assert main(["response", str(path), "--boards", "20"]) == 0
    printed = capsys.readouterr().out
    for word in (
        "insertion loss",
        "verdict",
        "boards, part tolerances alone",
        "nothing floats",
        "through capacitance",
    ):
        assert word in printed
    # the core is pinned, so that refinement has few boards to try
    path.write_text(BOARDS["default"] + '[parts]\ncore = "core-73-202"\n[targets]\nreturn_loss = "50 dB"\n')
    assert main(["response", str(path), "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    shortfalls = {p["id"]: p["found"] for p in document["shortfalls"]}
    assert "What limits it most" in shortfalls["R001 target"]
    assert main(["response", str(path), "--boards", "-1"]) == 2
    capsys.readouterr()


def thick(factor, **measured):
    """The default board on mix 77 alone, its section that much larger and its winding data the same."""
    known = catalogue()
    sizes = ("width", "height", "hole spacing")
    parts = {}
    for key, part in known.parts.items():
        grown = {n: replace(f, value=factor * f.value) if n in sizes else f for n, f in part.figures.items()}
        if part.kind != "core":
            parts[key] = part
        elif part.attributes["material"] == "77":
            parts[key] = replace(part, figures=grown)
    return make_design(Request(read_text(BOARDS["default"]), replace(known, parts=parts), **measured))


def test_large_cores_of_these_mixes_are_not_known_to_the_model():
    """A warning with the wall, and a bound of three times the loss above 2 MHz; not for small ones, nor measured."""
    small, large = thick(1.0).prediction, thick(2.2).prediction
    assert "R004 large core" not in {p.id for p in small.problems}
    warning = next(p for p in large.problems if p.id == "R004 large core")
    assert warning.severity == "warning"
    assert re.search(r"wall of [5-9]\.[0-9] mm; parts of mix 77 over 5 mm", warning.found)
    assert large.response.loss_bound(large.response.at(1.8e6)) < 1
    assert large.response.loss_bound(large.response.at(3.5e6)) == pytest.approx(2)
    row = next(row for row in edge_rows(large) if row[0] == "insertion loss")
    nominal, most = re.fullmatch(r"([0-9.]+) dB \([0-9.]+ to ([0-9.]+) dB\)", row[-3]).groups()
    assert float(most) == pytest.approx(3 * float(nominal), rel=0.02)
    loss = large.verdicts[0]
    assert loss.state == "met as stated"
    assert (loss.rests_on[0].unknown.name, loss.rests_on[0].keeps) == (CORE_MODEL, 0.8 / loss.bound.nominal)
    measured = thick(2.2, measured={"core": ((100e3, 2000 - 10j), (30e6, 200 - 400j))}).prediction
    assert "R004 large core" not in {p.id for p in measured.problems}


def test_the_bound_is_that_of_what_is_lost_in_cores():
    """None on a board without a core; else at most the model's share, and less where contacts and mismatch lose too."""
    bare = make_design(Request(read_text(BOARDS["no breakers"]), catalogue())).prediction
    assert {bare.response.loss_bound(at) for at in range(bare.response.frequency_hz.size)} == {0}
    wound = make_design(Request(read_text(BOARDS["default"]), catalogue())).prediction.response
    assert all(0 < wound.loss_bound(at) < LOW_ANGLE_BOUND for at in range(wound.frequency_hz.size))
    assert 0 < wound.loss_bound(wound.at(10e6)) < 0.8 * LOSS_BOUND


def test_every_predicted_loss_has_its_bound():
    """In the table at the band's edges, beside the target, for the system, and in the document."""
    prediction = make_design(
        Request(read_text(BOARDS["default"] + '[feeder]\ncable = "RG-6 copper centre"\n'), catalogue())
    ).prediction
    row = next(row for row in edge_rows(prediction) if row[0] == "insertion loss")
    assert all(re.fullmatch(r"[0-9.]+ dB \([0-9.]+ to [0-9.]+ dB\)", cell) for cell in row[1:-2])
    target = next(row for row in target_rows(prediction) if row[0] == "insertion loss")
    assert re.fullmatch(r"[0-9.]+ to [0-9.]+ dB", target[2])
    assert all("+-" in row[1] for row in rows(prediction))
    target = targets_document(prediction)[0]
    share = prediction.response.loss_bound(prediction.response.at(target.at_hz))
    assert 0 < share < 0.55
    assert target.lowest <= (1 - share) * target.achieved
    assert target.highest >= (1 + share) * target.achieved

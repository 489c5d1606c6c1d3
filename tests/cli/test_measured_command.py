"""boardgen measured as a user has it: files named after their sweeps, what is said and written."""

import json

import numpy as np
import pytest

from boardgen.catalogue import load as load_catalogue
from boardgen.design import make_design
from boardgen.formats.touchstone import touchstone
from boardgen.request import Request
from boardgen.spec.load import load

pytestmark = pytest.mark.slow
FOLDER = "output/Larkfield two-way measured"


def sweep(network, ports, selected):
    """The S parameters that are predicted, as an instrument of 75 ohm would write them."""
    hertz = np.geomspace(1.8e6, 10.15e6, 40)
    operated = network.operated(selected)
    solution = network.solve(operated, network.state(operated, hertz))
    ends = [(port, "differential") for port in ports]
    s = np.moveaxis(np.array([[solution.s(to, source)[0] for source in ends] for to in ends]), -1, 0)
    return touchstone(hertz, s, ports, 75.0, ("made for a test",))


@pytest.fixture
def files(user):
    user.start("two-way")
    network = make_design(Request(load(user.here / "board.toml"), load_catalogue()), predicted=True, laid_out=True)
    network = network.prediction.network
    for ports, selected in ((("ridge", "output"), "ridge"), (("marsh", "output"), "ridge")):
        name = f"{' to '.join(ports)} with {selected}.s2p"
        (user.here / name).write_bytes(sweep(network, ports, selected))
    (user.here / "wrong.s2p").write_bytes(sweep(network, ("ridge", "output"), "marsh"))
    return [path.name for path in sorted(user.here.glob("* with *.s2p"))]


def test_a_board_as_predicted_is_sound_and_a_swapped_cable_is_not(user, files):
    said = user.good("measured", "board.toml", *files)
    assert "as sound as built boards are" in said
    assert "loss from ridge to output with ridge selected" in said
    assert {path.name for path in (user.here / FOLDER).iterdir()} == {
        "manifest.json",
        "measured.csv",
        "measured.svg",
        "ohms.csv",
    }
    done = user.run("measured", "board.toml", "wrong.s2p", "--as", "ridge to output with ridge", "--json")
    document = json.loads(done.stdout)
    assert (done.returncode, document["sound"]) == (1, False)
    assert document["schema"] == "boardgen measured 1"
    assert document["verdict"]


def test_every_file_that_cannot_be_used_is_named(user, files):
    (user.here / "torn.s2p").write_text("# MHz S MA R 50\n1 0.1 0.2\n")
    said = user.refused("measured", "board.toml", "torn.s2p", "wrong.s2p", "notes.txt")
    assert all(name in said for name in ("torn.s2p", "wrong.s2p", "notes.txt"))

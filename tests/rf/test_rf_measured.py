"""A user's own measurements take the place of the catalogue's figures."""

import json
import re

import numpy as np
import pytest

from boardgen.catalogue.measurement import read_measurement
from boardgen.cli.app import main
from boardgen.design import make_design
from boardgen.inputs.board import Sources, read_request
from boardgen.model.problem import InputError
from boardgen.request import Request, candidates
from boardgen.spec.load import read_text
from tests.rf.dense import dense_s
from tests.rf.rf_boards import BOARDS, FED, catalogue, text
from tests.rf.rf_peers import module, program
from tests.rf.test_rf_simulator_peer import simulated

CORE = "frequency_hz,mu_real,mu_imag\n100e3,1000,10\n1e6,900,300\n30e6,100,200\n"
CABLE = "frequency_hz,db_per_100m\n100e3,0.5\n2e6,1.2\n30e6,4\n"
CHOKE = "frequency_hz,ohm_real,ohm_imag\n100e3,5,100\n2e6,300,3000\n30e6,90,-500\n"


def written(tmp_path, content, name="own.csv"):
    """A file with that text."""
    path = tmp_path / name
    path.write_text(content)
    return path


def test_tables_are_read(tmp_path):
    """Loss of a core is written positive and kept negative."""
    assert read_measurement(written(tmp_path, CORE), "core", 1e6, 10e6)[1] == (1e6, 900 - 300j)
    assert read_measurement(written(tmp_path, "# mine\n" + CHOKE), "choke", 1e6, 10e6)[2] == (30e6, 90 - 500j)


@pytest.mark.parametrize("form", ["RI", "MA", "DB"])
def test_one_port_file(form, tmp_path):
    """Every form of number, against the impedance it was made from."""
    ohms = [3 + 40j, 200 + 900j]
    lines = [f"! mine\n# MHz S {form} R 50"]
    for megahertz, ohm in zip((1, 20), ohms, strict=True):
        s = (ohm - 50) / (ohm + 50)
        size, angle = abs(s), np.angle(s, deg=True)
        pair = {"RI": (s.real, s.imag), "MA": (size, angle), "DB": (20 * np.log10(size), angle)}[form]
        lines.append(f"{megahertz} {pair[0]:.12g} {pair[1]:.12g}")
    got = read_measurement(written(tmp_path, "\n".join(lines), "own.s1p"), "choke", 1.8e6, 10e6)
    assert [f for f, _ in got] == [1e6, 20e6]
    assert [z for _, z in got] == pytest.approx(ohms, rel=1e-8)


@pytest.mark.parametrize(
    ("content", "key", "line"),
    [
        (CORE.replace("900,", "x,"), "core", 3),
        ("# mine\n" + CHOKE.replace("2e6", "50e3"), "choke", 4),
        (CABLE + "40e6,4,1\n", "cable", 5),
        (CABLE.replace("1.2", "-1.2"), "cable", 3),
        (CABLE.replace("2e6", "inf"), "cable", 3),
        (CABLE.replace("db_per_100m", "db"), "cable", 1),
    ],
)
def test_line_is_named(content, key, line, tmp_path):
    """Of the measurement, with the key of the specification."""
    path = written(tmp_path, content)
    with pytest.raises(InputError) as caught:
        read_measurement(path, key, 1.8e6, 10e6)
    assert str(caught.value.problems[0].place) == f"{path}:{line}: measured.{key}"


@pytest.mark.parametrize(
    ("content", "name", "key", "found"),
    [
        ("nothing", "own.csv", "core", "heading"),
        (CORE.replace("1e6,", "50e3,"), "own.csv", "core", "do not rise"),
        (CORE.replace("30e6", "9e6"), "own.csv", "core", "covers"),
        (CORE.replace("300\n", "-300\n"), "own.csv", "core", "gains"),
        (CORE.replace("900,300", "0,0"), "own.csv", "core", "no loss at all"),
        (CORE.replace("900", "nan"), "own.csv", "core", "mu_real 'nan' is not a number"),
        (CHOKE.replace("300,", "-300,"), "own.csv", "choke", "gains"),
        ("# MHz Z RI R 50\n1 2 3\n", "own.s1p", "choke", "no S parameters"),
        ("# MHz S RI R 50\n1 2\n", "own.s1p", "choke", "cannot be read"),
        ("# MHz S RI R 50\n1 1 0\n", "own.s1p", "choke", "no impedance"),
        (CORE, "own.s1p", "core", "one-port file"),
        (CABLE[: CABLE.index("2e6")], "own.csv", "cable", "1 points"),
    ],
)
def test_refused(content, name, key, found, tmp_path):
    """With the key and the reason."""
    with pytest.raises(InputError) as caught:
        read_measurement(written(tmp_path, content, name), key, 1.8e6, 10e6)
    problem = caught.value.problems[0]
    assert found in problem.found
    assert problem.place.key == f"measured.{key}"


def measured_design():
    """A fed board with both measured."""
    curves = {
        "core": ((100e3, 1000 - 10j), (1e6, 900 - 300j), (30e6, 100 - 200j)),
        "choke": ((100e3, 5 + 100j), (2e6, 300 + 3000j), (30e6, 90 - 500j)),
    }
    return make_design(Request(read_text(text([FED, ""])), catalogue(), measured=curves))


def test_prediction_takes_them():
    """The curve between its points is a straight line over the logarithm; block and dense solver agree."""
    measured = measured_design().prediction
    plain = make_design(Request(read_text(text([FED, ""])), catalogue())).prediction
    assert measured.judged[0].achieved > plain.judged[0].achieved * 1.2
    points = np.geomspace(1.8e6, 10e6, 5)
    operated = measured.network.operated(measured.network.antennas[0])
    ours = measured.network.solve(operated, measured.network.blocks(points)).matrix()[0]
    assert np.abs(ours - dense_s(measured.network, operated, points)).max() < 1e-12


@pytest.mark.peer
def test_simulator_agrees(tmp_path):
    """The deck carries the measured curves."""
    module("numpy")
    network = measured_design().prediction.network
    selection = network.selections[1]
    frequencies, theirs = simulated(program("ngspice"), network, selection, tmp_path, "lin 9 1.8e6 10e6")
    ours = network.solve(selection.operated, network.blocks(frequencies)).matrix()[0]
    there = np.abs(ours) > 1e-9
    assert np.abs(20 * np.log10(np.abs(theirs[there] / ours[there]))).max() < 1e-5


PINNED = '[parts]\ncore = "core-73-202"\n'


@pytest.mark.parametrize("parts", ["", PINNED + 'output_core = "core-43-202"\n'])
def test_a_measured_permeability_belongs_to_the_core_that_is_pinned(parts, tmp_path, capsys):
    """No other core is predicted with it, and none is offered in its place."""
    written(tmp_path, CORE)
    path = written(tmp_path, BOARDS["default"] + parts + '[measured]\ncore = "own.csv"\n', "board.toml")
    assert main(["values", str(path)]) == 2
    said = capsys.readouterr().err
    assert "measured.core" in said
    assert "[parts]" in said


def test_from_the_specification(tmp_path, capsys):
    """The path is beside the specification."""
    written(tmp_path, CORE)
    path = written(tmp_path, BOARDS["default"] + PINNED + '[measured]\ncore = "own.csv"\n', "board.toml")
    main(["response", str(path), "--json"])
    own = json.loads(capsys.readouterr().out)["targets"][0]["achieved"]
    path.write_text(BOARDS["default"] + PINNED)
    main(["response", str(path), "--json"])
    assert own != json.loads(capsys.readouterr().out)["targets"][0]["achieved"]
    path.write_text(BOARDS["default"] + '[measured]\ncore = "absent.csv"\n')
    assert main(["response", str(path)]) == 2
    assert "measured.core" in capsys.readouterr().err


NAMED = '[parts]\nrelay = "relay-tq2-12"\n'
RELAY = (
    NAMED
    + """
[measured.relay]
open_contact_capacitance = "{capacitance}"
contact_resistance = "{resistance}"
"""
)


def with_relay(capacitance="1 pF", resistance="80 mohm"):
    """Its prediction."""
    own = RELAY.format(capacitance=capacitance, resistance=resistance)
    return make_design(Request(read_text(BOARDS["no breakers"] + own), catalogue())).prediction


def figure(prediction, quantity):
    """At 3.5 MHz, first antenna."""
    curve = prediction.response.of(quantity)[0]
    return float(curve.values[prediction.response.at(3.5e6)])


def test_relay_as_measured():
    """A fifth of the open contact is 14 dB of isolation, and each ohm of two closed contacts its share of the loss."""
    plain, small, bad = with_relay(), with_relay("0.2 pF"), with_relay(resistance="1.08 ohm")
    assert figure(small, "isolation") - figure(plain, "isolation") == pytest.approx(20 * np.log10(5), abs=1)
    assert figure(bad, "insertion loss") - figure(plain, "insertion loss") == pytest.approx(2 * 4.34 / 75, rel=0.05)
    measured = {p.shown for e in plain.network.elements for p in e.parameters if p.standing == "measured"}
    assert measured == {"open contact capacitance", "contact resistance"}


def test_a_curve_counts_before_a_meter():
    """And both before the catalogue."""
    both = NAMED + '[measured.relay]\nopen_contact_capacitance = "1 pF"\nthrough_capacitance = "0.1 pF"\n'
    made = make_design(Request(read_text(BOARDS["no breakers"] + both), catalogue())).prediction
    found = {(p.shown, p.value) for e in made.network.elements for p in e.parameters if p.standing == "measured"}
    assert found == {("through capacitance", 0.1e-12)}


ISOLATION = "frequency_hz,isolation_db\n5e6,65\n30e6,50\n100e6,40\n"
CURVE = NAMED + '[measured.relay]\nisolation = "own.csv"\nisolation_impedance = "75 ohm"\n'
SAID = 'isolation_source = "a maker, on a test board"\n'


def test_a_curve_of_isolation_is_fitted(tmp_path):
    """The relay that is named lets through what its curve says, and the source is told with the figure."""
    written(tmp_path, ISOLATION)
    request = read_request(written(tmp_path, BOARDS["no breakers"] + CURVE + SAID, "board.toml"), Sources())
    made = make_design(request).prediction
    found = {p.shown: p for e in made.network.elements for p in e.parameters if p.standing == "measured"}
    assert set(found) == {"through capacitance"}
    assert found["through capacitance"].value == pytest.approx(0.112e-12, rel=0.05, abs=0)
    assert found["through capacitance"].low < found["through capacitance"].value < found["through capacitance"].high
    assert "in 75 ohm: a maker, on a test board" in found["through capacitance"].source


def test_a_curve_to_the_coil(tmp_path):
    """In the place of the capacitance to the moving contact; it need not cover the band."""
    written(tmp_path, ISOLATION)
    own = CURVE.replace("isolation =", "coil_isolation =") + SAID
    request = read_request(written(tmp_path, BOARDS["no breakers"] + own, "board.toml"), Sources())
    relay = candidates(request, "relay", "relay")[0]
    assert relay.figures["coil to contact capacitance"].standing == "measured"
    assert "through capacitance" not in relay.figures or relay.figures["through capacitance"].standing != "measured"


@pytest.mark.parametrize(
    ("content", "said", "key"),
    [
        (ISOLATION, "", "measured.relay.isolation_source"),
        (ISOLATION.replace("65", "-65"), SAID, "measured.relay.isolation"),
        (ISOLATION.replace("40", "62"), SAID, "measured.relay.isolation"),
    ],
)
def test_a_curve_that_is_none(content, said, key, tmp_path, capsys):
    """Nobody's, one that gains, and one that is not that of a capacitance."""
    written(tmp_path, content)
    path = written(tmp_path, BOARDS["default"] + CURVE + said, "board.toml")
    assert main(["response", str(path)]) == 2
    assert key in capsys.readouterr().err


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ('open_contact_capacitance = "6 uF"', "is too high"),
        ("open_contact_capacitance = 6", "unit"),
        ('open_contact_capacitence = "6 pF"', "open_contact_capacitance"),
    ],
)
def test_relay_refused(line, found, tmp_path, capsys):
    """With file, line and key."""
    content = BOARDS["default"] + "[measured.relay]\n" + line + "\n"
    path = written(tmp_path, content, "board.toml")
    assert main(["response", str(path)]) == 2
    printed = capsys.readouterr().err
    assert f"{path}:{content.count(chr(10))}: measured.relay.open" in printed
    assert found in printed


def test_measured_cable(tmp_path, capsys):
    """Its own attenuation over its length, whatever cable is named; absent files name the key."""
    written(tmp_path, CABLE)
    feeder = '[feeder]\nlength = "250 m"\n[measured]\ncable = "own.csv"\n'
    path = written(tmp_path, BOARDS["default"] + feeder, "board.toml")
    main(["response", str(path), "--json"])
    document = json.loads(capsys.readouterr().out)
    found = {p["frequency_hz"]: p["coax_db"] for p in document["path"]}
    share = np.log(10.15 / 2) / np.log(15)
    assert found[10.15e6] == pytest.approx(2.5 * 1.2 * (4 / 1.2) ** share)
    assert document["path_sentences"][0].startswith("250 m of coax as measured")
    path.write_text(BOARDS["default"] + feeder.replace("own", "absent"))
    assert main(["response", str(path)]) == 2
    assert "measured.cable" in capsys.readouterr().err


def test_feeder(tmp_path, capsys):
    """One sentence says whether loss matters."""
    short = '[feeder]\ncable = "RG-6 copper centre"\nlength = "20 m"\nenvironment = "city"\nantenna_gain = "-5 dB"\n'
    path = written(tmp_path, BOARDS["default"] + short, "board.toml")
    assert main(["response", str(path)]) == 0
    assert "which is not heard" in capsys.readouterr().out
    path.write_text(BOARDS["default"] + '[feeder]\ncable = "RG-59"\nlength = "300 m"\nenvironment = "quiet rural"\n')
    main(["response", str(path)])
    printed = capsys.readouterr().out
    assert re.search(r"300 m of RG-59: coax and board cost [0-9.]+ dB of weak signals at 10.1[0-9]* MHz", printed)
    assert "RG-11 foam as main coax gains" in printed
    assert "amplifier at the box" in printed
    assert "upper bound" in printed

"""Sweeps as network analysers write them: read as another library reads them, or refused in words with the line."""

import numpy as np
import pytest
import skrf

from boardgen.formats.read_touchstone import read_touchstone
from boardgen.measuring.sweep import LIGHT_M_PER_S, Sweep, connected, referred, shortened
from boardgen.model.problem import InputError
from tests.rf.rf_boards import design

RANDOM = np.random.default_rng(3)
HERTZ = np.linspace(1.8e6, 30e6, 7)


def network(ports, ohm=50.0):
    s = (RANDOM.normal(size=(7, ports, ports)) + 1j * RANDOM.normal(size=(7, ports, ports))) * 0.3
    return skrf.Network(f=HERTZ, f_unit="Hz", s=s, z0=ohm)


def as_text(one, tmp_path, form, unit):
    """As scikit-rf writes it."""
    other = one.copy()
    other.frequency.unit = unit
    other.write_touchstone("sweep", dir=str(tmp_path), form=form)
    return next(tmp_path.glob("sweep.s*p")).read_text()


@pytest.mark.parametrize("ports", [1, 2])
@pytest.mark.parametrize("form", ["db", "ma", "ri"])
@pytest.mark.parametrize("unit", ["Hz", "kHz", "MHz", "GHz"])
def test_every_form_is_read_as_it_was_written(tmp_path, ports, form, unit):
    one = network(ports, 75.0)
    read = read_touchstone(as_text(one, tmp_path, form, unit), "a", ports)
    assert read.frequency_hz == pytest.approx(HERTZ, rel=1e-9)
    assert np.abs(read.s - one.s).max() < 1e-6
    assert read.reference_ohm == (75.0,) * ports


HEAD = "# MHz S MA R 50\n"
TWO = "1 0.1 10 0.9 20 0.8 30 0.2 40\n2 0.1 11 0.9 21 0.8 31 0.2 41\n"


def test_two_ports_stand_column_by_column_and_noise_is_passed_over():
    noise = "! noise\n1 2 0.3 40 0.5\n2 2 0.3 40 0.5\n"
    read = read_touchstone(HEAD + TWO + noise, "a", 2)
    assert len(read.frequency_hz) == 2
    assert abs(read.s[0, 1, 0]) == pytest.approx(0.9)
    assert abs(read.s[0, 0, 1]) == pytest.approx(0.8)


def test_version_2_says_its_order_and_its_references():
    text = (
        "[Version] 2.0\n# MHz S MA R 50\n[Number of Ports] 2\n[Two-Port Data Order] 12_21\n[Number of Frequencies] 2\n"
        f"[Reference]\n50 75\n[Network Data]\n{TWO}[Noise Data]\n1 2 3 4 5\n[End]\n"
    )
    read = read_touchstone(text, "a", 2)
    assert read.reference_ohm == (50.0, 75.0)
    assert abs(read.s[0, 0, 1]) == pytest.approx(0.9)


def test_what_version_2_tells_of_itself_is_passed_over():
    told = "[Version] 2.0\n[Begin Information]\nmade on 3 May\n[Manufacturer] none\n[End Information]\n"
    assert np.array_equal(read_touchstone(told + HEAD + TWO, "a", 2).s, read_touchstone(HEAD + TWO, "a", 2).s)


def test_comments_blank_lines_and_lines_that_go_on_are_nothing_new():
    broken = TWO.replace(" 0.8 30", "\n  0.8 30 ! goes on\n").replace("\n2", "\n\n! two\n2")
    assert np.array_equal(read_touchstone(HEAD + broken, "a", 2).s, read_touchstone(HEAD + TWO, "a", 2).s)


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("", None, "fewer than two"),
        (HEAD, None, "fewer than two"),
        (HEAD + TWO[:40], None, "breaks off"),
        (HEAD + TWO + "3 0.1", None, "breaks off"),
        (HEAD + TWO.replace("0.9", "o.9", 1), 2, "no number"),
        (HEAD + TWO.replace("0.9", "nan", 1), 2, "not finite"),
        (HEAD + TWO.replace("0.9", "inf", 1), 2, "not finite"),
        (HEAD + TWO + "3 " + "1 " * 9, 4, "10 numbers"),
        (HEAD + TWO + "2 0.1 10 0.9 20 0.8 30 0.2 40\n", 4, "do not rise"),
        (HEAD.replace("S MA", "Z MA") + TWO, 1, "no S parameters"),
        (HEAD.replace("50", "0") + TWO, 1, "reference impedance is 0"),
        (HEAD.replace("R 50", "R") + TWO, 1, "absent"),
        (HEAD.replace("50", "fifty") + TWO, 1, "no number"),
        ("[Version] 2.0\n[Number of Ports] 3\n" + HEAD + TWO, 2, "3 ports"),
        ("[Version] 2.0\n[Matrix Format] Lower\n" + HEAD + TWO, 2, "lower"),
        ("[Version] 2.0\n[Mixed-Mode Order] D2,1\n" + HEAD + TWO, 2, "mixed modes"),
        ("[Version] 2.0\n[Reference] 50 75 50\n" + HEAD + TWO, 2, "50 75 50"),
        (HEAD + "\x00\x01\x02\n", 2, "no number"),
        ("PK\x03\x04 zip", 1, "before an option line"),
        (TWO, 1, "before an option line"),
        (TWO + HEAD, 1, "before an option line"),
        (HEAD.replace("MA", "AM") + TWO, 1, "AM, which is not known"),
        (HEAD.replace("MHz", "THz") + TWO, 1, "THZ, which is not known"),
        (HEAD.replace(" R 50", " 50") + TWO, 1, "50, which is not known"),
        (HEAD.replace("50", "-50") + TWO, 1, "reference impedance is -50"),
        (HEAD.replace("50", "nan") + TWO, 1, "not finite"),
        (HEAD.replace("50", "50 75 60") + TWO, 1, "50 75 60"),
        (HEAD.replace("S MA", "H MA") + TWO, 1, "no S parameters"),
        (HEAD + TWO.replace("0.9", "0,9", 1), 2, "no number"),
        (HEAD + TWO.replace("0.9", "0_9", 1), 2, "no number"),
        (HEAD + TWO.replace("0.9", "\u0660.9", 1), 2, "no number"),
        (HEAD + TWO.replace("0.9", "0.9.1", 1), 2, "no number"),
        (HEAD + TWO.replace("0.9", "-0.9", 1), 2, "no board without amplifiers"),
        (HEAD + TWO.replace("0.9", "9e30", 1), 2, "no board without amplifiers"),
        (HEAD.replace("MA", "DB") + TWO.replace("0.9", "9e30", 1), 2, "no board without amplifiers"),
        (HEAD.replace("MA", "RI") + TWO.replace("0.9", "1e308", 1), 2, "no board without amplifiers"),
        (HEAD.replace("MA", "RI") + TWO, 2, "no board without amplifiers"),
        (HEAD + TWO.replace(" 40\n", "\n", 1), 3, "are no pairs"),
        (HEAD + "1 0.1 10\n2 0.1 11\n3 0.1 12\n4 0.1 13\n5 0.1 14\n6 0.1 15\n", 3, "are no pairs"),
        (HEAD + TWO.replace("2 0.1", "1 0.1", 1), 3, "do not rise"),
        (HEAD + TWO.replace("1 0.1", "-1 0.1", 1), 3, "do not rise"),
        (HEAD + TWO.replace("2 0.1", "1e305 0.1", 1), 3, "do not rise"),
        (HEAD + TWO.splitlines()[0], None, "fewer than two"),
        ("! only a comment\n", None, "fewer than two"),
        ("<html><body>not found</body></html>", 1, "before an option line"),
        ("[Version 2.0\n" + HEAD + TWO, 1, "closing bracket"),
        ("[Version] 2.0\n[Two-Port Data Order] 11_22\n" + HEAD + TWO, 2, "11_22"),
        ("[Version] 2.0\n[Two-Port Data Order]\n" + HEAD + TWO, 2, "absent"),
        ("[Version] 2.0\n[Number of Frequencies] 3\n" + HEAD + TWO, None, "2 frequencies and says 3"),
        ("[Version] 2.0\n[Number of Ports] two\n" + HEAD + TWO, 2, "two ports"),
    ],
)
def test_a_damaged_file_is_refused_in_words(text, line, said):
    with pytest.raises(InputError) as raised:
        read_touchstone(text, "north.s2p", 2)
    (problem,) = raised.value.problems
    assert (problem.place.file, problem.place.line) == ("north.s2p", line)
    assert said in problem.found


@pytest.mark.parametrize("ports", [1, 2])
def test_other_references_are_those_of_another_library(ports):
    one = network(ports)
    wanted = [75.0, 60.0][:ports]
    other = one.copy()
    other.renormalize(wanted)
    of = Sweep("a", ("n", "o")[:ports], "n", HERTZ, one.s, (50.0,) * ports)
    assert np.abs(referred(of, wanted).s - other.s).max() < 1e-12


def test_a_line_that_is_taken_off_is_the_one_that_another_library_puts_on():
    one = network(2)
    medium = skrf.media.DefinedGammaZ0(one.frequency, z0=50, gamma=2j * np.pi * HERTZ / (0.7 * LIGHT_M_PER_S))
    line = medium.line(0.3, "m")
    long = line**one**line
    of = Sweep("a", ("n", "o"), "n", HERTZ, long.s, (50.0, 50.0))
    assert np.abs(shortened(of, 0.3, 0.7).s - one.s).max() < 1e-12


@pytest.mark.parametrize(
    ("words", "ports", "selected"),
    [
        ("way 1 to output with way 1", ("way 1", "output"), "way 1"),
        ("Output to WAY 2 with way 1", ("output", "way 2"), "way 1"),
        ("way 2", ("way 2",), "way 2"),
        ("way 3 to output", ("way 3", "output"), "way 3"),
        ("output with nothing", ("output",), ""),
    ],
)
def test_a_name_says_ports_and_state(words, ports, selected):
    assert connected(words, design("default").prediction.network, "a") == (ports, selected)


@pytest.mark.parametrize("words", ["north", "way 1 to way 1", "way 1 to output with output", "output with way 9", ""])
def test_another_name_is_refused_with_what_is_on_the_board(words):
    with pytest.raises(InputError) as raised:
        connected(words, design("default").prediction.network, "a.s2p")
    assert "way 1, way 2" in raised.value.problems[0].wanted

"""Windings measured by others against the program's core model. Bounds catch gross errors; they prove no new core."""

import math

import numpy as np
import pytest

from tests.evidence.measured_models import FT37, FT50, FT240, element, impedance, ring, winding


@pytest.mark.parametrize(
    ("megahertz", "ohm"),
    [
        (1.8, 5.0 + 17.4j), (3.5, 15.7 + 25.8j), (5, 22.8 + 28.7j), (7, 29.6 + 31.1j),
        (10, 37.2 + 33.8j), (14, 45.2 + 36.2j), (20, 54.6 + 38.3j), (30, 66.2 + 39.7j),
    ],
)  # fmt: skip
def test_two_hole_core_of_mix_43(megahertz, ohm):
    """M1: one turn, path constant 1.54 mm, public sweep of ferrite cores, commit eef2ced. 0.80 to 1.05 of the model."""
    got = impedance([winding("43", 1.54e-3, 1)], 1e6 * megahertz)
    assert 0.80 < abs(ohm) / abs(got) < 1.05


def test_shape_of_mix_43():
    """M1: one factor of about 0.9 brings the model within 3 % rms of the sweep."""
    points = {1.8: 18.1, 3.5: 30.2, 5: 36.7, 7: 42.9, 10: 50.3, 14: 57.9, 20: 66.7, 30: 77.2}
    ratios = [z / abs(impedance([winding("43", 1.54e-3, 1)], 1e6 * f)) for f, z in points.items()]
    assert np.mean(ratios) == pytest.approx(0.90, abs=0.04)
    assert np.std(ratios) / np.mean(ratios) < 0.03


@pytest.mark.parametrize(
    ("megahertz", "ohm"),
    [
        (1.8, 0.76 + 4.24j),
        (3.5, 3.28 + 6.78j),
        (7, 6.96 + 8.71j),
        (10, 9.09 + 9.67j),
        (14, 11.3 + 10.6j),
        (28, 16.9 + 12.2j),
    ],
)
def test_small_ring_of_mix_43(megahertz, ohm):
    """M2: one turn, path constant 0.348 mm, the same sweeps. 0.85 to 1.20."""
    assert 0.85 < abs(ohm) / abs(impedance([winding("43", 0.348e-3, 1)], 1e6 * megahertz)) < 1.20


@pytest.mark.parametrize(
    ("megahertz", "ohm"),
    [(1.8, 1.83 + 16.1j), (3.5, 11.0 + 28.1j), (7, 26.4 + 37.8j), (10, 35.1 + 42.6j), (28, 68.2 + 60.5j)],
)
def test_second_small_ring_of_mix_43(megahertz, ohm):
    """M3: two turns, 9.55/4.75/3.2 mm, the same sweeps. 0.8 to 1.25; its loss is not asserted."""
    got = impedance([winding("43", ring(9.55, 4.75, 3.2), 2)], 1e6 * megahertz)
    assert 0.80 < abs(ohm) / abs(got) < 1.25


@pytest.mark.parametrize(
    ("one_turn", "bound"),
    [({1.8: 18.1, 3.5: 30.2, 7: 42.9, 14: 57.9, 28: 75.0}, 0.55)],
)
def test_loss_bound(one_turn, bound):
    """M1 scaled to four turns across 50 ohm: measured 0.232, 0.240, 0.218, 0.182, 0.153 dB; the stated bound holds."""
    measured = {1.8: 0.232, 3.5: 0.240, 7: 0.218, 14: 0.182, 28: 0.153}
    for megahertz in one_turn:
        shunt = impedance([winding("43", 1.54e-3, 4)], 1e6 * megahertz)
        predicted = 20 * math.log10(abs(1 + 25 / shunt))
        allowed = bound if megahertz < 2 else 0.35
        assert measured[megahertz] == pytest.approx(predicted, rel=allowed)


def test_turns_and_leads():
    """M4: 75.6 and 209.9 nH for one and two turns are 44.8 nH a turn squared and 31 nH of leads."""
    lead_h, core_h = np.linalg.solve([[1, 1], [1, 4]], [75.6e-9, 209.9e-9])
    assert lead_h == pytest.approx(30.8e-9, rel=0.02)
    assert core_h == pytest.approx(44.8e-9, rel=0.02)
    for turns, measured_h in ((1, 75.6e-9), (2, 209.9e-9)):
        coil = winding("", core_h / (4e-7 * math.pi), turns, first_leakage=lead_h)
        assert impedance([coil], 1e5).imag == pytest.approx(2 * math.pi * 1e5 * measured_h, rel=0.001)


def choke(henry, farad, ohm):
    """A choke whose parallel resistance is that many ohm where it resonates, and rises with frequency."""
    quality = ohm * math.sqrt(farad / henry)
    values = {"inductance": henry, "dc_resistance": 1e-3, "parallel_capacitance": farad, "quality": quality}
    return element("choke", ("a", "b"), **values)


@pytest.mark.parametrize(
    ("megahertz", "ohm", "least", "most"),
    [
        (10, 3.4 + 190j, 0.7, 0.85), (20, 91 + 497j, 0.55, 0.7), (30, 564 + 647j, 0.55, 0.7),
        (40, 911 + 431j, 0.7, 0.85), (60, 1040 - 180j, 1, 1.2), (80, 741 - 516j, 1, 1.25),
    ],
)  # fmt: skip
def test_quality_below_the_resonance_is_a_known_failure(megahertz, ohm, least, most):
    """M5: 3.28 uH, 2.64 pF and 1.12 kohm of a measured coil; one quality over all frequencies is too low below."""
    got = impedance([choke(3.28e-6, 2.64e-12, 1120)], 1e6 * megahertz)
    assert least < abs(got) / abs(ohm) < most


@pytest.mark.parametrize(
    ("megahertz", "ohm"), [(1.8, 5 + 29j), (3.5, 23 + 46j), (7, 47 + 61j), (14, 80 + 75j), (28, 119 + 83j)]
)
def test_sleeve_of_mix_43(megahertz, ohm):
    """M6: one pass through a sleeve 25.4/12.7/28.58 mm, measured with a one-port bridge. 0.70 to 1.0."""
    got = impedance([winding("43", ring(25.4, 12.7, 28.58), 1)], 1e6 * megahertz)
    assert 0.70 < abs(ohm) / abs(got) < 1.0


@pytest.mark.parametrize("reactance_ohm", [5.34, 6.32])
def test_two_samples_of_a_large_ring(reactance_ohm):
    """M7: one turn at 1 MHz; samples differ by 18 %, both lie 14 to 27 % under the model."""
    assert 0.70 < reactance_ohm / impedance([winding("43", FT240, 1)], 1e6).imag < 0.90


@pytest.mark.parametrize("farad", [1e-15, 0.5e-12])
def test_eleven_turns_on_a_large_ring(farad):
    """M8: 3175 + j2502 ohm at 7 MHz, within 10 % with up to 0.5 pF."""
    stray = element("capacitance", ("a", "b"), capacitance=farad)
    got = impedance([winding("43", FT240, 11), stray], 7e6, ohm=3000)
    assert abs(got) == pytest.approx(abs(3175 + 2502j), rel=0.10)


@pytest.mark.parametrize(("megahertz", "ohm"), [(1.8, 270), (3.5, 490)])
def test_five_turns_on_a_large_ring(megahertz, ohm):
    """M9: measured 0.75 and 0.80 of the model."""
    assert 0.70 < ohm / abs(impedance([winding("43", FT240, 5)], 1e6 * megahertz)) < 0.85


@pytest.mark.parametrize(("megahertz", "ohm"), [(1.8, 2880 - 780j), (3.6, 2110 - 1040j), (7, 1570 - 969j)])
def test_large_ring_of_mix_77_is_a_known_failure(megahertz, ohm):
    """M10: fifteen turns of thin coax; with 10 pF the model is still 1.1 to 3.2 times too high (core resonance)."""
    stray = element("capacitance", ("a", "b"), capacitance=10e-12)
    got = impedance([winding("77", FT240, 15), stray], 1e6 * megahertz, ohm=3000)
    assert 1.1 < abs(got) / abs(ohm) < 3.2


def test_ten_turns_on_a_small_ring():
    """M11: 40.17 uH at 100 kHz, within 20 %."""
    got = impedance([winding("43", FT37, 10)], 1e5).imag / (2 * math.pi * 1e5)
    assert got == pytest.approx(40.17e-6, rel=0.20)


def test_older_edition_of_mix_43():
    """M12: four turns, 4.0 uH at 3.6 MHz: this edition of the table gives half as much again."""
    got = impedance([winding("43", FT50, 4)], 3.6e6).imag / (2 * math.pi * 3.6e6)
    assert got / 4.0e-6 == pytest.approx(1.55, abs=0.10)


def test_small_two_hole_core():
    """M13: one turn at 10 MHz, 59.57 ohm, between the lowest and the highest core of the catalogue."""
    low, high = (impedance([winding("43", s, 1)], 10e6).imag for s in (2.037e-3, 2.79e-3))
    assert low < 59.57 < high

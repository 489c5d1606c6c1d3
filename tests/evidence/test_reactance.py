"""Reactance and resonance against measured coils."""

import math

import pytest

from boardgen.handbook import reactance


@pytest.mark.parametrize(("frequency_hz", "expected_ohm"), [(1.8e6, 0.884), (0.136e6, 11.70)])
def test_reactance_of_100_nf(frequency_hz, expected_ohm):
    """Circuit textbook, 1/(2 pi f C)."""
    assert reactance.capacitive(frequency_hz, 100e-9) == pytest.approx(expected_ohm, rel=1e-3)


def test_reactance_between_windings_of_a_pot_core():
    """Topband archive, January 2007, message 25743: 15 pF at 1.8 MHz is about 6 kohm."""
    assert reactance.capacitive(1.8e6, 15e-12) == pytest.approx(6000, rel=0.03)


def test_choke_of_100_uh_below_and_above_its_resonance():
    """Circuit textbook: 8.69 pF, resonant at 5.40 MHz."""
    assert reactance.resonant_capacitance(100e-6, 5.40e6) == pytest.approx(8.69e-12, rel=4e-3, abs=0)
    assert reactance.inductive(1.8e6, 100e-6) == pytest.approx(1131, rel=1e-3)
    assert reactance.effective_reactance(1.8e6, 100e-6, 8.69e-12) == pytest.approx(1272, rel=1e-3)
    assert reactance.effective_reactance(7e6, 100e-6, 8.69e-12) == pytest.approx(-6460, rel=0.01)


@pytest.mark.parametrize(("frequency_hz", "expected_ohm"), [(1.8e6, 1272), (7e6, -6460)])
def test_lossless_choke_is_its_effective_reactance(frequency_hz, expected_ohm):
    """Circuit textbook, the same choke."""
    got = reactance.choke_impedance(frequency_hz, 100e-6, 0, 8.69e-12)
    assert got.imag == pytest.approx(expected_ohm, rel=0.01)
    assert got.real == pytest.approx(0, abs=1e-6)


def test_stray_capacitance_of_1_mh():
    """Circuit textbook: self resonance 1.6 MHz gives 9.9 pF."""
    assert reactance.resonant_capacitance(1e-3, 1.6e6) == pytest.approx(9.9e-12, rel=5e-3, abs=0)


def test_measured_coil_with_and_without_a_capacitor():
    """Amateur measurement: 162.14 pF resonates at 2.718 MHz, alone at 15.757 MHz: 4.97 pF, 20.518 uH, Q 151."""
    assert reactance.resonant_capacitance(20.518e-6, 15.757e6) == pytest.approx(4.97e-12, rel=5e-3, abs=0)
    assert reactance.resonant_capacitance(20.518e-6, 2.718e6) == pytest.approx(162.14e-12 + 4.97e-12, rel=5e-3, abs=0)
    assert reactance.inductive(2.718e6, 20.518e-6) / 2.314 == pytest.approx(151, rel=0.01)


def test_effective_inductance_of_a_ring_coil():
    """Amateur measurement of 25 turns on an iron ring: 2.4 uH, resonant at 68.6 MHz, 2.41 uH at 7 MHz."""
    stray_f = reactance.resonant_capacitance(2.4e-6, 68.6e6)
    assert stray_f == pytest.approx(2.24e-12, rel=5e-3, abs=0)
    effective_ohm = reactance.effective_reactance(7e6, 2.4e-6, stray_f)
    assert effective_ohm / (2 * math.pi * 7e6) == pytest.approx(2.41e-6, rel=0.015)


def test_solenoid_of_20_uh():
    """Weblog article 32834: 1.02 pF, 35.2 MHz."""
    assert reactance.resonant_capacitance(20e-6, 35.2e6) == pytest.approx(1.02e-12, rel=0.02, abs=0)


def test_ring_coil_of_30_uh():
    """Course page on ring cores: resonant at 16 MHz, 3.3 pF."""
    assert reactance.resonant_capacitance(30e-6, 16e6) == pytest.approx(3.3e-12, rel=0.02, abs=0)


@pytest.mark.parametrize(
    ("inductance_uh", "resonance_mhz", "capacitance_pf"),
    [(0.15, 525, 0.61), (1, 200, 0.63), (4.7, 90, 0.67), (5.6, 60, 1.26), (22, 30, 1.28), (33, 19, 2.13)],
)
def test_moulded_chokes(inductance_uh, resonance_mhz, capacitance_pf):
    """Bourns 9310 sheet: the least self resonance gives the most capacitance."""
    got = reactance.resonant_capacitance(inductance_uh * 1e-6, resonance_mhz * 1e6)
    assert got == pytest.approx(capacitance_pf * 1e-12, abs=0.006e-12)


@pytest.mark.parametrize(
    ("frequency_hz", "measured"),
    [
        (10e6, 3.4 + 190j),
        (20e6, 91 + 497j),
        (30e6, 564 + 647j),
        (40e6, 911 + 431j),
        (60e6, 1040 - 180j),
        (80e6, 741 - 516j),
    ],
)
def test_wound_inductor_through_its_resonance(frequency_hz, measured):
    """Published one-port sweep of a wound inductor, fitted by 3.28 uH, 2.64 pF and 1.12 kohm."""
    modelled = reactance.choke_impedance(frequency_hz, 3.28e-6, 0, 2.64e-12, 1120)
    assert abs(modelled) == pytest.approx(abs(measured), rel=0.25)


def test_coil_of_known_q_at_its_self_resonance():
    """Circuit textbook: a parallel circuit of high Q peaks near L/(C R), here 20.518 uH, 4.972 pF, 2.314 ohm."""
    got = reactance.choke_impedance(15.757e6, 20.518e-6, 2.314, 4.972e-12)
    assert abs(got) == pytest.approx(20.518e-6 / (4.972e-12 * 2.314), rel=0.01)

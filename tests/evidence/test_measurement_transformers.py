"""Transformers, pads, relays and chokes measured by others, through the program's own models."""

import math

import pytest

from boardgen.handbook import reactance
from tests.evidence.measured_models import FT50, FT114, FT140, FT240, element, impedance, ring, scattering, winding


def ohmic(one, other, ohm):
    """A resistor."""
    return element("resistor", (one, other), resistance=ohm)


def lost_db(s):
    """What goes in at the first port and does not come out at the second."""
    return -10 * math.log10(abs(s[1, 0]) ** 2 / (1 - abs(s[0, 0]) ** 2))


@pytest.mark.parametrize("path_constant_m", [2.037e-3, 2.19e-3, 2.79e-3])
def test_loss_of_a_small_transformer(path_constant_m):
    """M15: 1:5.5 into 3350 ohm loses 2.97 dB at 7.1 MHz, its mismatch taken off; 0.6 dB over the core's range."""
    made = winding("43", path_constant_m, 1, 5.5)
    assert lost_db(scattering([made], [("a", "b"), ("u", "v")], [50, 3350], 7.1e6)) == pytest.approx(2.97, abs=0.6)


def test_core_loss_is_below_the_total():
    """M16: 4:32 turns at 3.6 MHz lose 0.41 dB in all; the core alone must come out below, and above half."""
    made = winding("43", FT240, 4, 32)
    assert 0.2 < lost_db(scattering([made], [("a", "b"), ("u", "v")], [50, 3200], 3.6e6)) < 0.41


@pytest.mark.parametrize(
    ("material", "path_constant_m", "turns", "measured", "leakage_h"),
    [
        ("43", FT140, (8, 34), 65 + 107j, 9.5e-6),
        ("77", FT114, (5, 22), 53 + 28j, 2.4e-6),
        ("43", FT50, (7, 28), 62 + 30j, 2.0e-6),
    ],
)
def test_loss_beside_a_fitted_leakage(material, path_constant_m, turns, measured, leakage_h):
    """M18: at 1.83 MHz into 880 ohm a third of the resistance is missing; without leakage most of the reactance is too.

    The leakage is fitted to the very reactance, which is therefore not asserted: that it comes to 8 to 15 % of the
    winding is all that it says.
    """
    made = winding(material, path_constant_m, *turns, first_leakage=leakage_h)
    got = impedance([made, ohmic("u", "v", 880)], 1.83e6)
    bare = impedance([winding(material, path_constant_m, *turns), ohmic("u", "v", 880)], 1.83e6)
    assert 0.60 < got.real / measured.real < 1.0
    assert bare.imag < 0.4 * measured.imag
    share = leakage_h / (
        impedance([winding(material, path_constant_m, turns[0])], 1.83e6).imag / (2 * math.pi * 1.83e6)
    )
    assert 0.07 < share < 0.25


@pytest.mark.parametrize(("megahertz", "measured_db"), [(1.825, 4), (3.55, 7)])
def test_leaky_pair_back_to_back(megahertz, measured_db):
    """M19: two 8:34 transformers of mix 43 lose 4 and 7 dB; within 1.5 dB.

    Their leakage, 3.67 uH each, is that of the same author's standing waves: two measurements of one pair against each
    other through the model, and no check of how leakage is computed.
    """
    constant = ring(31.0, 18.2, 15.6)
    first = winding("43", constant, 8, 34, pairs=(("a", "b"), ("u", "v")), first_leakage=3.67e-6)
    second = winding("43", constant, 8, 34, pairs=(("c", "d"), ("u", "v")), first_leakage=3.67e-6)
    s21 = scattering([first, second], [("a", "b"), ("c", "d")], [50, 50], 1e6 * megahertz)[1, 0]
    assert -20 * math.log10(abs(s21)) == pytest.approx(measured_db, abs=1.5)


@pytest.mark.parametrize(("megahertz", "measured_db"), [(1.825, 49), (3.55, 45)])
def test_feed_through(megahertz, measured_db):
    """M19: 3.75 pF between windings in 50 ohm, 49 and 45 dB down, within 4 dB."""
    stray = [element("capacitance", ("a", "c"), capacitance=3.75e-12), ohmic("b", "d", 1e-6)]
    s21 = scattering(stray, [("a", "b"), ("c", "d")], [50, 50], 1e6 * megahertz)[1, 0]
    assert -20 * math.log10(abs(s21)) == pytest.approx(measured_db, abs=4)


def test_capacitance_between_windings():
    """M21: 15 pF on a pot core is about 6 kohm at 1.8 MHz."""
    assert abs(impedance([element("capacitance", ("a", "b"), capacitance=15e-12)], 1.8e6)) == pytest.approx(
        6000, rel=0.03
    )


def test_turns_count_through_both_holes():
    """M22: three passes a winding into 270 ohm read 135 ohm near 160 m: one and a half turns fit, three do not."""

    def seen(turns):
        return abs(impedance([winding("73", 2.444e-3, turns, turns), ohmic("u", "v", 270)], 1.8e6))

    assert abs(seen(1.5) - 135) < abs(seen(3) - 135)


def test_pad():
    """M24: a 20 dB pad measured 20.016 to 20.021 dB: the T of 40.91 and 10.10 ohm, within 0.02 dB."""
    made = [ohmic("a", "m", 40.909), ohmic("m", "b", 10.101), ohmic("m", "c", 40.909), ohmic("b", "d", 1e-6)]
    s = scattering(made, [("a", "b"), ("c", "d")], [50, 50], 1e7)
    assert -20 * math.log10(abs(s[1, 0])) == pytest.approx(20.018, abs=0.02)


def choke(henry, farad):
    """A choke without loss to speak of."""
    values = {"inductance": henry, "dc_resistance": 1e-3, "parallel_capacitance": farad, "quality": 1e6}
    return element("choke", ("a", "b"), **values)


@pytest.mark.parametrize(
    ("henry", "farad", "resonance_hz"),
    [(20.518e-6, 4.972e-12, 15.757e6), (20e-6, 1.02e-12, 35.2e6), (30e-6, 3.3e-12, 16e6)],
)
def test_self_resonance(henry, farad, resonance_hz):
    """M25: three coils; the reactance changes sign at the published frequency within 1 %."""
    below, above = (impedance([choke(henry, farad)], resonance_hz * k, ohm=1e5).imag for k in (0.99, 1.01))
    assert below > 0 > above


def test_resonance_with_a_known_capacitor():
    """M25: 162.14 pF pull the first coil down to 2.718 MHz."""
    coil = [choke(20.518e-6, 4.972e-12), element("capacitance", ("a", "b"), capacitance=162.14e-12)]
    below, above = (impedance(coil, 2.718e6 * k, ohm=1e5).imag for k in (0.995, 1.005))
    assert below > 0 > above


@pytest.mark.parametrize(("megahertz", "decibels", "bound"), [(100, 37.0, 0.1), (900, 18.8, 1.0)])
def test_open_relay(megahertz, decibels, bound):
    """M27: TE IM relay sheet, 37.0 dB at 100 MHz; its 0.225 pF predict 18.8 dB at 900 MHz within 1 dB."""
    made = [element("capacitance", ("a", "c"), capacitance=0.225e-12), ohmic("b", "d", 1e-6)]
    s21 = scattering(made, [("a", "b"), ("c", "d")], [50, 50], 1e6 * megahertz)[1, 0]
    assert -20 * math.log10(abs(s21)) == pytest.approx(decibels, abs=bound)


def test_drum_choke():
    """M30: 1.411 uH || 3.599 pF || 672.7 ohm, sold as 1.5 uH: resonance 70.6 MHz."""
    assert reactance.resonant_capacitance(1.411e-6, 70.6e6) == pytest.approx(3.599e-12, rel=0.004, abs=0)
    below, above = (impedance([choke(1.411e-6, 3.599e-12)], 70.6e6 * k, ohm=1e4).imag for k in (0.99, 1.01))
    assert below > 0 > above

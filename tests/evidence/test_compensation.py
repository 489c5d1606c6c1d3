"""Low-pass sections against published ladder filters, and the section that meets a leakage against its own limits."""

import math

import numpy as np
import pytest

from boardgen.handbook.compensation import end_capacitance_f, joined_return_loss_db, ladder_admittance_s

BUTTERWORTH = {
    3: (1.0, 2.0, 1.0),
    5: (0.6180, 1.6180, 2.0, 1.6180, 0.6180),
    7: (0.4450, 1.2470, 1.8019, 2.0, 1.8019, 1.2470, 0.4450),
}
"""Elements of maximally flat filters of cutoff 1 rad/s between 1 ohm.

Source: Matthaei, Young and Jones, Microwave Filters, Impedance-Matching Networks and Coupling Structures, 1964, table
4.05-1 (recalled).
"""
RADIANS = np.array([0.3, 0.7, 1.0, 1.4, 2.5])


@pytest.mark.parametrize("order", BUTTERWORTH)
@pytest.mark.parametrize("cut", [0, 1])
def test_published_filters(order, cut):
    """What is reflected is w^2n/(1 + w^2n), wherever the ladder is cut in two before it is solved."""
    elements = BUTTERWORTH[order]
    shunt, series = elements[::2], elements[1::2]
    hertz = RADIANS / (2 * math.pi)
    far = ladder_admittance_s((*shunt[: cut + 1],), series[:cut], 1.0, hertz)
    # the near half begins with a capacitor of nothing behind the next inductance
    near = ladder_admittance_s((*shunt[:cut:-1], 0.0), series[: cut - 1 if cut else None : -1], 1.0, hertz)
    published = RADIANS**order / np.sqrt(1 + RADIANS ** (2 * order))
    assert 10 ** (-joined_return_loss_db(far, near) / 20) == pytest.approx(published, rel=1e-3, abs=1e-4)


def test_limit_far_below_the_cutoff():
    """C = L/(2 Z^2): with twice of it, or none, as much is reflected as the inductance alone reflects."""
    farad = end_capacitance_f(300e-9, 75, 75)
    assert farad == pytest.approx(300e-9 / (2 * 75**2), rel=1e-9, abs=0)
    hertz = np.array([1e6])
    line = ladder_admittance_s((0.0,), (), 75, hertz)
    met, none, twice = (
        float(joined_return_loss_db(ladder_admittance_s((share * farad,) * 2, (300e-9,), 75, hertz), line)[0])
        for share in (1, 0, 2)
    )
    assert none == pytest.approx(twice, abs=0.1)
    assert none == pytest.approx(-20 * math.log10(math.pi * 1e6 * 300e-9 / 75), abs=0.1)
    assert met > none + 60


@pytest.mark.parametrize("hertz", [5e6, 20e6, 30e6])
def test_nothing_is_reflected_where_it_is_meant(hertz):
    farad = end_capacitance_f(300e-9, 75, 75, hertz)
    section = ladder_admittance_s((farad, farad), (300e-9,), 75, np.array([hertz]))
    assert joined_return_loss_db(section, np.array([1 / 75 + 0j])) == 99


def test_beyond_the_cutoff_it_is_that_of_the_highest_possible():
    """Where w L is Z0 twice the low-frequency limit is wanted; beyond that there is none."""
    edge_hz = 75 / (2 * math.pi * 300e-9)
    assert end_capacitance_f(300e-9, 75, 75, edge_hz) == pytest.approx(300e-9 / 75**2, rel=1e-9, abs=0)
    assert end_capacitance_f(300e-9, 75, 75, 3 * edge_hz) == pytest.approx(300e-9 / 75**2, rel=1e-9, abs=0)


def test_another_impedance_at_one_end():
    """Beyond a transformer of 4 : 1 a quarter of the capacitance does the same."""
    assert end_capacitance_f(300e-9, 75, 300) == pytest.approx(end_capacitance_f(300e-9, 75, 75) / 4, rel=1e-9, abs=0)


@pytest.mark.parametrize(("series", "impedance", "end"), [(0, 75, 75), (1e-7, 0, 75), (1e-7, 75, math.inf)])
def test_refused(series, impedance, end):
    with pytest.raises(ValueError, match="must be"):
        end_capacitance_f(series, impedance, end)


@pytest.mark.parametrize("reactance", [0.1, 0.3, 0.8, 1.5])
def test_return_loss_of_a_section(reactance):
    """Without loss |S21|^2 = 1 / (1 + y^2): y is x / 2 of a bare inductance, x^3 / 8 of a section, x being wL / Z."""
    hertz = np.array([10e6])
    henry = reactance * 75 / (2 * math.pi * 10e6)
    for farad, y in ((0.0, reactance / 2), (henry / (2 * 75**2), reactance**3 / 8)):
        section = ladder_admittance_s((farad, farad), (henry,), 75, hertz)
        wanted = -10 * math.log10(y**2 / (1 + y**2))
        assert joined_return_loss_db(section, np.array([1 / 75 + 0j])) == pytest.approx(wanted, rel=1e-9)

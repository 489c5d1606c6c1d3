"""A series inductance with a capacitor at each end, against closed forms."""

from __future__ import annotations

import math

import pytest

from boardgen.handbook import compensation


def test_capacitance_of_a_constant_k_section() -> None:
    """L / Z^2 in all, half at each end: 1 uH between lines of 50 ohm takes 200 pF at each."""
    assert compensation.end_capacitance_f(1e-6, 50.0, 50.0) == pytest.approx(200e-12, rel=1e-12, abs=0)
    # beyond a transformer of 1:2 in turns the same susceptance is that of a quarter
    assert compensation.end_capacitance_f(1e-6, 50.0, 200.0) == pytest.approx(50e-12, rel=1e-12, abs=0)


@pytest.mark.parametrize("reactance", [0.1, 0.3, 0.8, 1.5])
def test_return_loss_of_a_section(reactance: float) -> None:
    """Without loss |S21|^2 = 1 / (1 + y^2): y is x / 2 of a bare inductance, x^3 / 8 of a section, x being wL / Z."""
    ohm, hertz = 75.0, 10e6
    henry = reactance * ohm / (2 * math.pi * hertz)
    end = henry / (2 * ohm**2)
    for farad, y in ((0.0, reactance / 2), (end, reactance**3 / 8)):
        wanted = -10 * math.log10(y**2 / (1 + y**2))
        found = compensation.section_return_loss_db(henry, farad, farad, ohm, hertz)
        assert found == pytest.approx(wanted, rel=1e-9)


def test_what_reflects_nothing_stays_a_number() -> None:
    assert compensation.section_return_loss_db(1e-12, 0.0, 0.0, 75.0, 1.0) == 99.0

"""Series resistors of lamps against published examples."""

import pytest

from boardgen.handbook import lamp


@pytest.mark.parametrize(("supply_v", "resistor_ohm"), [(12, 2040), (9, 1440)])
def test_red_lamp_at_5_ma(supply_v, resistor_ohm):
    """Encyclopaedia article on lamp circuits: 1.8 V."""
    assert lamp.series_resistor_ohm(supply_v, 1.8, 5e-3) == pytest.approx(resistor_ohm, abs=0.5)


def test_lamp_at_2_ma():
    """Ohm's law: 12 V and 2.0 V give 5.0 kohm."""
    assert lamp.series_resistor_ohm(12, 2.0, 2e-3) == pytest.approx(5000, rel=1e-9)

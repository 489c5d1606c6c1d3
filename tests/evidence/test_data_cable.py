"""Data cable against the cabling standard and published drops."""

import pytest

from boardgen.handbook import data_cable


def test_conductor_limit():
    """ANSI/TIA/EIA-568 horizontal cable: 28.6 ohm per 305 m, 9.38 ohm per 100 m, at 20 C."""
    assert pytest.approx(28.6 / 305, rel=5e-4) == data_cable.CONDUCTOR_LIMIT_OHM_PER_M
    assert pytest.approx(9.38 / 100, rel=5e-4) == data_cable.CONDUCTOR_LIMIT_OHM_PER_M


def test_allowance_over_a_solid_conductor():
    """The same limit over 84.21 ohm/km, solid 24 AWG by ASTM B258 and IEC 60028."""
    assert pytest.approx(93.8 / 84.21, rel=1e-3) == data_cable.LIMIT_ALLOWANCE


@pytest.mark.parametrize(
    ("order", "colours", "pairs"),
    [
        (
            "T568A",
            "white/green green white/orange blue white/blue orange white/brown brown",
            "3 3 2 1 1 2 4 4",
        ),
        (
            "T568B",
            "white/orange orange white/green blue white/blue green white/brown brown",
            "2 2 3 1 1 3 4 4",
        ),
    ],
)
def test_pin_orders(order, colours, pairs):
    """TIA/EIA-568-B.1, as in the encyclopaedia article on it."""
    pins = data_cable.PINS[order]
    assert [pin.number for pin in pins] == [1, 2, 3, 4, 5, 6, 7, 8]
    assert " ".join(pin.colour for pin in pins) == colours
    assert " ".join(str(pin.pair) for pin in pins) == pairs


def test_warm_cable():
    """IEC 60028: 0.393 per cent per kelvin; 9.38 ohm becomes 10.486 at 50 C."""
    assert data_cable.at_temperature(9.38, 50) == pytest.approx(10.486, rel=1e-3)

"""Coils and ports have an upper limit too: what they bear falls with warmth, and is judged at the highest supply."""

import math

import pytest

from boardgen.sizing.relay import borne_v
from tests.sizing.sized_boards import catalogue, sized, text

FED = {"ports": {0: {"feed": "12 V 60 mA"}}}


def shortfalls(supply, **more):
    """The rules that fall short with this supply."""
    _, choices = sized(text(control={"supply": supply, "length": "30 m"}, **more))
    return {p.id for p in choices.problems if p.severity == "shortfall"}


def test_what_a_coil_bears_falls_from_the_sheets_maximum_to_the_rated_voltage():
    """18 V at 20 degC, 12 V at 70 degC, the heat of both halved between: sqrt((18^2 + 12^2) / 2) at 45 degC."""
    part = catalogue().part("relay-tq2-12")
    assert borne_v(part, -30) == borne_v(part, 20) == 18
    assert borne_v(part, 45) == pytest.approx(math.sqrt((18**2 + 12**2) / 2))
    assert borne_v(part, 70) == pytest.approx(12)
    assert borne_v(part, 90) == pytest.approx(12)


def test_the_usual_supply_is_borne():
    assert shortfalls("13.2..14.0 V", **FED) == set()


@pytest.mark.parametrize("supply", ["20 V", "24 V"])
def test_a_relay_that_bears_it_in_the_cold_alone_falls_short(supply):
    """The relays of the preference bear 18 and 24 V at 20 degC; the hottest is 50 degC."""
    pinned = "relay-tq2-12" if supply == "20 V" else "relay-hfd2-12-m"
    assert "V151 coil voltage" in shortfalls(supply, parts={"relay": pinned})


@pytest.mark.parametrize(("supply", "high"), [("13.2..15.0 V", False), ("13.2..15.2 V", True), ("24 V", True)])
def test_a_port_has_an_upper_limit(supply, high):
    """A quarter above what was asked for."""
    assert ("V182 feed overvoltage" in shortfalls(supply, **FED)) == high

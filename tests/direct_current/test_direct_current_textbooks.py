"""Networks that textbooks work by hand. All of them recalled, with their figures worked out again here."""

import math

import pytest

from boardgen.direct_current.between import resistance_between, resistances_between
from boardgen.direct_current.curves import diode, exponential, through, zener
from boardgen.direct_current.elements import OPEN, CurrentSource, Resistor, VoltageSource
from boardgen.direct_current.network import Network
from boardgen.direct_current.solve import solve


def near_ideal(name, anode, cathode):
    return diode(name, anode, cathode, 1e-6, 1e-3, 1e12)


def test_node_voltages():
    """Nilsson and Riedel, Electric Circuits, example 4.2 (recalled): 9.09 V and 10.91 V."""
    solved = solve(
        Network(
            (
                VoltageSource("V", "in", "0V", 10),
                Resistor("R1", "in", "1", 1),
                Resistor("R2", "1", "0V", 5),
                Resistor("R3", "1", "2", 2),
                Resistor("R4", "2", "0V", 10),
                CurrentSource("I", "0V", "2", 2),
            )
        )
    )
    assert solved.potential("1") == pytest.approx(7 / 0.77)
    assert solved.potential("2") == pytest.approx(8.4 / 0.77)
    assert solved.current("V") == pytest.approx(7 / 0.77 - 10)


@pytest.mark.parametrize(("upper", "lower", "volts", "ampere"), [(10e3, 5e3, 0.0, 1e-3), (5e3, 10e3, 10 / 3, 0.0)])
def test_two_ideal_diodes(upper, lower, volts, ampere):
    """Sedra and Smith, Microelectronic Circuits, the example of two diodes between +10 V and -10 V (recalled)."""
    solved = solve(
        Network(
            (
                VoltageSource("V+", "+10", "0V", 10),
                VoltageSource("V-", "-10", "0V", -10),
                Resistor("R1", "+10", "A", upper),
                near_ideal("D1", "0V", "B"),
                near_ideal("D2", "A", "B"),
                Resistor("R2", "B", "-10", lower),
            )
        )
    )
    assert solved.potential("B") == pytest.approx(volts, abs=1e-4)
    assert solved.current("D1") == pytest.approx(ampere, abs=1e-8)


def test_a_diode_by_iteration():
    """Sedra and Smith, 5 V, 1 kohm, a diode of 0.7 V at 1 mA and 60 mV a decade (recalled): 4.262 mA, 0.738 V."""
    thermal = 0.060 / math.log(10)
    saturation = 1e-3 / math.exp(0.7 / thermal)
    celsius = thermal / 8.617333262e-5 - 273.15
    points = exponential(saturation, 1.0, celsius, [10 ** (n / 20) for n in range(-140, -19)])
    solved = solve(
        Network((VoltageSource("V", "in", "0V", 5), Resistor("R", "in", "A", 1e3), through("D", "A", "0V", points)))
    )
    assert solved.current("D") == pytest.approx(4.262e-3, abs=1e-6)
    assert solved.potential("A") == pytest.approx(0.738, abs=5e-4)


@pytest.mark.parametrize(("load", "volts"), [(OPEN, 6.7 + 20 * 3.3 / 520), (2e3, None), (500.0, 5.0)])
def test_zener_regulator(load, volts):
    """Sedra and Smith, a 6.8 V zener of 20 ohm behind 500 ohm from 10 V (recalled): 6.83 V, 70 mV less, 5 V."""
    solved = solve(
        Network(
            (
                VoltageSource("V", "in", "0V", 10),
                Resistor("R", "in", "out", 500),
                zener("Z", "0V", "out", (0.7, 1.0), (6.7, 20.0), 1e12),
                Resistor("load", "out", "0V", load),
            )
        )
    )
    if volts is None:
        assert solved.potential("out") == pytest.approx(6.83 - 0.07, abs=0.005)
    else:
        assert solved.potential("out") == pytest.approx(volts, rel=1e-6)


def cube():
    corners = [format(n, "03b") for n in range(8)]
    pairs = [(a, b) for a in corners for b in corners if a < b and sum(x != y for x, y in zip(a, b, strict=True)) == 1]
    return tuple(Resistor(f"{a}-{b}", a, b, 1.0) for a, b in pairs)


def test_cube_of_resistors():
    """The classic of every collection: 5/6, 3/4 and 7/12 of one edge (recalled)."""
    network = Network(cube(), "000")
    assert len(network.elements) == 12
    told = resistances_between(network, (("000", "111"), ("000", "011"), ("000", "001"), ("110", "001")))
    assert told == pytest.approx((5 / 6, 3 / 4, 7 / 12, 5 / 6))


def test_ladder_of_one_ohm():
    """An endless ladder of 1 ohm has (1 + sqrt 5)/2 ohm (recalled from Feynman's Lectures, volume II, chapter 22)."""
    steps = 40
    rungs = [Resistor(f"across {n}", str(n + 1), "0V", 1.0) for n in range(steps)]
    rails = [Resistor(f"along {n}", str(n), str(n + 1), 1.0) for n in range(steps)]
    assert resistance_between(Network((*rails, *rungs)), "0", "0V") == pytest.approx((1 + math.sqrt(5)) / 2)


def test_open_and_shorted():
    network = Network((Resistor("R", "a", "b", 5.0), Resistor("wire", "b", "c", 0.0), near_ideal("D", "a", "d")))
    assert resistance_between(network, "a", "c") == pytest.approx(5.0)
    assert resistance_between(network, "b", "c") == 0.0
    assert resistance_between(network, "a", "d") == math.inf
    assert resistance_between(network, "a", "nowhere") == math.inf

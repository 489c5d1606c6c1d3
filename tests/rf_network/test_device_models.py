"""Each law against impedances put together by hand: series adds, parallel adds reciprocals (textbook)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from boardgen.handbook.coplanar import Crowding, strip_resistance_ratio
from boardgen.handbook.eddy_currents import alternating_resistance_ratio
from boardgen.rf_network.device_models import LAWS

MU0 = 4e-7 * math.pi
HZ = 3.7e6
OMEGA = 2 * math.pi * HZ


def law(name: str, mu: complex | None = None, **values: float) -> list[complex]:
    """What a law gives at one frequency, with its parameters spelled with underlines."""
    given = {key.replace("_", " "): np.array([[value]]) for key, value in values.items()}
    found = LAWS[name](given, np.array([OMEGA]), None if mu is None else np.array([mu]))
    return [complex(each[0, 0]) for each in found]


def inductor(henry: float) -> complex:
    return 1j * OMEGA * henry


def capacitor(farad: float) -> complex:
    return 1 / (1j * OMEGA * farad)


def parallel(*impedances: complex) -> complex:
    return 1 / sum(1 / z for z in impedances)


def test_one_admittance_laws() -> None:
    lossy = 0.3 + inductor(6e-9) + capacitor(22e-9)
    assert law("capacitor", capacitance=22e-9, series_resistance=0.3, series_inductance=6e-9) == pytest.approx(
        [1 / lossy]
    )
    assert law("conductor", resistance=0.05, inductance=80e-9) == pytest.approx([1 / (0.05 + inductor(80e-9))])
    tracks = {"track_resistance": 0.1, "track_thickness": 35e-6, "crowding": 0.5, "crowding_reach": 1e-3}
    ratio = strip_resistance_ratio(35e-6, Crowding(0.5, 1e-3), np.array([OMEGA / (2 * np.pi)]))[0]
    assert ratio > 1.2
    assert law("contact and tracks", resistance=0.05, inductance=80e-9, **tracks) == pytest.approx(
        [1 / (0.05 + 0.1 * ratio + inductor(80e-9))]
    )
    assert law("resistor", resistance=75.0) == pytest.approx([1 / 75])
    assert law("capacitance", capacitance=1e-12) == pytest.approx([1 / capacitor(1e-12)])
    assert law("starts", interwinding_capacitance=6e-12, split=0.3) == pytest.approx([1 / capacitor(1.8e-12)])
    assert law("ends", interwinding_capacitance=6e-12, split=0.3) == pytest.approx([1 / capacitor(4.2e-12)])
    assert law("measured", mu=30 + 400j, scale=1.5) == pytest.approx([1 / (45 + 600j)])


def test_a_choke_is_its_coil_with_capacitance_and_loss_beside_it() -> None:
    coil = 2.5 + inductor(100e-6)
    whole = parallel(coil, capacitor(4e-12), 30 * OMEGA * 100e-6)
    values = {"inductance": 100e-6, "dc_resistance": 2.5, "parallel_capacitance": 4e-12, "quality": 30.0}
    assert law("choke", **values) == pytest.approx([1 / whole])


def two_windings(magnetising: complex, first: complex, second: complex, ratio: float) -> list[complex]:
    """Y11, Y12, Y22 of an impedance matrix, inverted by Cramer's rule."""
    z11, z12, z22 = first + magnetising, ratio * magnetising, second + ratio**2 * magnetising
    determinant = z11 * z22 - z12 * z12
    return [z22 / determinant, -z12 / determinant, z11 / determinant]


def test_a_transformer_is_its_winding_behind_leakage_and_resistance() -> None:
    mu = 120 - 45j
    magnetising = 1j * OMEGA * MU0 * 1.2e-3 * 0.9 * 6**2 * mu
    frequency_hz = np.atleast_1d(OMEGA) / (2 * math.pi)
    raised = [float(alternating_resistance_ratio(2e-4, crowded, frequency_hz)[0]) for crowded in (1.5, 2.5)]
    first, second = 0.4 * raised[0] + inductor(30e-9), 0.7 * raised[1] + inductor(70e-9)
    values = {"wire_radius": 2e-4, "first_proximity": 1.5, "second_proximity": 2.5}
    values |= {"first_turns": 6.0, "second_turns": 9.0, "path_constant": 1.2e-3, "permeability_scale": 0.9}
    values |= {"first_resistance": 0.4, "first_leakage": 30e-9, "second_resistance": 0.7, "second_leakage": 70e-9}
    assert law("transformer", mu, **values) == pytest.approx(two_windings(magnetising, first, second, 1.5), rel=1e-5)


def test_a_bifilar_choke_is_its_inductance_behind_half_the_leakage_on_each_side() -> None:
    magnetising = parallel(inductor(100e-6), capacitor(4e-12), 25 * OMEGA * 100e-6)
    each = 1.1 + inductor(4e-6 / 2)
    values = {"inductance": 100e-6, "parallel_capacitance": 4e-12, "quality": 25.0}
    values |= {"dc_resistance": 1.1, "leakage_inductance": 4e-6}
    assert law("bifilar", **values) == pytest.approx(two_windings(magnetising, each, each, 1.0), rel=1e-5)

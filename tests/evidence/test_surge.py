"""Surge copper against the definition of the wave and an adiabatic estimate."""

import math

import pytest

from boardgen.handbook import surge


def wave(t_us):
    """Surge of unit peak at `t_us`, by the constants of the module."""
    return surge.WAVE_SCALE_PER_US3 * t_us**surge.WAVE_POWER * math.exp(-t_us / surge.WAVE_DECAY_US)


def test_wave_has_unit_peak():
    """IEEE C62.41: A is the constant that makes the peak one, at three times tau."""
    steps = [wave(t / 100) for t in range(6000)]
    assert max(steps) == pytest.approx(1, abs=0.002)
    assert steps.index(max(steps)) / 100 == pytest.approx(3 * 3.911, abs=0.02)


def test_wave_is_8_by_20():
    """IEC 60060-1: 1.25 times the rise from 10 to 90 per cent is 8 us, half value after 20 us."""

    def crossing(level, start_us, end_us):
        for _ in range(60):
            middle_us = (start_us + end_us) / 2
            rising = wave(start_us) < level
            if (wave(middle_us) < level) == rising:
                start_us = middle_us
            else:
                end_us = middle_us
        return start_us

    ten, ninety, half = crossing(0.1, 0, 11), crossing(0.9, 0, 11), crossing(0.5, 12, 60)
    front_us = 1.25 * (ninety - ten)
    assert front_us == pytest.approx(8, rel=0.01)
    # the tail is counted from where a line through the two points of the front meets zero
    assert half - (ten - 0.1 * front_us) == pytest.approx(20, rel=0.01)


def test_action_integral_by_summing_the_wave():
    """IEEE C62.41 waveform, 5 kA, squared and summed with its published constants."""
    summed_us = sum((0.01243 * (t / 50) ** 3 * math.exp(-t / 50 / 3.911)) ** 2 for t in range(5000)) / 50
    assert surge.action_integral_a2s(5000) == pytest.approx(5000**2 * summed_us * 1e-6, rel=1e-4)
    assert surge.action_integral_a2s(5000) == pytest.approx(304.1, rel=1e-3)


def test_width_for_5_ka():
    """Adiabatic estimate: 35 um copper reaches 260 C at 2.7 mm."""
    assert surge.track_width_m(5000, 35e-6) == pytest.approx(2.7e-3, abs=0.05e-3)


def test_fusing_equation_restated():
    """Onderdonk's equation: 33 t (I/area)^2 = log10(1 + dT/(234 + T)), circular mils, here from 20 to 260 C."""
    circular_mils = (1000 / 25.4) * (35 / 25.4) * 4 / math.pi
    expected_a = circular_mils * math.sqrt(math.log10(1 + 240 / 254) / (33 * 12.164e-6))
    assert surge.track_width_m(expected_a, 35e-6) == pytest.approx(1e-3, rel=2e-4)
    melting_a = circular_mils * math.sqrt(math.log10(1 + 1063 / 254) / (33 * 12.164e-6))
    assert surge.track_width_m(melting_a, 35e-6, 20, 1083) == pytest.approx(1e-3, rel=2e-4)

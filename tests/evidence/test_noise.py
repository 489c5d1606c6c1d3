"""Noise against the reference software's constants and worked examples."""

import math

import pytest

from boardgen.handbook import noise
from boardgen.handbook.noise import Stage

MEGAHERTZ = (0.475, 1.8, 3.5, 7, 14, 28)
RESULTS = {
    "city": (85.8, 69.7, 61.7, 53.4, 45.1, 36.7),
    "residential": (81.5, 65.4, 57.4, 49.1, 40.8, 32.4),
    "rural": (76.2, 60.1, 52.1, 43.8, 35.5, 27.1),
    "quiet rural": (62.8, 46.3, 38.0, 29.4, 20.8, 12.2),
}


def losses_rise_db(external: float, loss_db: float, receiver_db: float) -> float:
    """What a loss in front of a receiver adds to the rise of the floor."""
    receiver = Stage(0, receiver_db)
    return noise.rise_db(external, [Stage(-loss_db, loss_db), receiver]) - noise.rise_db(external, [receiver])


@pytest.mark.parametrize("name", RESULTS)
def test_environments(name):
    """Arithmetic alone: constants of the reference software of ITU-R Study Group 3, worked at six frequencies."""
    got = [noise.external_db(noise.ENVIRONMENTS[name], 1e6 * f) for f in MEGAHERTZ]
    assert got == pytest.approx(RESULTS[name], abs=0.06)


def test_published_level():
    """Topband archive, message 30489: quiet rural at 2 MHz is 45 dB, -106 dBm in 200 Hz, a city 23 dB more."""
    quiet = noise.external_db(noise.ENVIRONMENTS["quiet rural"], 2e6)
    assert quiet == pytest.approx(45, abs=0.05)
    # k T0 B of 200 Hz at 290 K is -151 dBm
    assert quiet + 10 * math.log10(1.380649e-23 * 290 * 200) + 30 == pytest.approx(-106, abs=0.05)
    assert noise.external_db(noise.ENVIRONMENTS["city"], 2e6) - quiet == pytest.approx(23, abs=0.6)


def test_receive_antenna():
    """Worked example: quiet rural at 7 MHz, antenna -20 dB, a system of 7.42 dB raises the floor by 1.81 dB.

    Against no system at all, that is against a receiver of 0 dB behind no loss.
    """
    assert losses_rise_db(29.4 - 20, 7.42, 0) == pytest.approx(1.81, abs=0.05)


def test_loss_in_front_of_a_receiver():
    """Friis by hand: noise at k T0 B loses what the signal does; noise far above it loses nothing.

    12 dB outside is 15.849, 6 dB of loss before 9 dB is 31.623: (15.849 + 31.623 - 1)/(15.849 + 7.943 - 1) = 2.0390.
    """
    assert losses_rise_db(12, 6, 9) == pytest.approx(3.0942, abs=2e-4)
    assert losses_rise_db(0, 3.0103, 0) == pytest.approx(3.0103, abs=1e-4)
    assert losses_rise_db(60, 3, 10) < 0.001
    assert losses_rise_db(20, 0, 10) == 0


def test_limit_of_the_recommendation():
    """Reference software: man-made figures from 0.3 MHz."""
    assert noise.LOWEST_HZ == 300e3


def test_a_receiver_without_loss():
    """Friis by hand: 12 dB outside is 15.849, 9 dB of noise figure 7.943: 1 + 6.943/15.849 = 1.4381."""
    assert noise.rise_db(12, [Stage(0, 9)]) == pytest.approx(1.5778, abs=2e-4)
    assert noise.rise_db(60, [Stage(0, 10)]) < 0.001
    assert noise.rise_db(12, [Stage(0, 0)]) == 0


def test_a_cascade_of_a_handbook():
    """Textbook example, recalled: 2 dB of cable, amplifier 15 dB and 4 dB, 3 dB of cable, receiver 12 dB.

    F = 5.516, that is 7.42 dB.
    """
    stages = [Stage(-2, 2), Stage(15, 4), Stage(-3, 3), Stage(0, 12)]
    assert noise.noise_factor(stages) == pytest.approx(5.516, abs=0.002)


def test_an_amplifier_before_the_loss():
    """Friis by hand: 4 dB is 2.5119, 15 dB of gain 31.623, 3 dB of coax before 12 dB 31.623, 0.5 dB before all 1.1220.

    F = 1.1220 (2.5119 + 30.623/31.623) = 3.9049, and 1 + 2.9049/15.849 = 1.1833 with 12 dB outside. Without it the
    rise is what the loss adds, and what the receiver has.
    """
    rise = noise.rise_db(12, [Stage(-0.5, 0.5), Stage(15, 4), Stage(-3, 3), Stage(0, 12)])
    assert rise == pytest.approx(0.7309, abs=2e-4)
    plain = losses_rise_db(12, 3.5, 12) + noise.rise_db(12, [Stage(0, 12)])
    assert noise.rise_db(12, [Stage(-3.5, 3.5), Stage(0, 12)]) == pytest.approx(plain)

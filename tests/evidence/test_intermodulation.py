"""Third-order products against the definition of the intercept."""

import math

import pytest

from boardgen.handbook import intermodulation


@pytest.mark.parametrize(
    ("tone_dbm", "intercept_dbm", "product_dbm"),
    # textbook (recalled): the intercept lies half of the distance from tones to products above the tones
    [(-10.0, 20.0, -70.0), (0.0, 0.0, 0.0), (-30.0, 10.0, -110.0)],
)
def test_equal_tones(tone_dbm, intercept_dbm, product_dbm):
    level = intermodulation.third_order_dbm(tone_dbm, tone_dbm, intercept_dbm)
    assert level == pytest.approx(product_dbm)
    assert tone_dbm + (tone_dbm - level) / 2 == pytest.approx(intercept_dbm)


def test_a_product_follows_one_tone_twice():
    """By the cubic law: 1 dB more of f1 gives 2 dB more at 2 f1 - f2, of f2 1 dB."""
    assert intermodulation.third_order_dbm(-9.0, -10.0, 20.0) == pytest.approx(-68.0)
    assert intermodulation.third_order_dbm(-10.0, -9.0, 20.0) == pytest.approx(-69.0)


def test_against_a_cubic_amplifier():
    """Fourier analysis of y = x - x^3/k: products of two unlike tones, where the cube is small."""
    samples = 4096
    one, other, cube = 0.02, 0.03, 0.5
    angles = [2 * math.pi * n / samples for n in range(samples)]
    wave = [one * math.cos(50 * a) + other * math.cos(53 * a) for a in angles]
    made = [x - x**3 / cube for x in wave]

    def amplitude(harmonic):
        return 2 / samples * math.hypot(
            sum(y * math.cos(harmonic * a) for y, a in zip(made, angles, strict=True)),
            sum(y * math.sin(harmonic * a) for y, a in zip(made, angles, strict=True)),
        )  # fmt: skip

    # 3/4 a^3/k equals a at the intercept
    intercept_dbm = 20 * math.log10(math.sqrt(4 * cube / 3))
    told = intermodulation.third_order_dbm(20 * math.log10(one), 20 * math.log10(other), intercept_dbm)
    assert 20 * math.log10(amplitude(2 * 50 - 53)) == pytest.approx(told, abs=0.01)
    assert 20 * math.log10(amplitude(2 * 53 - 50)) == pytest.approx(
        intermodulation.third_order_dbm(20 * math.log10(other), 20 * math.log10(one), intercept_dbm), abs=0.01
    )


def test_what_is_no_number_is_refused():
    with pytest.raises(ValueError, match="once_dbm"):
        intermodulation.third_order_dbm(0.0, math.nan, 0.0)

"""Ladder filters against published prototypes, and against the response of the standard approximation."""

import math

import pytest
from scipy import signal

from boardgen.handbook import ladder_filter


# tables of Chebyshev prototypes, such as Matthaei, Young, Jones, table 4.05-2 (recalled)
@pytest.mark.parametrize(
    ("ripple_db", "elements"),
    [
        (0.01, (0.6291, 0.9702, 0.6291)),
        (0.01, (0.7563, 1.3049, 1.5773, 1.3049, 0.7563)),
        (0.01, (0.7969, 1.3924, 1.7481, 1.6331, 1.7481, 1.3924, 0.7969)),
        (0.1, (1.0315, 1.1474, 1.0315)),
        (0.1, (1.1468, 1.3712, 1.9750, 1.3712, 1.1468)),
        (0.1, (1.1811, 1.4228, 2.0966, 1.5733, 2.0966, 1.4228, 1.1811)),
    ],
)
def test_published_prototypes(ripple_db, elements):
    assert ladder_filter.chebyshev(len(elements), ripple_db) == pytest.approx(elements, abs=1.1e-4)


@pytest.mark.parametrize("side", ["low-pass", "high-pass"])
@pytest.mark.parametrize("order", [3, 5, 7, 9])
def test_the_ladder_has_the_response_of_scipy(side, order):
    ripple_db, edge_hz, ohm = 0.05, 1.8e6, 75.0
    farads, henries = ladder_filter.parts(side, ladder_filter.chebyshev(order, ripple_db), edge_hz, ohm)
    band = side.removesuffix("-pass")
    numerator, denominator = signal.cheby1(order, ripple_db, 1.0, band, analog=True)
    for ratio in (0.3, 0.55, 0.8, 0.95, 1.0, 1.1, 1.5, 2.0, 3.0):
        _, (response,) = signal.freqs(numerator, denominator, [ratio])
        loss_db = ladder_filter.loss_db(side, farads, henries, 1e9, ohm, ratio * edge_hz)
        assert loss_db == pytest.approx(-20 * math.log10(abs(response)), abs=1e-5)


def test_lossy_coils_by_hand():
    """A coil of 50 ohm and quality 10 alone: capacitors in series large, capacitors across small."""
    henry = 50 / (2 * math.pi * 1e6)
    loss_db = ladder_filter.loss_db("high-pass", (1.0, 1.0), (henry,), 10.0, 50.0, 1e6)
    assert loss_db == pytest.approx(20 * math.log10(abs(1 + 25 / (5 + 50j))), abs=1e-6)
    # and in series: |1 + (5 + 50j) / 100|
    loss_db = ladder_filter.loss_db("low-pass", (1e-18, 1e-18), (henry,), 10.0, 50.0, 1e6)
    assert loss_db == pytest.approx(20 * math.log10(abs(1 + (5 + 50j) / 100)), abs=1e-6)


def test_small_losses_follow_cohn():
    """Far below the edge a low-pass loses 4.343 (w / edge) sum g / Q of its coils (Cohn 1959, recalled)."""
    prototype = ladder_filter.chebyshev(5, 0.01)
    farads, henries = ladder_filter.parts("low-pass", prototype, 1e6, 50.0)
    with_loss, without = (ladder_filter.loss_db("low-pass", farads, henries, q, 50.0, 1e5) for q in (200.0, 1e9))
    expected = 4.343 * 0.1 * sum(prototype[1::2]) / 200
    assert with_loss - without == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize(("order", "ripple_db", "named"), [(4, 0.1, "order"), (0, 0.1, "order"), (3, 0.0, "ripple_db")])
def test_what_makes_no_ladder_is_refused(order, ripple_db, named):
    with pytest.raises(ValueError, match=named):
        ladder_filter.chebyshev(order, ripple_db)

"""What passes an open contact of a relay against makers' curves of isolation."""

import math

import numpy as np
import pytest

from boardgen.handbook import isolation
from boardgen.kinds.relay import RELAY
from tests.catalogue.shipped import CATALOGUE
from tests.evidence import loss
from tests.rf.test_rf_by_hand import BARE, NAMED, figure, prediction

CURVE_DB = {5e6: 65, 8e6: 60, 20e6: 53.5, 30e6: 50, 40e6: 48, 60e6: 44.5, 100e6: 40, 200e6: 33.5}
"""Fujitsu A series (14 x 9 x 5 mm), Rev. January 9, 2008, p. 5: A-5W-K on a board in 75 ohm, common to make.

Read off the curve, 1 dB either way. Its table states about 0.5 pF between open contacts.
"""
THROUGH_CURVE_F = 0.112e-12
"""Fitted to that curve; above 30 MHz alone it is 0.106 pF."""
SHEETS_F = {
    "Fujitsu A, by its curve": THROUGH_CURVE_F,
    "TE IM, 37.0 dB at 100 MHz if in 75 ohm": 0.150e-12,
    "TE IM, 37.0 dB at 100 MHz if in 50 ohm": 0.225e-12,
}
"""What each published isolation comes to (TE IM: data sheet 09-2017)."""


def through_f(isolation_db, frequency_hz, z0_ohm):
    """The capacitance along a matched line that has this isolation: `loss.isolation_db` turned round."""
    ratio = 10 ** (isolation_db / 10)
    return 1 / (2 * math.pi * frequency_hz * 2 * z0_ohm * math.sqrt(ratio - 1))


def test_published_isolations_are_these_capacitances():
    fitted = [through_f(db, frequency_hz, 75) for frequency_hz, db in CURVE_DB.items()]
    assert np.exp(np.mean(np.log(fitted))) == pytest.approx(THROUGH_CURVE_F, rel=0.03, abs=0)
    assert isolation.fitted(list(CURVE_DB.items()), 75).farad == pytest.approx(THROUGH_CURVE_F, rel=0.03, abs=0)
    assert through_f(37.0, 100e6, 75) == pytest.approx(0.150e-12, rel=0.01, abs=0)
    assert through_f(37.0, 100e6, 50) == pytest.approx(0.225e-12, rel=0.01, abs=0)


def test_an_inductance_is_found_where_the_curve_shows_it():
    """A series resonance deepens the curve's fall; far below it there is none to be told."""
    for top_hz, henry in ((2e9, 8e-9), (0.2e9, None)):
        curve = [(f, isolation.isolation_db(f, 0.2e-12, 50, 8e-9)) for f in np.geomspace(1e6, top_hz, 12)]
        found = isolation.fitted(curve, 50)
        assert found.farad == pytest.approx(0.2e-12, rel=0.02, abs=0)
        assert found.henry == (henry and pytest.approx(henry, rel=1e-6))


@pytest.mark.parametrize(("share", "is_felt"), [(0.099, False), (0.101, True)])
def test_an_inductance_counts_from_a_tenth_of_the_reactance(share, is_felt):
    """At the highest point, where w L is that share of 1/(w C) - w L."""
    henry = share / (1 + share) / ((2 * math.pi * 1e9) ** 2 * 0.2e-12)
    curve = [(f, isolation.isolation_db(f, 0.2e-12, 50, henry)) for f in (1e7, 1e8, 1e9)]
    assert (isolation.fitted(curve, 50).henry is not None) == is_felt


def test_what_is_no_capacitance_is_refused():
    with pytest.raises(ValueError, match=r"those of 0.106 to 1.06 pF"):
        isolation.fitted([(1e6, 60), (10e6, 60)], 75)


@pytest.mark.parametrize(("frequency_hz", "curve_db"), list(CURVE_DB.items())[:4])
def test_a_board_with_the_relay_of_the_curve(frequency_hz, curve_db):
    """Two contacts in the loop are 6 dB better than the one of the curve; a fifth more or less is 1.6 to 1.9 dB off."""
    own = f'{NAMED}[measured.relay]\nthrough_capacitance = "{THROUGH_CURVE_F * 1e12:g} pF"\n'
    lines = BARE + 'idle = "open"\nbus_braid = "floating"'
    predicted = prediction(["", ""], lines, own, protection="surge = false")
    assert figure(predicted, "isolation", frequency_hz) == pytest.approx(curve_db + 6.02, abs=1.5)


def test_the_sheets_table_is_far_from_the_curve():
    """0.5 pF between open contacts would be 13 dB worse."""
    stated = [loss.isolation_db(0.5e-12, frequency_hz, 75) for frequency_hz in CURVE_DB]
    assert np.mean([db - said for db, said in zip(CURVE_DB.values(), stated, strict=True)]) == pytest.approx(
        13, abs=0.5
    )


def test_what_is_assumed_is_the_middle_of_the_published():
    """A fifth more or less would not be."""
    figure = RELAY.assumed["through capacitance"]
    assert figure.value == pytest.approx(math.prod(SHEETS_F.values()) ** (1 / len(SHEETS_F)), rel=0.05, abs=0)
    assert figure.least < min(SHEETS_F.values())
    assert figure.most > max(SHEETS_F.values())


def test_the_catalogue_has_what_the_sheet_says():
    """TE IM: 37.0 dB at 100 MHz, 18.8 dB at 900 MHz."""
    figure = CATALOGUE.part("relay-im06").figures["through capacitance"]
    assert loss.isolation_db(figure.value, 100e6, 50) == pytest.approx(37.0, abs=0.1)
    assert loss.isolation_db(figure.value, 900e6, 50) == pytest.approx(18.8, abs=1)
    assert loss.isolation_db(figure.least, 100e6, 75) == pytest.approx(37.0, abs=0.1)


def test_no_sheets_limit_is_taken_for_what_goes_through():
    """The limits are kept: 0.4 to 2 pF; what passes is 0.08 to 0.5 of them."""
    limits = {p.key: f for p in CATALOGUE.of_kind("relay") if (f := p.figures.get("open contact capacitance"))}
    assert len(limits) == 5
    for key, limit in limits.items():
        known = CATALOGUE.part(key).figures.get("through capacitance", RELAY.assumed["through capacitance"])
        assert known.value < 0.5 * limit.value

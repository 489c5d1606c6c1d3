"""Strong transmitters against figures worked by hand, and what is told of them."""

from __future__ import annotations

import math

import pytest

from boardgen.documents import strong_signals as words
from boardgen.documents.json.response import response_document
from boardgen.request import Request
from boardgen.rf.prediction import Prediction
from boardgen.rf.refine import refine
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.rf.rf_boards import text

BOX = '[amplifier]\nplace = "box"\ngain = "15 dB"\nnoise_figure = "4 dB"\nintercept = "36 dBm"\n'
FEEDER = '[feeder]\ncable = "RG-6 copper centre"\nlength = "100 m"\nantenna_gain = "-20 dB"\nenvironment = "rural"\n'
OPEN, TERMINATED = (text(["", ""], f'idle = "{idle}"') for idle in ("open", "terminated"))


def transmitter(label: str, frequency: str, power: str, distance: str, more: str = "") -> str:
    return (
        f'[[transmitter]]\nlabel = "{label}"\nfrequency = "{frequency}"\npower = "{power}"\n'
        f'distance = "{distance}"\n{more}\n'
    )


OWN = transmitter("own vertical", "1.83 MHz", "100 W", "80 m")
TOWERS = transmitter("one", "6.1 MHz", "1 kW", "20 km") + transmitter("two", "5.2 MHz", "2 kW", "30 km")


def predicted(board: str, *tables: str) -> Prediction:
    spec = read_text(board + FEEDER + "".join(tables))
    return refine(Request(spec, CATALOGUE)).prediction


@pytest.fixture(scope="module")
def near() -> Prediction:
    return predicted(TERMINATED, BOX, OWN)


def test_a_vertical_of_100_w_at_80_m_by_hand(near: Prediction) -> None:
    (one,) = near.strong_signals
    # sqrt(30 x 300 W)/80 m = 1.186 V/m; wavelength 163.8 m, aperture 2136 m2 at 0 dB, 213.6 m2 at -10 dB
    assert one.field_v_per_m == pytest.approx(1.1859, abs=0.0005)
    assert one.received_w == pytest.approx(1.1859**2 / 376.99 * 213.56, rel=1e-3)
    assert one.contact_v == pytest.approx(math.sqrt(2 * one.received_w * 75), rel=1e-9)
    assert one.near_m == pytest.approx(26.07, abs=0.01)


def test_flux_by_hand(near: Prediction) -> None:
    (one,) = near.strong_signals
    core = next(c for c in near.choices.values if c.role == "port turns")
    # size 202: web of 1.9 mm over 14.35 mm; 75 ohm; mix 73 saturates at 390 mT
    assert (core.part, core.subject.strip) == ("core-73-202", "way 1")
    volts = math.sqrt(one.received_w * 75)
    assert one.flux_t == pytest.approx(volts / (4.44288 * 1.83e6 * core.chosen * 1.9e-3 * 14.35e-3), rel=1e-4)
    assert one.flux_limit_t == pytest.approx(0.039)


def test_an_open_port_has_twice_the_volts() -> None:
    (one,) = predicted(OPEN, OWN).strong_signals
    assert one.contact_v == pytest.approx(2 * math.sqrt(2 * one.received_w * 75), rel=1e-9)


def test_an_amplifier_at_the_house_has_the_coax_before_it(near: Prediction) -> None:
    (at_box,) = near.strong_signals
    (at_house,) = predicted(TERMINATED, BOX.replace('"box"', '"house"'), OWN).strong_signals
    coax_db = next(p.loss_db("main coax") for p in near.path if math.isclose(p.frequency_hz, 1.8e6))
    assert at_box.amplifier_dbm is not None
    assert at_house.amplifier_dbm is not None
    assert at_box.amplifier_dbm - at_house.amplifier_dbm == pytest.approx(coax_db, abs=0.02)
    board_db = 10 * math.log10(at_box.received_w * 1e3) - at_box.amplifier_dbm
    assert 0 < board_db < 0.8


def test_a_transmitter_outside_of_what_is_predicted_meets_no_loss() -> None:
    tower = transmitter("tower", "120 kHz", "1 kW", "30 km", 'receive_gain = "-30 dB"')
    (one,) = predicted(TERMINATED, BOX, tower).strong_signals
    assert one.amplifier_dbm == pytest.approx(10 * math.log10(one.received_w * 1e3))
    # the same formula by decibels: 32.4 + 20 log 0.12 + 20 log 30 between isotropic antennas, 4.77 and -30 dB of gain
    lost_db = 32.4 + 20 * math.log10(0.12) + 20 * math.log10(30)
    assert 10 * math.log10(one.received_w) == pytest.approx(30 + 4.77 - 30 - lost_db, abs=0.06)


def test_products_within_the_band_by_hand() -> None:
    prediction = predicted(TERMINATED, BOX, TOWERS)
    one, two = prediction.strong_signals
    assert one.amplifier_dbm is not None
    assert two.amplifier_dbm is not None
    found = {product.twice: product for product in prediction.third_order}
    # 2 x 6.1 - 5.2 = 7.0 MHz and 2 x 5.2 - 6.1 = 4.3 MHz, both within 1.8 to 10.15 MHz; 36 dBm less 15 dB is 21 dBm
    assert found["one"].frequency_hz == pytest.approx(7.0e6)
    assert found["two"].frequency_hz == pytest.approx(4.3e6)
    level_dbm = 2 * one.amplifier_dbm + two.amplifier_dbm - 42
    assert found["one"].dbm == pytest.approx(level_dbm)
    # noise in 500 Hz: -174 + 27 + rural 67.2 - 27.7 log 7 - 20 dB of antenna, less the board's tenths
    noise_dbm = -174 + 26.99 + 67.2 - 27.7 * math.log10(7) - 20
    assert found["one"].over_noise_db == pytest.approx(level_dbm - noise_dbm, abs=0.8)
    assert any(p.id == "R021 third-order product" for p in prediction.problems)


def test_an_overdriven_amplifier_has_no_figure_for_a_product() -> None:
    tower = transmitter("two", "1.2 MHz", "2 kW", "30 km")
    prediction = predicted(TERMINATED, BOX, OWN, tower)
    assert {(p.dbm, p.is_heard) for p in prediction.third_order} == {(None, True)}
    product, filtered, *_ = words.sentences(prediction)
    assert "the amplifier is overdriven" in product
    # the one below the band, not the one within it
    assert filtered.startswith("a high-pass filter of")
    assert "two at 1.2 MHz down by at least" in filtered
    assert "own vertical" not in filtered


def test_each_limit_is_told_where_it_is_passed() -> None:
    strong = transmitter("linear", "1.83 MHz", "1500 W", "20 m")
    prediction = predicted(OPEN, BOX, strong)
    said = " ".join(p.sentence for p in prediction.problems if p.id == "R020 strong signal")
    for word in ("gas tube", "mT of flux", "down the coax", "dBm at the amplifier", "near field"):
        assert word in said, word
    quiet = predicted(TERMINATED, transmitter("far", "1.83 MHz", "10 W", "5 km"))
    assert not [p for p in quiet.problems if p.id.startswith("R02")]
    assert "no transmitter may ever be connected" in words.sentences(quiet)[-1]


def test_words_and_data_are_of_one_figure(near: Prediction) -> None:
    document = response_document(near, (), (), ())
    (row,), (one,) = words.rows(near), document.strong_signals
    assert row[2] == f"{one.field_v_per_m:.3g} V/m"
    assert one.flux_t is not None
    assert row[5].startswith(f"{one.flux_t * 1e3:.2g} mT")
    assert document.strong_signal_sentences == words.sentences(near)


def test_nothing_is_told_where_no_transmitter_is_named() -> None:
    prediction = predicted(TERMINATED, BOX)
    assert (words.rows(prediction), words.sentences(prediction), prediction.third_order) == ([], (), ())

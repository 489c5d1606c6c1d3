"""Conductors of a control cable as text."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.spec.cable import Conductor, conductor
from boardgen.tables.fault import FieldError


@pytest.mark.parametrize("text", ["24 AWG", "24AWG", "24 awg", "AWG 24", "AWG24", "#24 AWG", " 24 AWG "])
def test_a_gauge(text):
    assert conductor(text) == Conductor(text.strip(), "gauge", gauge=24)


@pytest.mark.parametrize("text", ["0.5 mm2", "0.5mm2", "0.5 mm²", "0.5 mm^2", "0,5 mm2", "0.5 sq mm"])
def test_an_area(text):
    assert conductor(text) == Conductor(text.replace("²", "2"), "area", area_m2=0.5e-6)


@pytest.mark.parametrize(
    ("text", "ohm_per_m"),
    [
        ("93.8 ohm/km", 0.0938),
        ("93.8 ohm / km", 0.0938),
        ("93,8 Ω/km", 0.0938),
        ("93.8 ohm per km", 0.0938),
        ("9.38 ohm per 100 m", 0.0938),
        ("9.38 ohm/100 m", 0.0938),
        ("9R38 per 100 m", 0.0938),
        ("93.8 mohm/m", 0.0938),
        ("28.6 ohm/1000 ft", 28.6 / 304.8),
        ("28.6 ohm per 1000 feet", 28.6 / 304.8),
    ],
)
def test_a_resistance(text, ohm_per_m):
    read = conductor(text)
    assert (read.text, read.kind, read.gauge, read.area_m2) == (text, "resistance", None, None)
    assert read.ohm_per_m_20c == pytest.approx(ohm_per_m, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("24", "not a size"),
        ("24.5 AWG", "not a size"),
        ("-24 AWG", "not a size"),
        ("٢٤ AWG", "not a size"),
        ("3 AWG", "4 to 40"),
        ("41 AWG", "4 to 40"),
        ("0.5 mm", "diameter or an area"),
        ("0.5 m2", "not a size"),
        ("50 mm2", "0.004 to 25"),
        ("-0.5 mm2", "0.004 to 25"),
        ("1,500 mm2", "1.500 or 1500"),
        ("93.8 ohm", "not a size"),
        ("93.8/km", "unit is missing"),
        ("93.8 ohm/km loop", "halve"),
        ("loop 93.8 ohm/km", "halve"),
        ("1 ohm per 0 m", "no length"),
        ("1 ohm per -5 m", "not a unit|begin with"),
        ("1 ohm/ohm", "wanted here"),
        ("-5 ohm/km", "0.5 to 4000"),
        ("5 Mohm/km", "0.5 to 4000"),
        ("", "empty"),
        ("/" * 100_000, "too long"),
        ("1 ohm\n/km", "printed"),
        (24, "not a text"),
        (True, "not a text"),
    ],
)
def test_refuses_and_says_why(text, why):
    with pytest.raises(FieldError, match=why):
        conductor(text)


@given(st.text(max_size=60) | st.text("0123456789.,/ ohmkperAWGft²2#", max_size=20))
def test_any_text_is_read_or_refused(text):
    try:
        read = conductor(text)
    except FieldError:
        return
    given = [value for value in (read.ohm_per_m_20c, read.gauge, read.area_m2) if value is not None]
    assert len(given) == 1
    assert given[0] > 0

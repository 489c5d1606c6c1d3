"""Quantities as text: what is read, what is refused and why, and the way back."""

import contextlib
import subprocess
import sys
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.spec import quantity
from boardgen.spec.quantity import parse, parse_range
from boardgen.spec.units import UNITS
from boardgen.tables.fault import FieldError

READ = [
    ("1.8 MHz", "Hz", 1.8e6),
    ("1800kHz", "Hz", 1.8e6),
    ("1.8 MHZ", "Hz", 1.8e6),
    ("1.8 Mhz", "Hz", 1.8e6),
    ("472 khz", "Hz", 472e3),
    ("472 KHZ", "Hz", 472e3),
    ("50 Hz", "Hz", 50.0),
    ("1,5 MHz", "Hz", 1.5e6),
    ("10,15 MHz", "Hz", 10.15e6),
    ("0,500 MHz", "Hz", 0.5e6),
    ("1.500 MHz", "Hz", 1.5e6),
    ("1.8e3 kHz", "Hz", 1.8e6),
    ("  7 MHz ", "Hz", 7e6),
    ("7\u00a0MHz", "Hz", 7e6),
    ("1k8", "ohm", 1800.0),
    ("1K8", "ohm", 1800.0),
    ("4R7", "ohm", 4.7),
    ("4r7", "ohm", 4.7),
    ("R47", "ohm", 0.47),
    ("1M5", "ohm", 1.5e6),
    ("1k8 ohm", "ohm", 1800.0),
    ("75R", "ohm", 75.0),
    ("82k", "ohm", 82e3),
    ("1M", "ohm", 1e6),
    ("75 ohm", "ohm", 75.0),
    ("75 ohms", "ohm", 75.0),
    ("75 \u03a9", "ohm", 75.0),
    ("75 \u2126", "ohm", 75.0),
    ("3 kΩ", "ohm", 3e3),
    ("20 mohm", "ohm", 0.02),
    ("100nF", "F", 100e-9),
    ("0,1 uF", "F", 0.1e-6),
    ("0.1 \u00b5F", "F", 0.1e-6),
    ("0.1 \u03bcF", "F", 0.1e-6),
    ("1,5 pF", "F", 1.5e-12),
    ("100 nf", "F", 100e-9),
    ("470 uH", "H", 470e-6),
    ("1 mH", "H", 1e-3),
    ("13.8 V", "V", 13.8),
    ("60 mA", "A", 0.06),
    ("250 mW", "W", 0.25),
    ("12 mm", "m", 0.012),
    ("180 m", "m", 180.0),
    ("1.2 km", "m", 1200.0),
    ("600 ft", "m", 182.88),
    ("1000 feet", "m", 304.8),
    ("2 in", "m", 0.0508),
    ("5 cm", "m", 0.05),
    ("0.5 mm2", "m2", 0.5e-6),
    ("0,5 mm²", "m2", 0.5e-6),
    ("50 degC", "degC", 50.0),
    ("50 C", "degC", 50.0),
    ("-30 °C", "degC", -30.0),
    ("−30 ℃", "degC", -30.0),
    ("18 dB", "dB", 18.0),
    ("10 %", "%", 0.1),
    ("10 percent", "%", 0.1),
    ("4", "count", 4.0),
]


@pytest.mark.parametrize(("text", "unit", "value"), READ)
def test_reads(text, unit, value):
    assert parse(text, unit) == value


REFUSED = [
    ("1,500 kHz", "Hz", "1.500 or 1500"),
    ("12,345 ohm", "ohm", "12.345 or 12345"),
    ("1.8 mHz", "Hz", "milli"),
    ("1.8 mhz", "Hz", "milli"),
    ("100 MF", "F", "million"),
    ("100 mF", "F", "thousandth"),
    ("100 mfd", "F", "thousandth"),
    ("100 MFD", "F", "million"),
    ("1 MH", "H", "million"),
    ("60 MA", "A", "million"),
    ("12 MM", "m", "million"),
    ("180 M", "m", "small m"),
    ("100 UF", "F", "uF"),
    ("100 NF", "F", "nF"),
    ("5 m", "ohm", "mohm for a thousandth"),
    ("1.2.3", "ohm", "more than one decimal mark"),
    ("1.2.3 ohm", "ohm", "more than one decimal mark"),
    ("1,2,3 ohm", "ohm", "more than one decimal mark"),
    ("1.234,5 ohm", "ohm", "more than one decimal mark"),
    ("1,234.5 ohm", "ohm", "more than one decimal mark"),
    ("5. ohm", "ohm", "ends in a decimal mark"),
    ("1 800 kHz", "Hz", "together"),
    ("1'800 kHz", "Hz", "together"),
    ("1_000 Hz", "Hz", "together"),
    ("nan", "Hz", "begin with a number"),
    ("nan Hz", "Hz", "begin with a number"),
    ("inf", "Hz", "begin with a number"),
    ("-inf Hz", "Hz", "begin with a number"),
    ("1e400", "Hz", "beyond"),
    ("1e400 Hz", "Hz", "beyond"),
    ("1e-400 Hz", "Hz", "beyond"),
    ("1e99999999999999999999 Hz", "Hz", "beyond"),
    ("0x10", "ohm", "only decimal"),
    ("0x10 ohm", "ohm", "only decimal"),
    ("", "Hz", "empty"),
    ("   ", "Hz", "empty"),
    ("75", "ohm", "unit is missing"),
    ("1.8", "Hz", "unit is missing"),
    ("MHz", "Hz", "begin with a number"),
    ("75 ohm please", "ohm", "not a unit"),
    ("75 ohm 5", "ohm", "not a unit"),
    ("k47", "ohm", "begin with a number"),
    ("1k8k", "ohm", "not a unit"),
    ("1m8", "ohm", "not a unit"),
    ("4n7", "F", "not a unit"),
    ("12 V", "Hz", "not a unit of what is wanted"),
    ("٣ Hz", "Hz", "0 to 9"),
    ("３ Hz", "Hz", "0 to 9"),
    ("³ Hz", "Hz", "0 to 9"),
    ("½ Hz", "Hz", "0 to 9"),
    ("1\nMHz", "Hz", "printed"),
    ("1\x00MHz", "Hz", "printed"),
    ("1\u202eMHz", "Hz", "printed"),
    ("9" * 61 + " Hz", "Hz", "too long"),
    ("120 F", "degC", "Fahrenheit"),
    ("120 °F", "degC", "Fahrenheit"),
    ("300 K", "degC", "kelvin"),
    ("10 dBm", "dB", "power"),
    ("0.5 mm", "m2", "diameter or an area"),
    ("4.5", "count", "whole number"),
    ("4 ohm", "count", "follows the number"),
    (True, "Hz", "true is not a text"),
    (False, "count", "false is not a text"),
    (3.5, "Hz", "3.5 is a bare number"),
    (75, "ohm", "75 is a bare number"),
    (10**30, "ohm", "huge"),
    (None, "ohm", "not a text"),
    ([75], "ohm", "a list is not a text"),
    (b"75 ohm", "ohm", "not a text"),
]


@pytest.mark.parametrize(("text", "unit", "why"), REFUSED)
def test_refuses_and_says_why(text, unit, why):
    with pytest.raises(FieldError) as caught:
        parse(text, unit)
    assert why in caught.value.found
    assert UNITS[unit].example in caught.value.wanted
    assert str(caught.value) == f"{caught.value.found}; {caught.value.wanted}"


def test_a_bare_number_is_answered_with_an_example():
    with pytest.raises(FieldError, match=r'write it as text with its unit, such as "1\.8 MHz"'):
        parse(3.5, "Hz")


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("13.2..14.0 V", (13.2, 14.0)),
        ("13.2...14 V", (13.2, 14.0)),
        ("13.2 .. 14 V", (13.2, 14.0)),
        ("13,2..14,0 V", (13.2, 14.0)),
        ("13.2 to 14.0 V", (13.2, 14.0)),
        ("13.2 V to 14.0 V", (13.2, 14.0)),
        ("900 mV..1.5 V", (0.9, 1.5)),
        ("13.8 V", (13.8, 13.8)),
        ("5..5 V", (5.0, 5.0)),
    ],
)
def test_reads_a_range(text, ends):
    assert parse_range(text, "V") == ends


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("14..13 V", "runs downwards"),
        ("13-14 V", "two dots"),
        ("13–14 V", "two dots"),
        ("1..2..3 V", "range"),
        ("..", "range"),
        ("..14 V", "range"),
        ("13..14", "missing"),
        ("13 A..14 V", "wanted here"),
        ("", "empty"),
        (13.8, "bare number"),
    ],
)
def test_refuses_a_range(text, why):
    with pytest.raises(FieldError, match=why):
        parse_range(text, "V")


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (1.8e6, "Hz", "1.8 MHz"),
        (10.15e6, "Hz", "10.15 MHz"),
        (472e3, "Hz", "472 kHz"),
        (999.96e3, "Hz", "1 MHz"),
        (100e-9, "F", "100 nF"),
        (4.7e-12, "F", "4.7 pF"),
        (82e3, "ohm", "82 kohm"),
        (75, "ohm", "75 ohm"),
        (37.5, "ohm", "37.5 ohm"),
        (0.1, "%", "10 %"),
        (0, "V", "0 V"),
        (-0.0, "V", "0 V"),
        (-30, "degC", "-30 degC"),
        (0.8, "dB", "0.8 dB"),
        (12345, "count", "12345"),
        (1.75, "1", "1.75"),
        (180, "m", "180 m"),
        (0.00254, "m", "2.54 mm"),
        (0.0938, "ohm/m", "0.0938 ohm/m"),
        (2 / 3, "V", "666.7 mV"),
    ],
)
def test_formats(value, unit, text):
    assert quantity.format(value, unit) == text


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_formats_no_value_that_is_not_finite(value):
    with pytest.raises(FieldError):
        quantity.format(value, "V")


UNIT_NAMES = st.sampled_from(sorted(set(UNITS) - {"count", "m2"}))


@given(digits=st.integers(-9999, 9999), power=st.integers(-12, 9), unit=UNIT_NAMES)
def test_four_digits_come_back_exactly(digits, power, unit):
    value = float(Decimal(digits).scaleb(power))
    assert parse(quantity.format(value, unit), unit) == value


@given(value=st.floats(1e-12, 1e12), unit=UNIT_NAMES)
def test_any_value_comes_back_to_four_digits(value, unit):
    assert parse(quantity.format(value, unit), unit) == pytest.approx(value, rel=5.001e-4)


@given(value=st.floats(1e-9, 1e9), unit=UNIT_NAMES)
def test_seventeen_digits_hold_every_float(value, unit):
    assert parse(quantity.format(value, unit, 17), unit) == value


@given(count=st.integers(0, 10**9))
def test_counts_come_back_exactly(count):
    assert parse(quantity.format(count, "count"), "count") == count


@given(number=st.decimals(1, 999, places=2), unit=UNIT_NAMES, data=st.data())
def test_every_spelling_scales_by_its_factor_with_point_or_comma(number, unit, data):
    spelling, factor = data.draw(st.sampled_from(sorted(UNITS[unit].factors.items())))
    expected = float(number * factor)
    assert parse(f"{number} {spelling}", unit) == expected
    assert parse(f"{number} {spelling}".replace(".", ","), unit) == expected


@given(number=st.integers(1, 999), unit=UNIT_NAMES, data=st.data())
def test_every_refused_spelling_is_refused_with_its_reason(number, unit, data):
    spellings = UNITS[unit].refused
    if spellings:
        spelling, reason = data.draw(st.sampled_from(sorted(spellings.items())))
        with pytest.raises(FieldError) as caught:
            parse(f"{number} {spelling}", unit)
        assert reason in caught.value.found


TEXTS = st.text(max_size=80) | st.text("0123456789.,-+eExRkKMmuµnpGHzohmsΩVAFWdBC°% _to\u00a0²", max_size=20)


@given(text=TEXTS, unit=st.sampled_from(sorted(UNITS)))
def test_any_text_is_read_or_refused(text, unit):
    with contextlib.suppress(FieldError):
        assert abs(parse(text, unit)) < 1e200
    with contextlib.suppress(FieldError):
        low, high = parse_range(text, unit)
        assert low <= high


@given(text=TEXTS, unit=st.sampled_from(sorted(UNITS)))
def test_a_refusal_can_be_printed(text, unit):
    with pytest.raises(FieldError) as caught:
        parse(f"{text}!", unit)
    assert str(caught.value).isprintable()


def test_reading_quantities_loads_no_validation_library():
    code = "import sys, boardgen.spec.quantity, boardgen.spec.cable; sys.exit('pydantic' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0

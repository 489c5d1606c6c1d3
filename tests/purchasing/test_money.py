from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.purchasing.money import plain, price_text, round_up, rounded


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        ("1.005", "CAD", "1.01"),
        ("1.0049", "CAD", "1.00"),
        ("2.675", "EUR", "2.68"),
        ("0.5", "JPY", "1"),
        ("1234.4", "JPY", "1234"),
        ("1.0005", "KWD", "1.001"),
        ("7", "CAD", "7.00"),
    ],
)
def test_half_is_rounded_up_to_the_smallest_unit(amount: str, currency: str, text: str) -> None:
    assert str(rounded(Decimal(amount), currency)) == text


@given(st.integers(0, 10**9), st.integers(1, 10**4))
def test_rounding_up_gives_the_least_multiple(amount: int, step: int) -> None:
    found = round_up(Decimal(amount) / 100, Decimal(step) / 100)
    assert found * 100 % step == 0
    assert 0 <= found * 100 - amount < step


@pytest.mark.parametrize(("number", "text"), [("25", "25"), ("1E+2", "100"), ("0.10", "0.1"), ("0", "0")])
def test_plain_numbers(number: str, text: str) -> None:
    assert plain(Decimal(number)) == text


@pytest.mark.parametrize(
    ("price", "currency", "text"), [("2.9", "CAD", "2.90"), ("0.0125", "CAD", "0.0125"), ("12", "JPY", "12")]
)
def test_prices_keep_their_decimals(price: str, currency: str, text: str) -> None:
    assert price_text(Decimal(price), currency) == text

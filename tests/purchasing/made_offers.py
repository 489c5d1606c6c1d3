"""Offers and parts made for tests."""

from datetime import date
from decimal import Decimal

from hypothesis import strategies as st
from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.purchasing.offer import Break, Offer

RELAY = Part("relay-x", "relay", "Maker", "X-12", "signal relay", "12 V", "read", "sheet")
RESISTOR = Part("resistor-37r4", "resistor", "Maker", "R37R4", "metal film resistor", "37R4", "read", "sheet")
WIRE = Part("wire-28", "winding wire", "any", "AWG 28", "enamelled wire", "0.32 mm", "read", "sheet", unit="m")


def offer(*breaks: tuple[object, str], **changes: object) -> Offer:
    """An offer of the relay with these price breaks; anything else can be changed."""
    made = Offer(
        "relay-x",
        "Supplier A",
        "A-1",
        "CAD",
        tuple(Break(Decimal(str(quantity)), Decimal(price)) for quantity, price in breaks),
        Decimal(1),
        Decimal(1),
        None,
        5,
        date(2026, 11, 1),
        False,
        "a list",
    )
    return replace(made, **changes)


def _decimals(*texts: str) -> st.SearchStrategy[Decimal]:
    return st.sampled_from([Decimal(text) for text in texts])


prices = st.integers(1, 500_000).map(lambda n: Decimal(n).scaleb(-4))


@st.composite
def offers(draw: st.DrawFn) -> Offer:
    """Any offer, dearer larger breaks and fractional multiples among them."""
    quantities = draw(st.lists(st.integers(1, 60), min_size=1, max_size=4, unique=True))
    return offer(
        *[(quantity, str(draw(prices))) for quantity in sorted(quantities)],
        supplier=f"Supplier {draw(st.sampled_from('ABC'))}",
        order_code=draw(st.sampled_from(["1", "2"])),
        currency=draw(st.sampled_from(["CAD", "JPY", "KWD"])),
        minimum=draw(_decimals("1", "5", "40")),
        multiple=draw(_decimals("1", "2", "7", "25", "0.5", "2.5", "0.1")),
        stock=draw(st.none() | st.integers(0, 120).map(Decimal)),
        lead_days=draw(st.none() | st.integers(0, 9)),
    )

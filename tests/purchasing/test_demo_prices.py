"""The demo prices are whole, and nobody can take them for real ones."""

from collections import defaultdict
from pathlib import Path

from boardgen.inputs.table_files import read_tables
from boardgen.purchasing.offer import Offer, covers, offers_for
from boardgen.purchasing.price_tables import read_offers, read_price_book
from tests.catalogue.shipped import CATALOGUE

FOLDER = Path(__file__).parents[2] / "parts" / "prices"


def demo() -> tuple[Offer, ...]:
    offers, problems = read_offers(read_tables([FOLDER]))
    assert problems == ()
    return offers


def test_every_demo_price_is_marked_invented() -> None:
    for offer in demo():
        assert offer.invented
        assert "Invented" in offer.supplier
        assert "invented" in offer.source


def test_both_currencies_have_the_same_offers() -> None:
    by_currency: dict[str, set[tuple[object, ...]]] = defaultdict(set)
    for offer in demo():
        steps = tuple(step.quantity for step in offer.breaks)
        by_currency[offer.currency].add((offer.part, offer.supplier, offer.order_code, steps, offer.multiple))
    assert set(by_currency) == {"CAD", "EUR"}
    assert by_currency["CAD"] == by_currency["EUR"]


def test_every_part_of_the_catalogue_has_a_price_in_both_currencies() -> None:
    offers, catalogue = demo(), CATALOGUE
    made_on_demand = (catalogue.resistor(37.4), catalogue.resistor(82e3))
    for part in (*catalogue.parts.values(), *made_on_demand):
        assert offers_for(part, offers, "CAD"), part.key
        assert offers_for(part, offers, "EUR"), part.key


def test_every_demo_price_is_of_a_part_of_the_catalogue() -> None:
    parts = tuple(CATALOGUE.parts.values())
    assert [offer.part for offer in demo() if not any(covers(offer, part) for part in parts)] == []


def test_a_relay_costs_about_three_dollars_in_quantity() -> None:
    # Common practice for a sealed signal relay.
    prices = [o.unit_price(100) for o in demo() if o.part == "relay-tq2-12" and o.currency == "CAD"]
    assert prices
    assert all(2.5 < price < 3.5 for price in prices)


def test_every_demo_supplier_has_terms_in_both_currencies_that_are_marked_invented() -> None:
    book, problems = read_price_book(read_tables([FOLDER]))
    assert problems == ()
    assert {(terms.supplier, terms.currency) for terms in book.terms} == {
        (offer.supplier, offer.currency) for offer in book.offers
    }
    assert all(terms.invented and "Invented" in terms.supplier for terms in book.terms)
    assert len({terms.supplier for terms in book.terms}) >= 3

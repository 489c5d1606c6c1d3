"""Twenty whole orders, drawn at random, cost what trying every way to buy them finds.

They have price breaks, minima, multiples, suppliers' and buyers' stock, spares, an alternate, parts that two boards
share, freight, fees, tax and a rate.
"""

import random
from datetime import date
from decimal import Decimal
from math import ceil

import pytest
from msgspec.structs import replace

from boardgen.purchasing.alternates import Approval
from boardgen.purchasing.needs import Spares
from boardgen.purchasing.order import Rate, SupplierTerms
from boardgen.purchasing.price_book import GivenRate
from boardgen.purchasing.stock import StockItem
from tests.purchasing.every_purchase import cheapest
from tests.purchasing.made_offers import RELAY, RESISTOR, offer
from tests.purchasing.made_requests import asked, board, make_order, need

OTHER = replace(RELAY, key="relay-y", number="Y-12")
DIODE = replace(RESISTOR, key="diode-z", kind="diode", number="Z-1")
PARTS = {part.key: part for part in (RELAY, OTHER, RESISTOR, DIODE)}
CURRENCIES = {"North": "CAD", "South": "EUR", "West": "CAD"}
RATES = {"CAD": Decimal(1), "EUR": Decimal("1.6213")}
MOST = 15
"""More of a part is never tried, nor worth it here."""


def some_offer(draw, part, supplier):
    start = draw.choice([1, 1, 2])
    breaks = [(start, str(Decimal(draw.randint(20, 900)) / 100))]
    more = draw.sample([3, 6, 10], draw.randint(0, 2))
    breaks += [(start + step, str(Decimal(draw.randint(20, 900)) / 100)) for step in more]
    return offer(
        *sorted(breaks, key=lambda each: each[0]),
        part=part.key,
        supplier=supplier,
        order_code=f"{supplier}-{part.key}",
        currency=CURRENCIES[supplier],
        minimum=Decimal(draw.choice([1, 1, 4])),
        multiple=Decimal(draw.choice([1, 1, 2, 5])),
        stock=draw.choice([None, None, Decimal(draw.randint(4, 20))]),
    )


def some_terms(draw, supplier):
    def amount(low, high):
        return Decimal(draw.randint(low, high)) / 100

    return SupplierTerms(
        supplier, CURRENCIES[supplier], amount(0, 1500), draw.choice([None, amount(500, 5000)]), amount(0, 300),
        Decimal(draw.choice(["0", "5", "14.975"])), draw.choice([None, None, amount(100, 2000)]), date(2026, 11, 1),
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(20))
def test_a_whole_order_costs_what_every_way_to_buy_it_finds(seed):
    draw = random.Random(seed)
    offers = [some_offer(draw, part, name) for part in PARTS.values() for name in draw.sample(list(CURRENCIES), 2)]
    terms = {name: some_terms(draw, name) for name in CURRENCIES}
    counts = [draw.randint(1, 2), draw.randint(1, 2)]
    takes = {RELAY.key: (2, 1), RESISTOR.key: (3, 0), DIODE.key: (1, 2)}
    stock = {key: draw.randint(0, 3) for key in (RELAY.key, OTHER.key, RESISTOR.key) if draw.random() < 0.6}
    boards = [
        board(
            *(need(PARTS[key], str(each[n])) for key, each in takes.items() if each[n]),
            title=f"board {n}", boards=counts[n], spares=Spares(Decimal("0.1")),
        )
        for n in (0, 1)
    ]  # fmt: skip
    made = make_order(
        asked(
            *boards,
            offers=offers,
            terms=tuple(terms.values()),
            rates=(GivenRate("CAD", Rate("EUR", RATES["EUR"], date(2026, 11, 1), "bank")),),
            stock=tuple(StockItem(key, Decimal(count)) for key, count in stock.items()),
            approvals=(Approval(RELAY.key, OTHER.key, "the builder"),),
            parts=PARTS,
        )
    )
    wanted = {}
    for key, each in takes.items():
        taken = sum(count * one for count, one in zip(counts, each, strict=True))
        wanted[key] = ceil(Decimal(taken) * Decimal("1.1")) - stock.get(key, 0)
    requirements = [
        (key, count, (OTHER.key,) if key == RELAY.key else ()) for key, count in wanted.items() if count > 0
    ]
    free = {OTHER.key: stock.get(OTHER.key, 0)}

    def offers_of(part):
        return [one for one in offers if one.part == part]

    least = cheapest(requirements, offers_of, free, terms, RATES, "CAD", MOST)
    if least is None:
        assert [problem for problem in made.problems if problem.severity == "shortfall"]
    else:
        assert (made.total * 100, made.proof.optimal) == (least, True)

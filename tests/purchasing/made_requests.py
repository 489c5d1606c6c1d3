"""Orders made for tests."""

from datetime import date
from decimal import Decimal

from boardgen.purchasing.demand import BoardNeeds
from boardgen.purchasing.make_order import make_order
from boardgen.purchasing.needs import Need, Spares
from boardgen.purchasing.order import OrderedBoard
from boardgen.purchasing.price_book import PriceBook
from boardgen.purchasing.sourcing import OrderRequest
from tests.purchasing.made_offers import RELAY, RESISTOR, WIRE

PARTS = {part.key: part for part in (RELAY, RESISTOR, WIRE)}
NONE = Spares(Decimal(0))


def need(part=RELAY, each="4", refs=("K1",), spare=True, note=""):
    return Need(part, refs, Decimal(each), part.unit, spare, note)


def board(*needs, title="Salt", boards=2, spares=NONE):
    return BoardNeeds(OrderedBoard(title, "A", boards), needs, spares)


def asked(*boards, offers=(), terms=(), rates=(), currency="CAD", parts=PARTS, **options):
    book = PriceBook(tuple(offers), tuple(terms), tuple(rates))
    return OrderRequest("a title", currency, boards, book, parts.get, **options)


def order(*boards, **options):
    return make_order(asked(*boards, **options))


def days(text):
    return date.fromisoformat(text)

"""Tables of prices, of suppliers' terms and of rates, with a heading row.

What a table is of is seen from its heading: one with the column `shipping` holds terms, one with `rate` rates, any
other prices. The columns may stand in any order; the structs below say what each may hold. A row that cannot be used is
named and left out; the rest holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import Annotated, TypeVar

from msgspec import Struct, field
from msgspec.structs import replace

from boardgen.model.problem import Place, Problem
from boardgen.purchasing.makers_numbers import NO_KEYS, Keys
from boardgen.purchasing.money import plain
from boardgen.purchasing.offer import FAMILY, Break, Offer
from boardgen.purchasing.order import Rate, SupplierTerms
from boardgen.purchasing.price_book import GivenRate, PriceBook, one_of_each
from boardgen.tables.column import column, columns_of
from boardgen.tables.csv_table import CsvKind, CsvTable, columns_in, read_table
from boardgen.tables.fault import Faults, FieldError

TERMS_MARK, RATES_MARK, PRICES_MARK = "shipping", "rate", "unit_price"
"""The columns by which the tables are known."""
Problems = tuple[Problem, ...]
_Dated = TypeVar("_Dated", "TermsRow", "RateRow")
_PRICES = CsvKind(
    "price",
    others={
        "alternate": "this is a table of alternates: give it to order with --alternates",
        "note": "this is a table of stock: give it to order with --stock",
    },
)
_TERMS, _RATES = CsvKind("terms"), CsvKind("rate")
_SHARED = ("currency", "minimum", "multiple", "stock", "lead_days", "as_of", "source")
"""In what all price breaks of an offer agree."""

Currency = Annotated[
    str,
    column(
        "three capital letters, as in ISO 4217",
        pattern="[A-Z]{3}",
        noun="a currency code",
        wanted="three capital letters, such as CAD",
    ),
]
_KNOWN = "more than 0; leave the row out where it is not known"
_SOURCE = 'where it is from; the word "invented" here or in the supplier marks figures for demonstration'


class PriceRow(Struct, frozen=True, kw_only=True):
    """One price break; rows with the same part, supplier and order code are one offer and agree in all else."""

    part: Annotated[str, column("catalogue key, or a family: resistor-* is every part whose key begins with resistor-")]
    supplier: Annotated[str, column("who sells it")]
    order_code: Annotated[str, column("the supplier's number; a * stands for the part's number")]
    currency: Currency
    quantity: Annotated[
        Decimal,
        column("from how many on the price holds: pieces, metres, dm2 of board-rate-area", above=0, wanted=_KNOWN),
    ]
    unit_price: Annotated[Decimal, column("price of one piece, metre or dm2", above=0, wanted=_KNOWN)]
    minimum: Annotated[Decimal, column("least that is sold", above=0, wanted=_KNOWN)] = Decimal(1)
    multiple: Annotated[Decimal, column("sold in multiples of", above=0, wanted=_KNOWN)] = Decimal(1)
    stock: Annotated[Decimal | None, column("how many the supplier has; blank where not known", least=0)] = None
    lead_days: Annotated[int | None, column("to delivery; blank where not known", "days", least=0)] = None
    as_of: Annotated[date, column("the day the price was asked, year-month-day")]
    source: Annotated[str, column(_SOURCE)]


class TermsRow(Struct, frozen=True, kw_only=True):
    """What a supplier asks beside its prices, for orders paid in `currency`; one row a supplier and currency."""

    supplier: Annotated[str, column("as in the price files")]
    currency: Currency
    shipping: Annotated[Decimal, column("of one order, whatever it holds; 0 where it is free", least=0)]
    free_from: Annotated[
        Decimal | None,
        column("value of goods from which shipping is free; blank where it never is", above=0, wanted=_KNOWN),
    ] = None
    order_fee: Annotated[Decimal, column("handling or small-order fee of each order", least=0)] = Decimal(0)
    tax_percent: Annotated[
        Decimal, column("on goods, shipping and fee together, such as 5 or 14.975", least=0, most=100)
    ] = Decimal(0)
    minimum_order: Annotated[
        Decimal | None, column("least value of goods that is sold; blank for none", above=0, wanted=_KNOWN)
    ] = None
    as_of: Annotated[date, column("the day the terms were asked, year-month-day")]
    source: Annotated[str, column(_SOURCE)]


class RateRow(Struct, frozen=True):
    """A rate of exchange. Rates are the user's, with the day that was given; none is ever fetched or turned round."""

    currency: Currency = field(name="from")
    to: Currency
    rate: Annotated[Decimal, column("how much of `to` one unit of `from` is worth", above=0, wanted=_KNOWN)]
    as_of: Annotated[date, column("the day of the rate, year-month-day")]
    source: Annotated[str, column("where it is from")]


def read_offers(texts: Iterable[tuple[str, str]], keys: Keys = NO_KEYS) -> tuple[tuple[Offer, ...], Problems]:
    """The offers of all tables of prices, and what is wrong in them; tables of terms and rates are passed over.

    Parameters
    ----------
    texts
        File name and text of each table.
    keys
        Catalogue key by what else may stand for a part: its maker's number.

    """
    offers: list[Offer] = []
    problems: list[Problem] = []
    for name, text in texts:
        if _mark(text) == PRICES_MARK:
            found, wrong = read_prices(text, name, keys)
            offers += found
            problems += wrong
    return tuple(offers), tuple(problems)


def read_price_book(texts: Iterable[tuple[str, str]], keys: Keys = NO_KEYS) -> tuple[PriceBook, Problems]:
    """All that the tables say, and what is wrong in them; of terms and rates in two files the newer hold."""
    offers: list[Offer] = []
    terms: dict[tuple[str, str], tuple[Place, TermsRow]] = {}
    rates: dict[tuple[str, str], tuple[Place, RateRow]] = {}
    problems: list[Problem] = []
    between = Faults()
    for name, text in texts:
        mark = _mark(text)
        if mark == TERMS_MARK:
            of_terms, some_terms = _read_terms(text, name)
            problems += of_terms.problems
            for pair, (place, term) in some_terms.items():
                _keep_newer(terms, pair, place, term, f"terms of {term.supplier} in {term.currency}", between)
        elif mark == RATES_MARK:
            of_rates, some_rates = _read_rates(text, name)
            problems += of_rates.problems
            for pair, (place, rate) in some_rates.items():
                _keep_newer(rates, pair, place, rate, f"rate from {rate.currency} to {rate.to}", between)
        else:
            some_offers, wrong = read_prices(text, name, keys)
            offers += some_offers
            problems += wrong
    kept, contradictions = one_of_each(offers)
    book = PriceBook(
        kept,
        tuple(_terms(row) for _, row in terms.values()),
        tuple(_rate(row) for _, row in rates.values()),
    )
    return book, (*problems, *between.found, *contradictions)


def read_prices(text: str, file_name: str, keys: Keys = NO_KEYS) -> tuple[tuple[Offer, ...], Problems]:
    """The offers in a table of prices, in the order they first appear, and what is wrong with it."""
    table = read_table(text, file_name, PriceRow, _PRICES, _check_family)
    table.rows = [(line, replace(row, part=keys.get(row.part, row.part))) for line, row in table.rows]
    groups: dict[tuple[str, str, str], list[tuple[int, PriceRow]]] = {}
    for line, row in _newest(table):
        group = groups.setdefault((row.part, row.supplier, row.order_code), [])
        if conflict := _conflict(group, row):
            table.row_fault(line, *conflict)
        else:
            group.append((line, row))
    for group in groups.values():
        _name_dearer_breaks(group, table)
    return tuple(_offer(group, file_name) for group in groups.values()), table.problems


def _newest(table: CsvTable[PriceRow]) -> Sequence[tuple[int, PriceRow]]:
    """The rows without those of offers for which the table has later ones; these are named in one note an offer."""
    latest: dict[tuple[str, ...], date] = {}
    for _, row in table.rows:
        key = _offer_key(row)
        latest[key] = max(row.as_of, latest.get(key, row.as_of))
    told: set[tuple[str, ...]] = set()
    kept = []
    for line, row in table.rows:
        key = _offer_key(row)
        if row.as_of == latest[key]:
            kept.append((line, row))
        elif key not in told:
            told.add(key)
            found = f"{row.part} at {row.supplier}, {row.order_code}, of {row.as_of}"
            place = Place(table.file_name, line)
            table.faults.add("price-superseded", place, found, f"that of {latest[key]} is taken", severity="note")
    return kept


def _offer_key(row: PriceRow) -> tuple[str, ...]:
    return (row.part, row.supplier, row.order_code, row.currency)


def read_terms(text: str, file_name: str) -> tuple[tuple[SupplierTerms, ...], Problems]:
    """The terms in a table, and what is wrong with it. Of two rows for one supplier and currency the newer holds."""
    table, terms = _read_terms(text, file_name)
    return tuple(_terms(row) for _, row in terms.values()), table.problems


def _read_terms(text: str, file_name: str) -> tuple[CsvTable[TermsRow], dict[tuple[str, str], tuple[Place, TermsRow]]]:
    table = read_table(text, file_name, TermsRow, _TERMS)
    found: dict[tuple[str, str], tuple[Place, TermsRow]] = {}
    for line, row in table.rows:
        place, key = Place(file_name, line), (row.supplier, row.currency)
        _keep_newer(found, key, place, row, f"terms of {row.supplier} in {row.currency}", table.faults)
    return table, found


def read_rates(text: str, file_name: str) -> tuple[tuple[GivenRate, ...], Problems]:
    """The rates in a table, and what is wrong with it. Of two rates for one pair the newer holds."""
    table, rates = _read_rates(text, file_name)
    return tuple(_rate(row) for _, row in rates.values()), table.problems


def _read_rates(text: str, file_name: str) -> tuple[CsvTable[RateRow], dict[tuple[str, str], tuple[Place, RateRow]]]:
    table = read_table(text, file_name, RateRow, _RATES, _check_pair)
    found: dict[tuple[str, str], tuple[Place, RateRow]] = {}
    for line, row in table.rows:
        place, key = Place(file_name, line), (row.currency, row.to)
        _keep_newer(found, key, place, row, f"rate from {row.currency} to {row.to}", table.faults)
    return table, found


def _rate(row: RateRow) -> GivenRate:
    return GivenRate(row.to, Rate(row.currency, row.rate, row.as_of, row.source))


def _keep_newer(
    found: dict[tuple[str, str], tuple[Place, _Dated]],
    key: tuple[str, str],
    place: Place,
    row: _Dated,
    name: str,
    faults: Faults,
) -> None:
    """Keeps the row where it is the first or newer, and names the one that does not hold.

    Two of one day that differ are a fault, and the first holds; alike they are one.
    """
    before = found.setdefault(key, (place, row))
    if before[1] == row:
        return
    (old_place, older), (new_place, newer) = sorted((before, (place, row)), key=lambda one: one[1].as_of)
    if older.as_of < newer.as_of:
        found[key] = (new_place, newer)
        wanted = f"that of {newer.as_of} at {new_place} is taken"
        faults.add("superseded", old_place, f"{name} of {older.as_of}", wanted, severity="note")
    else:
        wanted = f"it is not as at {before[0]}, which is taken"
        faults.add("contradiction", place, f"{name} a second time", wanted, "Take one of them out", "shortfall")


def _mark(text: str) -> str:
    """The column that tells what a table is of."""
    columns = columns_in(text, _COLUMNS)
    if PRICES_MARK in columns:
        return PRICES_MARK
    return next((mark for mark in (TERMS_MARK, RATES_MARK) if mark in columns), PRICES_MARK)


_COLUMNS = {column.name for layout in (PriceRow, TermsRow, RateRow) for column in columns_of(layout)}


def _check_family(row: PriceRow) -> None:
    if FAMILY in row.part.removesuffix(FAMILY):
        wanted = f"a family is written resistor-{FAMILY}"
        raise FieldError(found=f"part {row.part!r} has a {FAMILY} before its end", wanted=wanted)


def _check_pair(row: RateRow) -> None:
    if row.currency == row.to:
        raise FieldError(found=f"from and to are both {row.to}", wanted="two currencies")


def _conflict(group: Sequence[tuple[int, PriceRow]], row: PriceRow) -> tuple[str, str] | None:
    """How the row contradicts the rows of its offer before it."""
    if not group:
        return None
    first_line, first = group[0]
    for name in _SHARED:
        found, wanted = getattr(row, name), getattr(first, name)
        if found != wanted:
            found_text = f"{name} {_said(found)} in an offer with {_said(wanted)} on line {first_line}"
            return found_text, "one for all its rows"
    for line, other in group:
        if other.quantity == row.quantity:
            return f"a second price from {plain(row.quantity)} on", f"the first is on line {line}"
    return None


def _said(value: object) -> str:
    return "blank" if value is None else str(value)


def _offer(group: Sequence[tuple[int, PriceRow]], file_name: str) -> Offer:
    line, first = group[0]
    return Offer(
        first.part,
        first.supplier,
        first.order_code,
        first.currency,
        tuple(sorted(Break(row.quantity, row.unit_price) for _, row in group)),
        first.minimum,
        first.multiple,
        first.stock,
        first.lead_days,
        first.as_of,
        _invented(first),
        first.source,
        Place(file_name, line),
    )


def _terms(row: TermsRow) -> SupplierTerms:
    return SupplierTerms(
        supplier=row.supplier,
        currency=row.currency,
        shipping=row.shipping,
        free_from=row.free_from,
        order_fee=row.order_fee,
        tax_percent=row.tax_percent,
        minimum_order=row.minimum_order,
        as_of=row.as_of,
        source=row.source,
        invented=_invented(row),
    )


def _invented(row: PriceRow | TermsRow) -> bool:
    return "invented" in f"{row.supplier} {row.source}".lower()


def _name_dearer_breaks(group: Sequence[tuple[int, PriceRow]], table: CsvTable[PriceRow]) -> None:
    by_quantity = sorted(group, key=lambda numbered: numbered[1].quantity)
    for (line, fewer), (more_line, more) in pairwise(by_quantity):
        if more.unit_price > fewer.unit_price:
            found = f"{more.part}: from {plain(more.quantity)} on dearer than from {plain(fewer.quantity)}"
            hint = "The price is used as it stands"
            table.row_fault(more_line, found, f"compare line {line}", "warning", hint)

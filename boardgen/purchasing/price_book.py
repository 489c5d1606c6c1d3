"""Everything that price files say together: offers, terms, rates."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.model.problem import Problem, Severity
from boardgen.purchasing.bill import PRICE_AGE_DAYS
from boardgen.purchasing.offer import FAMILY, Offer, covers, offers_for
from boardgen.purchasing.order import Rate, SupplierTerms


class GivenRate(Struct, frozen=True):
    """A rate and the currency of the orders that it holds for."""

    to: str
    rate: Rate


class PriceBook(Struct, frozen=True):
    """What the files hold; of offers, terms and rates that stand in several files the newest is kept."""

    offers: tuple[Offer, ...] = ()
    terms: tuple[SupplierTerms, ...] = ()
    rates: tuple[GivenRate, ...] = ()


def one_of_each(offers: Iterable[Offer]) -> tuple[tuple[Offer, ...], tuple[Problem, ...]]:
    """The offers of several files, and where they contradict each other.

    Two rows for one part, supplier, order code and currency are one offer: the later price holds, and of the same day
    the first that was read.
    """
    found: dict[tuple[str, ...], Offer] = {}
    problems = []
    for offer in offers:
        key = (offer.part, offer.supplier, offer.order_code, offer.currency)
        before = found.setdefault(key, offer)
        if before == offer:
            continue
        older, newer = (before, offer) if before.as_of < offer.as_of else (offer, before)
        found[key] = newer
        name = f"{offer.part} at {offer.supplier}, {offer.order_code}"
        if older.as_of < newer.as_of:
            wanted = f"the one of {newer.as_of} at {newer.place} is taken"
            problems.append(_problem("price-superseded", "note", older, f"{name} of {older.as_of}", wanted))
        else:
            wanted = f"it is not as at {newer.place}, which is taken"
            problems.append(_problem("price-contradiction", "shortfall", older, f"{name} a second time", wanted))
    return tuple(found.values()), (*problems, *_shared_codes(found.values()), *_like_names(found.values()))


def offers_of(parts: Iterable[Part], offers: Sequence[Offer]) -> tuple[Offer, ...]:
    """The offers of these parts in all currencies, those of families made out to each part.

    Prices for demonstration are left out for a part that somebody really sells.
    """
    found: list[Offer] = []
    for part in parts:
        near = [offer for offer in offers if covers(offer, part)]
        own = [o for currency in dict.fromkeys(n.currency for n in near) for o in offers_for(part, near, currency)]
        found += [offer for offer in own if not offer.invented] or own
    return tuple(found)


def old(offers: Iterable[Offer], on: date | None, newest: date) -> tuple[Problem, ...]:
    """A warning for each price that is old on that day, or is after it; without a day, beside the newest price."""
    day, named = (on, str(on)) if on else (newest, f"the newest price, of {newest}")
    oldest = day - timedelta(days=PRICE_AGE_DAYS)
    problems = []
    for offer in offers:
        if offer.as_of < oldest:
            found = f"the price is of {offer.as_of}, more than {PRICE_AGE_DAYS} days before {named}"
            problems.append(_problem("price-old", "warning", offer, found, "", "Ask for it again before ordering"))
        elif offer.as_of > day:
            found = f"the price is of {offer.as_of}, after {named}"
            problems.append(_problem("price-ahead", "warning", offer, found, "", "Check the day"))
    return tuple(problems)


def _shared_codes(offers: Iterable[Offer]) -> list[Problem]:
    """A warning where a supplier's number stands for two parts."""
    first: dict[tuple[str, str], Offer] = {}
    problems = []
    for offer in offers:
        before = first.setdefault((offer.supplier, offer.order_code), offer)
        if before.part != offer.part and FAMILY not in offer.order_code:
            found = f"{offer.supplier}: {offer.order_code} stands for {offer.part} and for {before.part}"
            problems.append(_problem("price-code", "warning", offer, found, f"compare {before.place}"))
    return problems


def _like_names(offers: Iterable[Offer]) -> list[Problem]:
    """A warning where two suppliers' names differ in capitals and spaces alone."""
    first: dict[str, Offer] = {}
    told: set[str] = set()
    problems = []
    for offer in offers:
        before = first.setdefault("".join(offer.supplier.casefold().split()), offer)
        if before.supplier != offer.supplier and offer.supplier not in told:
            told.add(offer.supplier)
            found = f'"{offer.supplier}" and "{before.supplier}" are taken as two suppliers, with a parcel each'
            hint = "If they are one, write the name alike everywhere"
            problems.append(_problem("price-supplier", "warning", offer, found, f"compare {before.place}", hint))
    return problems


def _problem(kind: str, severity: Severity, offer: Offer, found: str, wanted: str, hint: str = "") -> Problem:
    return Problem(kind, severity, offer.place, found, wanted, hint)

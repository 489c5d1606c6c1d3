"""The cheapest purchase by trying every one, in arithmetic of its own: fractions, and no code of the program's.

A requirement is (part, number, parts allowed); an offer is read from the program's noun, and so are a supplier's terms.
"""

from fractions import Fraction
from itertools import product
from math import floor

PLACES = {"CAD": 2, "EUR": 2, "JPY": 0, "KWD": 3}


def half_up(value):
    return floor(value + Fraction(1, 2))


def quantities(offer, most):
    """Every quantity up to `most` or the stock that is sold, with the cost of the line in the smallest unit."""
    found = {}
    end = most if offer.stock is None else min(most, int(offer.stock))
    for quantity in range(1, end + 1):
        whole = Fraction(quantity) / Fraction(offer.multiple)
        if whole.denominator == 1 and quantity >= max(offer.minimum, offer.breaks[0].quantity):
            price = [b.unit_price for b in offer.breaks if b.quantity <= quantity][-1]
            found[quantity] = half_up(quantity * Fraction(price) * 10 ** PLACES[offer.currency])
    return found


def ways(wanted, offers, most, split):
    """Every way to buy at least `wanted`: {supplier: cost}, from one offer, or from several where `split`."""
    tables = [(offer.supplier, quantities(offer, most)) for offer in offers]
    if not split:
        for name, table in tables:
            yield from ({name: cost} for quantity, cost in table.items() if quantity >= wanted)
        return
    for chosen in product(*([(0, 0), *table.items()] for _, table in tables)):
        if sum(quantity for quantity, _ in chosen) >= wanted:
            spent = {}
            for (name, _), (quantity, cost) in zip(tables, chosen, strict=True):
                if quantity:
                    spent[name] = spent.get(name, 0) + cost
            yield spent


def paid(spent, terms, rates, currency):
    """What an order costs in the smallest unit of its currency; None where a least order is not reached."""
    total = 0
    for name, goods in spent.items():
        t = terms[name]
        unit = 10 ** PLACES[t.currency]
        if t.minimum_order is not None and goods < t.minimum_order * unit:
            return None
        shipping = (
            0 if t.free_from is not None and goods >= t.free_from * unit else half_up(Fraction(t.shipping) * unit)
        )
        net = goods + shipping + half_up(Fraction(t.order_fee) * unit)
        whole = net + half_up(net * Fraction(t.tax_percent) / 100)
        total += half_up(whole * Fraction(rates[t.currency]) * Fraction(10 ** PLACES[currency], unit))
    return total


def cheapest(requirements, offers_of, free, terms, rates, currency, most, key=lambda cost, parcels: cost):
    """The least `key` of cost and number of suppliers over all ways to meet all; None where there is none."""
    meets = {}
    for number, (part, _, allowed) in enumerate(requirements):
        for other in (part, *allowed):
            meets.setdefault(other, []).append(number)
    split = {part: must_split(part, numbers, requirements, offers_of, free) for part, numbers in meets.items()}
    best = None
    for parts in product(*((part, *allowed) for part, _, allowed in requirements)):
        lists = []
        for part in dict.fromkeys(parts):
            wanted = sum(n for (_, n, _), taken in zip(requirements, parts, strict=True) if taken == part)
            wanted -= free.get(part, 0)
            lists.append(list(ways(wanted, offers_of(part), most, split[part])) if wanted > 0 else [{}])
        for chosen in product(*lists):
            spent = {}
            for some in chosen:
                for name, cost in some.items():
                    spent[name] = spent.get(name, 0) + cost
            cost = paid(spent, terms, rates, currency)
            if cost is not None and (best is None or key(cost, len(spent)) < best):
                best = key(cost, len(spent))
    return best


def must_split(part, numbers, requirements, offers_of, free):
    """Whether no offer covers everything that the part may be bought for."""
    wanted = sum(requirements[n][1] for n in numbers) - free.get(part, 0)
    offers = offers_of(part)
    return wanted > 0 and not any(
        offer.stock is None or any(q >= wanted for q in quantities(offer, int(offer.stock))) for offer in offers
    )

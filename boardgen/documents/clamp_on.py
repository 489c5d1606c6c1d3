"""Cores clamped on the coax, or wound with it, beside the board's own braid breaker: rows and words."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal

from boardgen.design import Design
from boardgen.documents.counted import counted
from boardgen.documents.values import text
from boardgen.purchasing.bill import bill_line
from boardgen.purchasing.needs import Need
from boardgen.purchasing.offer import found_by_part
from boardgen.rf.clamp_on import CAPACITANCE_F, Choke, Span
from boardgen.rf.prediction import Prediction
from boardgen.spec import quantity

MOST_ON_A_COAX = 4
"""More cores than these on one coax weigh and cost more than a wound braid breaker: assumed."""
PriceWords = Callable[[Choke, int], str]
"""What so many of a core cost, "" where no price is known."""


def no_price(_: Choke, __: int) -> str:
    """Where there are no prices."""
    return ""


def price_of(design: Design) -> PriceWords:
    """At the design's prices, for one antenna."""
    offers, currency = found_by_part(design.offers), design.spec.order.currency

    def words(choke: Choke, count: int) -> str:
        need = Need(choke.part, (), Decimal(count), "piece", spare=False)
        line = bill_line(need, offers, 1, design.spares, currency)
        if line.line_cost is None:
            return ""
        return f"{line.line_cost} {currency}{' (invented)' if line.invented else ''}"

    return words


HEADINGS = ("core", "turns", "least common mode", "as many equal the breaker", "mass of one", "price of one")


def rows(prediction: Prediction, price: PriceWords = no_price) -> list[tuple[str, ...]]:
    """A core a row; empty where no cable is named."""
    return [
        (
            f"{choke.part.number} ({choke.part.value})",
            str(choke.turns),
            f"{text(choke.least_ohm.value, 'ohm')}, {text(choke.least_ohm.low, 'ohm')} to "
            f"{text(choke.least_ohm.high, 'ohm')}",
            _count(choke.equal) if choke.equal else "no breaker",
            f"{choke.mass_kg * 1000:.0f} g",
            price(choke, 1) or "unknown",
        )
        for choke in prediction.clamp_on
    ]


def _count(span: Span) -> str:
    if span.low == span.high:
        return f"{span.value:.0f}"
    return f"{span.value:.0f}, {span.low:.0f} to {span.high:.0f}"


def sentences(prediction: Prediction, price: PriceWords = no_price) -> tuple[str, ...]:
    """The advice, where both help, and what that rests on; none where no cable is named."""
    best = _best(prediction.clamp_on)
    if best is None:
        return ()
    said = [advice(prediction, price), *_together(best)]
    return (
        *said,
        "this rests on sizes recalled from the maker's list, permeability within 25 % (recalled), and "
        f"{text(CAPACITANCE_F[0], 'F')} to {text(CAPACITANCE_F[-1], 'F')} across several turns (assumed); the "
        "antennas' coax is taken to be that of the main coax",
    )


def advice(prediction: Prediction, price: PriceWords = no_price) -> str:
    """Whether cores on the coax stand in for the braid breaker, with bounds, in one sentence; "" where none is told."""
    best = _best(prediction.clamp_on)
    if best is None:
        return ""
    ohm = best.least_ohm
    one = (
        f"one {best.part.number} with {counted(best.turns, 'turn')} of the coax has {text(ohm.value, 'ohm')} where it "
        f"has least ({text(ohm.low, 'ohm')} to {text(ohm.high, 'ohm')})"
    )
    if best.equal is None:
        return f"clamp-on cores on a board without braid breakers at its antennas: {one}"
    count = best.equal
    most = int(count.high)
    costs = price(best, most)
    weight = f"{most} of them weigh {most * best.mass_kg:.1f} kg{f' and cost {costs}' if costs else ''} an antenna"
    verdict = "they can stand in for it" if count.high <= MOST_ON_A_COAX else "the wound breaker is the lighter way"
    return (
        f"clamp-on cores instead of a wound braid breaker: {one}; {_count(count)} in series equal the breaker as "
        f"predicted over the whole band; {weight}: {verdict}"
    )


def _best(chokes: tuple[Choke, ...]) -> Choke | None:
    """That of which fewest do, then the lightest."""
    return min(
        chokes,
        key=lambda one: (one.equal.high if one.equal else math.inf, -one.least_ohm.low, one.mass_kg),
        default=None,
    )


def _together(best: Choke) -> list[str]:
    """Where one of them beside the breaker helps, and where it cancels a part of it."""
    if best.equal is None:
        return []
    helps, hinders = (
        f"from {quantity.format(span[0], 'Hz', 3)} to {quantity.format(span[1], 'Hz', 3)}" if span else "nowhere"
        for span in (best.helps_hz, best.hinders_hz)
    )
    return [
        f"one of them beside the breaker makes a tenth more of it or better {helps}, and less of it {hinders}, where "
        "the inductance of the one cancels the capacitance of the other"
    ]

"""Filters of the trade that would stand behind the board against transmitters outside of its band, and what they hold.

They are no part of the board: what they would win and lose is told, with the parts that they would have.
"""

from __future__ import annotations

from functools import partial
from typing import Final

from msgspec import Struct

from boardgen.handbook import ladder_filter, preferred
from boardgen.handbook.ladder_filter import Side
from boardgen.request import Request
from boardgen.rf.strong_signals import StrongSignal
from boardgen.spec.strip import Strip

RIPPLE_DB: Final = 0.01
"""Of the passband: a return loss of 26 dB."""
ORDERS: Final = (3, 5, 7, 9)
"""Of more parts than nine tolerances and losses leave little."""
QUALITY: Final = 100.0
"""Of coils on rings of powdered iron at a few megahertz: assumed, low for them."""
PARTS_OFF: Final = 0.05
"""All parts together may be off by so much, and the edge with them, which lies that far outside the band: assumed."""
LEAST_WANTED_DB: Final = 20.0
"""A filter is held worth its loss from here on: assumed."""


class Held(Struct, frozen=True):
    """How far a transmitter is held down at least, and how far is wanted, in dB."""

    label: str
    frequency_hz: float
    least_db: float
    wanted_db: float

    @property
    def is_enough(self) -> bool:
        """Whether it is held down as far as is wanted."""
        return self.least_db >= self.wanted_db


class OutsideFilter(Struct, frozen=True):
    """The smallest filter that holds whom any can hold; the largest where it can hold none.

    Parameters
    ----------
    ohm : of its both ends, that of the main coax.
    farads : from end to end, in series in a high-pass and across the pair in a low-pass: preferred numbers of E24.
    henries : between them, across the pair in a high-pass and in series in a low-pass.
    lost_hz, lost_db : the edge of the board's band on its side, and the most that it loses there.
    blocks_feed : whether a feed of the main coax cannot pass it.
    held : every transmitter on its side of the band.

    """

    side: Side
    edge_hz: float
    ohm: float
    farads: tuple[float, ...]
    henries: tuple[float, ...]
    lost_hz: float
    lost_db: float
    blocks_feed: bool
    held: tuple[Held, ...]

    @property
    def order(self) -> int:
        """Of its response: the number of its parts."""
        return len(self.farads) + len(self.henries)

    @property
    def is_worth_it(self) -> bool:
        """Whether it holds any transmitter as far as is wanted."""
        return any(one.is_enough for one in self.held)


def outside_filters(request: Request, signals: tuple[StrongSignal, ...]) -> tuple[OutsideFilter, ...]:
    """A high-pass against what is below the board's band and a low-pass against what is above it, where any is.

    Wanted are 20 dB, or as many as the amplifier is overdriven by.
    """
    band = request.spec.band
    sides: tuple[tuple[Side, float, list[StrongSignal]], ...] = (
        ("high-pass", band.lowest, [one for one in signals if one.transmitter.frequency < band.lowest]),
        ("low-pass", band.highest, [one for one in signals if one.transmitter.frequency > band.highest]),
    )
    return tuple(_smallest(request.output, side, edge, met) for side, edge, met in sides if met)


def _smallest(output: Strip, side: Side, band_edge_hz: float, signals: list[StrongSignal]) -> OutsideFilter:
    made = [_filter(output, side, order, band_edge_hz, signals) for order in ORDERS]
    most = sum(one.is_enough for one in made[-1].held)
    return next((f for f in made if most and sum(one.is_enough for one in f.held) >= most), made[-1])


def _filter(output: Strip, side: Side, order: int, band_edge_hz: float, signals: list[StrongSignal]) -> OutsideFilter:
    """Parts that are off together move the whole response: into the band for what is lost, off it for what is held."""
    away = 1 - PARTS_OFF if side == "high-pass" else 1 / (1 - PARTS_OFF)
    edge_hz = band_edge_hz * away
    ohm = output.impedance
    exact, henries = ladder_filter.parts(side, ladder_filter.chebyshev(order, RIPPLE_DB), edge_hz, ohm)
    farads = tuple(preferred.nearest(farad, "E24") for farad in exact)
    loss_db = partial(ladder_filter.loss_db, side, farads, henries, QUALITY, ohm)
    held = tuple(
        Held(
            one.transmitter.label,
            one.transmitter.frequency,
            loss_db(one.transmitter.frequency / away),
            _wanted_db(one),
        )
        for one in signals
    )
    lost_db = loss_db(band_edge_hz * away)
    blocks_feed = side == "high-pass" and output.feed is not None
    return OutsideFilter(side, edge_hz, ohm, farads, henries, band_edge_hz, lost_db, blocks_feed, held)


def _wanted_db(one: StrongSignal) -> float:
    if one.amplifier_dbm is None or one.amplifier_most_dbm is None:
        return LEAST_WANTED_DB
    return max(LEAST_WANTED_DB, one.amplifier_dbm - one.amplifier_most_dbm)

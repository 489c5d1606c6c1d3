"""Strong transmitters near by: rows and words of what they do to board and amplifier, and of filters against them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from boardgen.rf.outside_filter import PARTS_OFF, QUALITY, RIPPLE_DB, Held, OutsideFilter
from boardgen.rf.prediction import Prediction
from boardgen.rf.strong_signals import (
    BANDWIDTH_HZ,
    BELOW_INTERCEPT_DB,
    CONTACT_V,
    DIRECTIVITY_DB,
    Product,
    StrongSignal,
)
from boardgen.spec import quantity

HEADINGS = ("transmitter", "frequency", "field", "from the antenna", "peak at contacts", "flux in core", "amplifier")
TOLD = 3
"""So many third-order products are told."""


def rows(prediction: Prediction) -> list[tuple[str, ...]]:
    """A transmitter a row; empty where none is named."""
    return [_row(one) for one in prediction.strong_signals]


def _row(one: StrongSignal) -> tuple[str, ...]:
    flux = "not known"
    if one.flux_t is not None and one.flux_limit_t is not None:
        flux = f"{_millitesla(one.flux_t)} of {_millitesla(one.flux_limit_t)}"
    amplifier = "none"
    if one.amplifier_dbm is not None:
        most = one.amplifier_most_dbm
        amplifier = f"{one.amplifier_dbm:.0f} dBm" + ("" if most is None else f" of {most:.0f} dBm")
    return (
        one.transmitter.label,
        quantity.format(one.transmitter.frequency, "Hz"),
        f"{quantity.format(one.field_v_per_m, 'V', 3)}/m",
        quantity.format(one.received_w, "W", 2),
        quantity.format(one.contact_v, "V", 2),
        flux,
        amplifier,
    )


def _millitesla(tesla: float) -> str:
    return f"{tesla * 1e3:.2g} mT"


def sentences(prediction: Prediction) -> tuple[str, ...]:
    """Products in the amplifier, filters, what all rests on, last what holds always; none without transmitters."""
    if not prediction.strong_signals:
        return ()
    return (
        *_products(prediction),
        *_filters(prediction),
        "all are bounds from above: field in free space (ITU-R P.525, recalled), which ground only lessens, and "
        "no loss outside of the predicted frequencies; the gain of the antenna is taken to be the same at every "
        "frequency (assumed); power, distance and gain are as you gave them, or a short "
        "vertical over perfect ground, whose 300 mV/m at 1 km from 1 kW are those of ITU-R P.368 (recalled); where "
        f"receive_gain is not given the antenna has {DIRECTIVITY_DB:g} dB more toward a transmitter than on average "
        "(assumed)",
        f"open contacts bear {CONTACT_V:g} V (assumed), cores a tenth of saturation (recalled) in their narrowest wall "
        f"(assumed), an amplifier {BELOW_INTERCEPT_DB:g} dB less than its intercept (rule of thumb)",
        "no transmitter may ever be connected to this board: it receives only, and a fault in an antenna switch that "
        "leads to it destroys contacts, cores and resistors",
    )


def _products(prediction: Prediction) -> list[str]:
    spec, found = prediction.request.spec, prediction.third_order
    if spec.amplifier.place == "none":
        return []
    if spec.amplifier.intercept is None:
        return ["third-order products are not told: write intercept of the amplifier's sheet under [amplifier]"]
    if not found:
        return ["no third-order product of two of them falls into the band"]
    return ["third-order products in the amplifier: " + "; ".join(_product(one) for one in found[:TOLD])]


def _product(one: Product) -> str:
    made = f"{quantity.format(one.frequency_hz, 'Hz', 5)} from {one.twice} twice and {one.once}"
    if one.dbm is None or one.over_noise_db is None:
        return f"{made}, without a figure since the amplifier is overdriven"
    side = "over" if one.over_noise_db > 0 else "under"
    noise = f"{abs(one.over_noise_db):.0f} dB {side} the noise in {quantity.format(BANDWIDTH_HZ, 'Hz')}"
    return f"{made}, {one.dbm:.0f} dBm at its input, {noise}"


def _filters(prediction: Prediction) -> Iterator[str]:
    """What they hold and lose, their parts where they are worth them, and what that rests on."""
    for one in prediction.outside_filters:
        held = "; ".join(map(_held, one.held))
        lost = f"it loses up to {one.lost_db:.1f} dB at {quantity.format(one.lost_hz, 'Hz')}"
        blocks = " and blocks the feed of the main coax" if one.blocks_feed else ""
        if one.is_worth_it:
            yield f"a {one.side} filter of {one.order} parts would hold {held}; {lost}{blocks}"
            yield f"parts of that {one.side} filter from end to end: {_parts(one)}"
        else:
            yield f"a {one.side} filter of {one.order} parts would not do unless tuned: it holds {held}; {lost}{blocks}"
    if prediction.outside_filters:
        yield (
            "such a filter is no part of the board: it stands in the main coax, behind the board and before an "
            f"amplifier; Chebyshev with {RIPPLE_DB:g} dB of ripple, capacitors of preferred numbers, coils of quality "
            f"{QUALITY:g} (assumed), held and lost with all parts {quantity.format(PARTS_OFF, '%')} off together "
            "(assumed)"
        )


def _held(one: Held) -> str:
    """How far it is held, and how far is wanted where that is not enough."""
    least_db = math.floor(one.least_db)
    least = f"down by at least {least_db} dB" if least_db else "down by less than 1 dB"
    short = "" if one.is_enough else f" of the {math.ceil(one.wanted_db)} dB wanted"
    return f"{one.label} at {quantity.format(one.frequency_hz, 'Hz')} {least}{short}"


def _parts(one: OutsideFilter) -> str:
    capacitors = ", ".join(quantity.format(farad, "F") for farad in one.farads)
    coils = ", ".join(quantity.format(henry, "H", 3) for henry in one.henries)
    ends = f"edge {quantity.format(one.edge_hz, 'Hz')}, {one.ohm:g} ohm"
    if one.side == "high-pass":
        return f"capacitors in series in the centre {capacitors}; coils from between them to the braid {coils}; {ends}"
    return f"capacitors from centre to braid {capacitors}; coils between them in series in the centre {coils}; {ends}"

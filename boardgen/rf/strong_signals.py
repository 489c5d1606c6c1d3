"""What strong transmitters do to the board: volts at contacts and tubes, flux in cores, products in a preamplifier.

Everything is a bound from above: the field in free space at its full gain, all its power in the board, and a board that
loses nothing outside of its predicted frequencies.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator
from typing import Final

import numpy as np
from msgspec import Struct

from boardgen.handbook import field_strength, flux_density, intermodulation
from boardgen.model.choices import Choices
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.request import Request
from boardgen.rf.receive_path import path_point
from boardgen.rf.response import Response
from boardgen.spec import quantity
from boardgen.spec.keys import Spec, Transmitter

DIRECTIVITY_DB: Final = 10.0
"""What a receive antenna may have toward one direction beyond its average gain: assumed."""
CONTACT_V: Final = 250.0
"""Peak volts that an open contact bears: a quarter of the 1000 V withstand that signal relays state (recalled)."""
SHARE_OF_SATURATION: Final = 0.1
"""Up to this share of saturation a core is linear and stays cool: assumed."""
BELOW_INTERCEPT_DB: Final = 10.0
"""By how much less than its intercept an amplifier gives before it is overdriven: rule of thumb (recalled)."""
BANDWIDTH_HZ: Final = 500.0
"""In which products are held against noise: a receiver for Morse code, assumed."""
THERMAL_DBM_PER_HZ: Final = -174.0
"""k T0 at 290 K, ITU-R P.372."""
HEAT_W: Final = 0.1
"""From this power on in the receive antenna's coax nobody should switch or leave it unguarded: assumed."""


class StrongSignal(Struct, frozen=True):
    """One transmitter as the board meets it.

    Parameters
    ----------
    field_v_per_m : root-mean-square field in free space.
    received_w : what the antenna gives to a matched board.
    contact_v : peak volts across an open contact, or a port that is left open where any is.
    spark_v : the least at which the gas tube of a port may fire; None without tubes.
    flux_t, flux_limit_t : peak in the narrowest wall of the core that has most for its limit; None without a core whose
        saturation is known.
    amplifier_dbm : at the amplifier's input; None without one.
    amplifier_most_dbm : where it is overdriven; None where its intercept is not given.
    near_m : within this distance the near field is the stronger one.

    """

    transmitter: Transmitter
    field_v_per_m: float
    received_w: float
    contact_v: float
    spark_v: float | None
    flux_t: float | None
    flux_limit_t: float | None
    amplifier_dbm: float | None
    amplifier_most_dbm: float | None
    near_m: float


class Product(Struct, frozen=True):
    """A third-order product of two transmitters within the band, at the amplifier's input, and over noise in 500 Hz.

    Both figures are None where the amplifier is overdriven by either of them: the law of the intercept ends there.
    """

    twice: str
    once: str
    frequency_hz: float
    dbm: float | None
    over_noise_db: float | None

    @property
    def is_heard(self) -> bool:
        """Whether it may be over the noise."""
        return self.over_noise_db is None or self.over_noise_db > 0


def strong_signals(request: Request, choices: Choices, response: Response) -> tuple[StrongSignal, ...]:
    """Every transmitter of the specification.

    Source: ITU-R P.525 in boardgen.handbook.field_strength; flux by boardgen.handbook.flux_density.
    """
    return tuple(_met(request, choices, response, one) for one in request.spec.transmitter)


def _met(request: Request, choices: Choices, response: Response, one: Transmitter) -> StrongSignal:
    spec = request.spec
    field = field_strength.field_v_per_m(one.power, one.gain, one.distance)
    gain_db = spec.feeder.antenna_gain + DIRECTIVITY_DB if one.receive_gain is None else one.receive_gain
    received_w = field_strength.received_w(field, one.frequency, gain_db)
    open_ended = 2.0 if any(strip.idle == "open" for strip in request.antennas) else 1.0
    ohm = max(spec.band.impedance, *(strip.impedance for strip in request.antennas))
    peak_v = open_ended * math.sqrt(2 * received_w * ohm)
    flux, limit = _flux(request, choices, one.frequency, open_ended * math.sqrt(received_w)) or (None, None)
    before_db = _before_amplifier_db(spec, response, one.frequency)
    intercept = spec.amplifier.intercept
    return StrongSignal(
        one,
        field,
        received_w,
        peak_v,
        _spark_v(choices),
        flux,
        limit,
        None if before_db is None else _dbm(received_w) - before_db,
        None if intercept is None else intercept - (spec.amplifier.gain or 0.0) - BELOW_INTERCEPT_DB,
        field_strength.near_field_m(one.frequency),
    )


def _dbm(watt: float) -> float:
    return 10 * math.log10(watt * 1e3)


def _spark_v(choices: Choices) -> float | None:
    tubes = [choices.parts[c.part] for c in choices.values if c.role == "surge tube"]
    return min((tube.figures["spark-over voltage"].least for tube in tubes), default=None)


def _flux(request: Request, choices: Choices, frequency_hz: float, root_w: float) -> tuple[float, float] | None:
    """Peak flux density and its limit, of the core that has most for its limit; `root_w` times root ohm is volts."""
    ohm = {strip.label: strip.impedance for strip in request.strips}
    found = []
    for one in choices.values:
        area_m2 = _area_m2(choices.parts[one.part]) if one.role == "port turns" else None
        saturation_t = flux_density.SATURATION_T.get(_material(choices.parts[one.part])) if area_m2 else None
        if area_m2 and saturation_t:
            volts = root_w * math.sqrt(ohm[one.subject.strip])
            flux = flux_density.peak_t(volts, frequency_hz, one.chosen, area_m2)
            found.append((flux, SHARE_OF_SATURATION * saturation_t))
    return max(found, key=lambda pair: pair[0] / pair[1], default=None)


def _material(part: Part) -> str:
    return part.attributes.get("material", "")


def _area_m2(part: Part) -> float | None:
    figures = [part.figure(name) for name in ("width", "length", "hole spacing", "hole diameter")]
    known = [figure.value for figure in figures if figure is not None]
    return flux_density.narrowest_area_m2(*known) if len(known) == len(figures) else None


def _before_amplifier_db(spec: Spec, response: Response, frequency_hz: float) -> float | None:
    """The least loss between antenna and amplifier; None without an amplifier."""
    links = path_point(spec, frequency_hz, _least_loss_db(response, frequency_hz)).links
    names = [link.name for link in links]
    if "amplifier" not in names:
        return None
    return -sum(link.gain_db for link in links[: names.index("amplifier")])


def _least_loss_db(response: Response, frequency_hz: float) -> float:
    """Of the board; nothing outside of what is predicted."""
    points = response.frequency_hz
    if not points[0] <= frequency_hz <= points[-1]:
        return 0.0
    at = response.at(frequency_hz)
    return max(0.0, float(np.min([curve.low[at] for curve in response.of("insertion loss")])))


def products(spec: Spec, response: Response, signals: tuple[StrongSignal, ...]) -> tuple[Product, ...]:
    """Third-order products of each two transmitters that fall into the band, the strongest over noise first.

    Empty where no intercept is given.
    """
    intercept, gain = spec.amplifier.intercept, spec.amplifier.gain
    if intercept is None or gain is None:
        return ()
    found = []
    for twice, once in itertools.permutations(signals, 2):
        frequency_hz = 2 * twice.transmitter.frequency - once.transmitter.frequency
        if not spec.band.lowest <= frequency_hz <= spec.band.highest:
            continue
        level_dbm, over_db = None, None
        if twice.amplifier_dbm is not None and once.amplifier_dbm is not None and not _overdriven((twice, once)):
            level_dbm = intermodulation.third_order_dbm(twice.amplifier_dbm, once.amplifier_dbm, intercept - gain)
            over_db = level_dbm - _noise_dbm(spec, response, frequency_hz)
        found.append(Product(twice.transmitter.label, once.transmitter.label, frequency_hz, level_dbm, over_db))
    return tuple(sorted(found, key=lambda one: -math.inf if one.over_noise_db is None else -one.over_noise_db))


def _overdriven(signals: Iterable[StrongSignal]) -> bool:
    return any(
        one.amplifier_dbm is not None
        and one.amplifier_most_dbm is not None
        and one.amplifier_dbm > one.amplifier_most_dbm
        for one in signals
    )


def _noise_dbm(spec: Spec, response: Response, frequency_hz: float) -> float:
    """Noise of the antenna's surroundings at the amplifier's input."""
    outside_db = path_point(spec, frequency_hz, 0.0).external_db
    lost_db = _before_amplifier_db(spec, response, frequency_hz) or 0.0
    return THERMAL_DBM_PER_HZ + 10 * math.log10(BANDWIDTH_HZ) + outside_db - lost_db


def cautions(signals: tuple[StrongSignal, ...], found: tuple[Product, ...]) -> Iterator[Problem]:
    """A warning for each limit that a transmitter may exceed, and for products that are heard."""
    for number, one in enumerate(signals, 1):
        place = Place(key=f"transmitter[{number}]")
        for text, hint in _exceeded(one):
            yield Problem("R020 strong signal", "warning", place, f'"{one.transmitter.label}": {text}', "", hint)
    for product in found:
        if product.is_heard:
            at = quantity.format(product.frequency_hz, "Hz", 5)
            over = (
                "as strong as the overdriven amplifier makes it"
                if product.over_noise_db is None
                else f"up to {product.over_noise_db:.0f} dB over the noise in {quantity.format(BANDWIDTH_HZ, 'Hz')}"
            )
            text = f'"{product.twice}" and "{product.once}" make a third-order product at {at}, {over}'
            hint = "An amplifier of higher intercept or less gain, or a filter before it, would lessen it."
            yield Problem("R021 third-order product", "warning", Place(key="amplifier.intercept"), text, "", hint)


def _exceeded(one: StrongSignal) -> Iterator[tuple[str, str]]:
    """What it may exceed, and what to do."""
    away = "Take the antenna off the board, or short it, while it transmits."
    volts = quantity.format(one.contact_v, "V", 2)
    if one.spark_v is not None and one.contact_v >= one.spark_v:
        fires = quantity.format(one.spark_v, "V", 3)
        yield f"up to {volts} of peak at a port fire its gas tube, which may fire from {fires} on", away
    if one.contact_v >= CONTACT_V:
        yield f"up to {volts} of peak stand across open contacts, which bear {CONTACT_V:g} V (assumed)", away
    if one.flux_t is not None and one.flux_limit_t is not None and one.flux_t > one.flux_limit_t:
        flux, limit = (f"{tesla * 1e3:.2g} mT" for tesla in (one.flux_t, one.flux_limit_t))
        yield f"up to {flux} of flux in a core, of which {limit} are linear and cool (assumed)", away
    if one.received_w >= HEAT_W:
        power = quantity.format(one.received_w, "W", 2)
        yield (
            f"up to {power} come down the coax of an antenna: do not switch while it transmits",
            "Let the transmitter's own line release all relays, and guard receiver and amplifier.",
        )
    if one.amplifier_dbm is not None and one.amplifier_most_dbm is not None and _overdriven([one]):
        over_db = one.amplifier_dbm - one.amplifier_most_dbm
        yield (
            f"up to {one.amplifier_dbm:.0f} dBm at the amplifier, {over_db:.0f} dB more than it takes undisturbed",
            "Switch it off and past while that transmits, or put a filter before it.",
        )
    if one.transmitter.distance < one.near_m:
        near = quantity.format(one.near_m, "m", 2)
        yield f"nearer than {near} the near field is stronger than all that is told here", away

"""The main coax behind the board: its loss, and whether it and the board raise the noise floor."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from boardgen.handbook import bands, coax, noise
from boardgen.rf.response import Response
from boardgen.spec import quantity
from boardgen.spec.keys import Spec

MATTERS_DB = 0.5
"""A rise of the noise floor by less than this is not heard: common practice, no source."""
SAME_IMPEDANCE = 0.1
"""Cables whose impedance differs by no more stand in for one another: 50 and 51.5 ohm, say."""
AMPLIFIER_NOISE_DB, AMPLIFIER_GAIN_DB = 4.0, 15.0
"""Of a common receive amplifier: assumed."""
STEEL_CENTRE = ("RG-6 steel centre", "RG-59", "RG-59 foam")


class SystemPoint(Struct, frozen=True):
    """Losses of board and main coax at one frequency, noise at the antenna's terminals, and rise of the floor, dB."""

    frequency_hz: float
    board_db: float
    coax_db: float
    external_db: float
    rise_db: float


Curve = tuple[tuple[float, complex], ...]


def system(spec: Spec, response: Response, measured: Curve | None = None) -> tuple[SystemPoint, ...]:
    """Loss and noise at the band's edges and the middle of each amateur band in it; empty where no cable is named.

    Parameters
    ----------
    measured : the cable's own attenuation, dB in 100 m at rising frequencies in Hz; it wins over the named cable

    Source: cable model of boardgen.handbook.coax, noise of ITU-R P.372 and Friis in boardgen.handbook.noise.

    """
    feeder = spec.feeder
    if feeder.cable is None and measured is None:
        return ()
    environment = noise.ENVIRONMENTS[feeder.environment]
    points = []
    for frequency in _frequencies(spec):
        at = response.at(frequency)
        board = max(float(c.values[at]) for c in response.of("insertion loss"))
        main = feeder.length * _db_per_m(spec, measured, frequency)
        external = noise.external_db(environment, frequency) + feeder.antenna_gain
        rise = noise.floor_rise_db(external, board + main, feeder.noise_figure)
        points.append(SystemPoint(frequency, board, main, external, rise))
    return tuple(points)


def _db_per_m(spec: Spec, measured: Curve | None, frequency_hz: float) -> float:
    """Measured attenuation is a straight line between its points where both axes are logarithmic."""
    if measured is None:
        return coax.attenuation_db_per_m(coax.CABLES[spec.feeder.cable or ""], frequency_hz)
    frequencies, values = zip(*measured, strict=True)
    decibels = np.log(np.real(values))
    return float(np.exp(np.interp(np.log(frequency_hz), np.log(frequencies), decibels))) / 100


class FeederCost(Struct, frozen=True):
    """What the way to the receiver costs where it costs most, in dB of weak signals, and what would lessen it.

    Parameters
    ----------
    worst : where the losses raise the noise floor most.
    board_db : of that rise, what the board alone would cost.
    receiver_db : what the receiver's own noise costs at that frequency without any loss.
    better : the rise with other cables of this impedance, the best first, two at most.
    amplified_db : what receiver, losses and amplifier cost together with an amplifier at the box.

    """

    worst: SystemPoint
    board_db: float
    receiver_db: float
    better: tuple[tuple[str, float], ...]
    amplified_db: float

    @property
    def matters(self) -> bool:
        """Whether the losses are heard."""
        return self.worst.rise_db >= MATTERS_DB

    @property
    def wants_amplifier(self) -> bool:
        """Whether an amplifier at the box lessens the whole by something that is heard."""
        return self.worst.rise_db + self.receiver_db - self.amplified_db >= MATTERS_DB


def feeder_cost(spec: Spec, points: tuple[SystemPoint, ...]) -> FeederCost | None:
    """What the losses mean and what would help; None where no cable is named.

    Source: Friis as in `system`; noise figure and gain of the amplifier are assumed.
    """
    if not points:
        return None
    worst = max(points, key=lambda p: p.rise_db)
    feeder, external = spec.feeder, worst.external_db

    def rise(loss_db: float) -> float:
        return noise.floor_rise_db(external, loss_db, feeder.noise_figure)

    rises = {
        name: rise(worst.board_db + feeder.length * coax.attenuation_db_per_m(cable, worst.frequency_hz))
        for name, cable in coax.CABLES.items()
        if abs(cable.impedance_ohm / _impedance(spec) - 1) < SAME_IMPEDANCE
    }
    # of what is hardly less, nobody buys another cable
    better = sorted((r, name) for name, r in rises.items() if r < worst.rise_db - MATTERS_DB)
    return FeederCost(
        worst,
        rise(worst.board_db),
        noise.receiver_db(external, feeder.noise_figure),
        tuple((name, r) for r, name in better[:2]),
        noise.amplified_db(
            external, worst.board_db, AMPLIFIER_NOISE_DB, AMPLIFIER_GAIN_DB, worst.coax_db, feeder.noise_figure
        ),
    )


def _impedance(spec: Spec) -> float:
    return spec.output.impedance or spec.band.impedance


def sentences(spec: Spec, points: tuple[SystemPoint, ...]) -> tuple[str, ...]:
    """What the losses mean and what would help, and what that rests on."""
    cost = feeder_cost(spec, points)
    if cost is None:
        return ()
    feeder = spec.feeder
    named = "coax as measured" if spec.measured.cable else str(feeder.cable)
    basis = (
        f"this rests on {feeder.environment} noise (ITU-R P.372), antenna gain {feeder.antenna_gain:g} dB and receiver "
        f"noise figure {feeder.noise_figure:g} dB"
    )
    found = [f"{quantity.format(feeder.length, 'm')} of {named}: {_verdict(cost)}", basis]
    if helps := remedy(cost):
        found.insert(1, f"less would be left: {helps}")
    if spec.band.lowest < noise.LOWEST_HZ:
        found.append("below 300 kHz the noise figures are an extrapolation")
    if named in STEEL_CENTRE:
        found.append("a steel centre: below 5 MHz the cable's loss is an upper bound")
    return tuple(found)


def in_short(cost: FeederCost) -> str:
    """What the way to the receiver costs and what would lessen it, for two lines of a summary."""
    worst = cost.worst
    at = quantity.format(worst.frequency_hz, "Hz", 4)
    said = f"weak signals lose {worst.rise_db:.1f} dB at {at}"
    if not cost.matters:
        said = f"losses raise the noise floor by {worst.rise_db:.1f} dB, which is not heard"
    elif cost.better:
        # of two the one that asks for less
        name, rise = cost.better[-1]
        said += f" ({rise:.1f} with {name})"
    if cost.wants_amplifier:
        whole = worst.rise_db + cost.receiver_db
        said += f", {whole:.1f} dB with the receiver's noise ({cost.amplified_db:.1f} with an amplifier at the box)"
    return said


def _verdict(cost: FeederCost) -> str:
    worst = cost.worst
    if not cost.matters:
        return f"the losses raise the noise floor by {worst.rise_db:.1f} dB at most, which is not heard"
    at = quantity.format(worst.frequency_hz, "Hz", 4)
    return (
        f"coax and board cost {worst.rise_db:.1f} dB of weak signals at {at}, the board {cost.board_db:.1f} of it"
        f" (losses {worst.coax_db:.1f} and {worst.board_db:.1f} dB)"
    )


def remedy(cost: FeederCost) -> str:
    """Other cables, and an amplifier where the receiver's own noise weighs too."""
    said = []
    if cost.matters and cost.better:
        said.append(" and ".join(f"{rise:.1f} dB with {name}" for name, rise in cost.better))
    if cost.wants_amplifier:
        said.append(
            f"the receiver's own noise costs {cost.receiver_db:.1f} dB besides: {cost.amplified_db:.1f} dB of all with "
            f"an amplifier at the box ({AMPLIFIER_NOISE_DB:g} dB noise figure, {AMPLIFIER_GAIN_DB:g} dB gain, assumed)"
        )
    return "; ".join(said)


def _frequencies(spec: Spec) -> list[float]:
    low, high = spec.band.lowest, spec.band.highest
    middles = [sum(bands.edges(name, spec.band.region)) / 2 for name in bands.NAMES]
    return sorted({low, high, *(f for f in middles if low < f < high)})

"""The way to the receiver in words and rows: what limits weak signals, and what would help at which price."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from boardgen.design import Design
from boardgen.documents.response import loss_bound
from boardgen.handbook import noise
from boardgen.purchasing.bill import bill_line
from boardgen.purchasing.needs import Need
from boardgen.purchasing.offer import found_by_part
from boardgen.rf.prediction import Prediction
from boardgen.rf.receive_path import (
    AMPLIFIER_GAIN_DB,
    AMPLIFIER_NOISE_DB,
    MATTERS_DB,
    Improvement,
    PathCost,
    PathPoint,
    path_cost,
)
from boardgen.spec import quantity
from boardgen.spec.keys import Feeder, Spec

STEEL_CENTRE = ("RG-6 steel centre", "RG-59", "RG-59 foam")
ADVISED = 2
"""So many other cables are told."""
PriceWords = Callable[[Improvement], str]
"""What an improvement costs, in brackets; "" where no price is known."""


def no_price(_: Improvement) -> str:
    """Where there are no prices."""
    return ""


def price_of(design: Design) -> PriceWords:
    """What the other cable costs by the metre at the design's prices; an amplifier has none."""
    feeder, currency = design.spec.feeder, design.spec.order.currency
    parts = {part.attributes.get("feeder"): part for part in design.catalogue.of_kind("cable")}
    offers = found_by_part(design.offers)

    def words(better: Improvement) -> str:
        part = parts.get(better.cable) if better.cable else None
        if part is None:
            return ""
        metres = Decimal(str(round(_length_m(feeder, better), 1)))
        need = Need(part, (), metres, "m", spare=False)
        line = bill_line(need, offers, 1, design.spares, currency, design.request.in_hand)
        if line.all_in_hand:
            return " (in hand)"
        if line.line_cost is None:
            return ""
        return f" ({line.line_cost} {currency}{', invented' if line.invented else ''})"

    return words


def _length_m(feeder: Feeder, better: Improvement) -> float:
    return feeder.second_length if better.link == "second coax" else feeder.length


def in_short(cost: PathCost | None, price: PriceWords = no_price) -> str:
    """What the way to the receiver costs, what makes most of it, and what would lessen it: two lines of a summary."""
    if cost is None:
        return "not told: name cable and length under [feeder]"
    worst, at = cost.worst, quantity.format(cost.worst.frequency_hz, "Hz", 4)
    if worst.whole_db < MATTERS_DB:
        return f"all to the receiver raises the noise floor by {worst.whole_db:.1f} dB, which is not heard"
    most = max(worst.shares_db, key=lambda name: worst.shares_db[name])
    said = f"weak signals lose {worst.whole_db:.1f} dB at {at}, {worst.shares_db[most]:.1f} by the {most}"
    # of two cables the one that asks for less
    better = [*([cost.amplifier] if cost.amplifier else []), *cost.cables[:ADVISED][-1:]]
    if better:
        said += "; with " + ", with ".join(f"{_name(one)} {one.whole_db:.1f}{price(one)}" for one in better)
    return said


def _name(better: Improvement) -> str:
    return better.cable or "an amplifier at the box"


def sentences(prediction: Prediction, price: PriceWords = no_price) -> tuple[str, ...]:
    """What the losses mean, what would help, and what that rests on; none where no cable is named."""
    spec, points = prediction.request.spec, prediction.path
    cost = path_cost(spec, points)
    if cost is None:
        return ()
    feeder = spec.feeder
    named = "coax as measured" if spec.measured.cable else str(feeder.cable)
    found = [f"{quantity.format(feeder.length, 'm')} of {named}: {_verdict(cost)}"]
    if cost.worst.whole_db >= MATTERS_DB:
        found.append(_shares(cost.worst))
    if helps := remedies(cost, price):
        found.append(f"what would help: {helps}")
    found.append(_basis(spec))
    if spec.band.lowest < noise.LOWEST_HZ:
        found.append("below 300 kHz the noise figures are an extrapolation")
    if named in STEEL_CENTRE:
        found.append("a steel centre: below 5 MHz the cable's loss is an upper bound")
    return tuple(found)


def _verdict(cost: PathCost) -> str:
    worst = cost.worst
    if not cost.losses_matter:
        return f"the losses raise the noise floor by {worst.rise_db:.1f} dB at most, which is not heard"
    at = quantity.format(worst.frequency_hz, "Hz", 4)
    return (
        f"coax and board cost {worst.rise_db:.1f} dB of weak signals at {at}, the board {cost.board_db:.1f} of it"
        f" (losses {worst.coax_db:.1f} and {worst.loss_db('board'):.1f} dB)"
    )


def _shares(worst: PathPoint) -> str:
    """What limits weak signals, the most first."""
    shares = sorted(worst.shares_db.items(), key=lambda one: -one[1])
    what = {link.name: "loss" if link.gain_db < 0 else "noise" for link in worst.links}
    told = ", ".join(f"{share:.1f} dB less without the {name}'s {what[name]}" for name, share in shares)
    return f"all to the receiver raises the floor by {worst.whole_db:.1f} dB: {told}"


def remedies(cost: PathCost, price: PriceWords = no_price) -> str:
    """Other cables, and an amplifier where the receiver's own noise weighs too."""
    said = [f"{one.cable} as {one.link} gains {one.gains_db:.1f} dB{price(one)}" for one in cost.cables[:ADVISED]]
    if cost.amplifier:
        said.append(
            f"an amplifier at the box ({AMPLIFIER_NOISE_DB:g} dB noise figure, {AMPLIFIER_GAIN_DB:g} dB gain, assumed) "
            f"gains {cost.amplifier.gains_db:.1f} dB: {cost.amplifier.whole_db:.1f} dB would be left"
        )
    return "; ".join(said)


def _basis(spec: Spec) -> str:
    feeder, amplifier = spec.feeder, spec.amplifier
    said = (
        f"this rests on {feeder.environment} noise (ITU-R P.372), antenna gain {feeder.antenna_gain:g} dB and receiver "
        f"noise figure {feeder.noise_figure:g} dB"
    )
    if amplifier.place != "none":
        said += (
            f", with an amplifier of {amplifier.gain:g} dB and noise figure {amplifier.noise_figure:g} dB at the "
            f"{amplifier.place}, as you gave them"
        )
    return said


HEADINGS = ("frequency", "board", "coax", "noise over kTB", "floor rises", "by the losses")


def rows(prediction: Prediction) -> list[tuple[str, ...]]:
    """Losses, noise at the antenna and rise of the floor, a frequency a row; empty where no cable is named."""
    return [
        (
            quantity.format(p.frequency_hz, "Hz"),
            f"{p.loss_db('board'):.2f} dB{loss_bound(prediction, p.frequency_hz)}",
            f"{p.coax_db:.2f} dB",
            f"{p.external_db:.1f} dB",
            f"{p.whole_db:.2f} dB",
            f"{p.rise_db:.2f} dB",
        )
        for p in prediction.path
    ]

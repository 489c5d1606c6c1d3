"""Sizes the whole board: every decision in order, each told what the earlier ones took."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.sizing.bifilar import bifilar_chokes
from boardgen.sizing.cable_limits import cable_fuse, longest_cable
from boardgen.sizing.capacitor import capacitors
from boardgen.sizing.choke import chokes
from boardgen.sizing.conductors import conductors
from boardgen.sizing.copper import copper
from boardgen.sizing.diode import flyback_diode, series_diode
from boardgen.sizing.feed_line import feed_voltages, fuses
from boardgen.sizing.fixtures import fixtures
from boardgen.sizing.indicator import indicator_resistor
from boardgen.sizing.outcome import Outcome
from boardgen.sizing.pins import check_pins
from boardgen.sizing.relay import relay
from boardgen.sizing.request import Request
from boardgen.sizing.resistor import resistors
from boardgen.sizing.series_resonance import check
from boardgen.sizing.surge import surge_parts
from boardgen.sizing.transformer import transformers

DEFAULT_SPARK_V = 90.0


def size(request: Request) -> Choices:
    """All choices of the board. Raises InputError where the catalogue cannot even offer a nearest part."""
    check_pins(request)
    fixed = fixtures(request)
    signal = (
        transformers(request) + chokes(request) + bifilar_chokes(request) + capacitors(request) + resistors(request)
    )
    guards = surge_parts(request)
    diode, series = series_diode(request)
    relays, judged = relay(request, series)
    feed = fuses(request)
    volts, feed_m = feed_voltages(request, signal + feed, judged.hot_a)
    control = diode + relays + flyback_diode(request, judged.part) + feed + volts + conductors(request)
    control += longest_cable(request, judged.longest_m, feed_m) + cable_fuse(request, judged.cold_a)
    control += indicator_resistor(request, fixed["lamp", Subject("", "selector", "indicator")])
    whole = signal + guards + control + copper(request, _highest_spark_v(guards), judged.cold_a)
    parts = {part.key: part for part in whole.parts}
    choices = Choices(whole.choices, parts, fixed, whole.problems)
    return Choices(whole.choices, parts, fixed, whole.problems + check(request, choices))


def _highest_spark_v(guards: Outcome) -> float:
    sparks = [p.figures["spark-over voltage"].most for p in guards.parts if "spark-over voltage" in p.figures]
    return max(sparks, default=DEFAULT_SPARK_V)

"""Sizes the whole board: every decision in order, each told what the earlier ones took, then what stages size."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.outcome import Outcome, gather
from boardgen.model.part import Part
from boardgen.model.problem import InputError
from boardgen.request import Request, candidates
from boardgen.sizing.attenuator import attenuators
from boardgen.sizing.bifilar import bifilar_chokes
from boardgen.sizing.cable_choices import cable_fuse, conductors, longest_cable
from boardgen.sizing.capacitor import capacitors
from boardgen.sizing.choke import chokes, series_resonance
from boardgen.sizing.copper import copper
from boardgen.sizing.diode import flyback_diode, series_diode
from boardgen.sizing.feed_line import feed_voltages, fuses
from boardgen.sizing.pins import check_pins
from boardgen.sizing.relay import relay
from boardgen.sizing.resistors import indicator_resistor, resistors
from boardgen.sizing.surge import surge_parts
from boardgen.sizing.transformer import transformers, with_extra_turns
from boardgen.spec.keys import Spec
from boardgen.stages import STAGES

Fixtures = Mapping[tuple[str, Subject], Part]
TRANSFORMERS_ALONE = ("core", "output_core", "wire")
"""Keys of [parts] that nothing but the transformers goes by."""


class Sizer:
    """Sizes boards of one catalogue that differ in a few keys: what the transformers do not touch is sized once."""

    def __init__(self) -> None:
        self._others: dict[Spec, Choices] = {}

    def size(self, request: Request) -> Choices:
        """All choices of the board.

        Raises InputError where the catalogue cannot even offer a nearest part, with the lines of a user's file.
        """
        try:
            return self._size(request)
        except InputError as error:
            if request.source is None:
                raise
            raise InputError(request.source.at_lines(error.problems)) from None

    def _size(self, request: Request) -> Choices:
        check_pins(request)
        asked = _without_transformers(request)
        known = self._others.get(asked.spec)
        fixed = known.fixtures if known else _fixtures(asked)
        wound = transformers(request)
        others = known or _others(asked, fixed)
        self._others[asked.spec] = others
        parts = {**{part.key: part for part in wound.parts}, **others.parts}
        problems = wound.problems + others.problems
        return Choices(wound.choices + others.values, parts, fixed, problems, wound.windings)


def size(request: Request) -> Choices:
    """All choices of one board. Raises InputError as Sizer.size does."""
    return Sizer().size(request)


def _without_transformers(request: Request) -> Request:
    """The same request without the keys that only the transformers go by, extra turns among them."""
    parts = request.spec.parts.model_copy(update=dict.fromkeys(TRANSFORMERS_ALONE))
    return with_extra_turns(replace(request, spec=request.spec.model_copy(update={"parts": parts})), 0)


def _others(request: Request, fixed: Fixtures) -> Choices:
    """Every decision but the transformers."""
    signal = chokes(request) + bifilar_chokes(request) + capacitors(request) + resistors(request)
    signal += attenuators(request)
    signal += gather(stage.size(request) for stage in STAGES)
    guards = surge_parts(request)
    diode, series = series_diode(request)
    relays, judged = relay(request, series)
    feed = fuses(request)
    volts, feed_m = feed_voltages(request, signal + feed, judged.hot)
    control = diode + relays + flyback_diode(request, judged.part) + feed + volts + conductors(request)
    control += longest_cable(request, judged.longest_m, feed_m) + cable_fuse(request, judged.cold)
    control += indicator_resistor(request, fixed["lamp", Subject("", "selector", "indicator")])
    whole = signal + guards + control + copper(request, _highest_spark_v(guards), judged.cold)
    choices = Choices(whole.choices, {part.key: part for part in whole.parts}, fixed, whole.problems, {})
    return replace(choices, problems=whole.problems + series_resonance(request, choices))


def _highest_spark_v(guards: Outcome) -> float:
    """Of the tubes, in volts; 0 where there are none, and then no surge copper either."""
    sparks = [p.figures["spark-over voltage"].most for p in guards.parts if "spark-over voltage" in p.figures]
    return max(sparks, default=0.0)


def _fixtures(request: Request) -> dict[tuple[str, Subject], Part]:
    """Parts that no number decides, by name and place: connectors, links, studs, terminals, jacks, lamps."""
    found = {("port", Subject(s.label, "port", "coax")): _connector(request, s.connector) for s in request.strips}
    link = candidates(request, "link", "")[0]
    found["link", Subject("", "bus", "bond")] = link
    found["link", Subject("", "earth", "link")] = link
    stud = candidates(request, "stud", "")[0]
    found["stud", Subject("", "earth", "stud")] = stud
    found["stud", Subject("", "control entry", "stud")] = stud
    found["terminal", Subject("", "control entry", "terminal")] = candidates(request, "terminal", "terminal")[0]
    found["jack", Subject("", "control entry", "jack")] = candidates(request, "jack", "")[0]
    found["lamp", Subject("", "selector", "indicator")] = candidates(request, "indicator", "indicator")[0]
    return found


def _connector(request: Request, style: str) -> Part:
    """The first connector of that style, or the pinned one."""
    offered = candidates(request, "connector", "connector")
    if request.spec.parts.connector:
        return offered[0]
    return next(p for p in offered if p.value == style)

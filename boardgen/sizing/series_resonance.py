"""Two unlike chokes in series across the line: where their capacitance and inductance cancel."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.outcome import shortfall
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.request import Request
from boardgen.sizing import rules
from boardgen.sizing.choke import SLOTS
from boardgen.sizing.choke_model import impedance, log_spaced

POINTS = 401


def least_impedance_ohm(first: Part, second: Part, lowest_hz: float, highest_hz: float) -> tuple[float, float]:
    """Least |Z| of the two in series over the band, and its frequency in Hz."""
    frequencies = log_spaced(lowest_hz, highest_hz, POINTS)
    henries = [part.figures["inductance"].value for part in (first, second)]
    return min((abs(impedance(first, f, henries[0]) + impedance(second, f, henries[1])), f) for f in frequencies)


def check(request: Request, choices: Choices) -> tuple[Problem, ...]:
    """Only the plain arrangement has two chokes in series across the line; unlike ones are refused where they dip."""
    if request.spec.switching.feed_arrangement != "plain":
        return ()
    problems = []
    band = request.spec.band
    for strip in (s for s in request.strips if s.feed):
        subject = Subject(strip.label, "feed", "centre choke")
        first, second = (choices.part("choke", Subject(strip.label, "feed", slot)) for slot in SLOTS["plain"])
        ohm, at_hz = least_impedance_ohm(first, second, band.lowest, band.highest)
        limit = rules.CHOKE_BAND_RATIO * strip.impedance
        if first.key != second.key and ohm < limit:
            found = f"{first.number} and {second.number} in series resonate: {ohm:.0f} ohm at {at_hz / 1e6:.3g} MHz"
            hint = "Take the same choke twice."
            problems.append(shortfall("V112 series resonance", subject, found, f"{limit:.0f} ohm are needed", hint))
    return tuple(problems)

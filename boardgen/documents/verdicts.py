"""Judged targets in words: the state, the figure with its bound, what it rests on, and how to settle it."""

from __future__ import annotations

from boardgen.kinds import kind_of
from boardgen.model.part import Part
from boardgen.rf.judge import Judged
from boardgen.rf.prediction import Prediction
from boardgen.rf.response import CREDIBLE_DB
from boardgen.rf.unknowns import Unknown
from boardgen.rf.verdict import Bound, RestsOn, Verdict
from boardgen.spec import quantity

NOTHING_THERE = {"common-mode impedance": "no port has a braid breaker", "isolation": "no antenna is ever idle"}
"""Why a quantity is not judged of which there is none, by quantity."""


def number(value: float, unit: str) -> str:
    """A figure as people read it: decibels to a tenth, small losses to a hundredth."""
    if unit == "dB":
        return f"{value:.2f} dB" if abs(value) < 10 else f"{value:.1f} dB"
    return quantity.format(value, unit, 3)


def credible(name: str, value: float, unit: str) -> str:
    """A predicted figure of that quantity, no better than can be believed."""
    limit = CREDIBLE_DB.get(name, float("inf"))
    return number(value, unit) if value <= limit else f"better than {limit:.0f} {unit}"


def shortest(name: str, value: float, unit: str) -> str:
    """The same for a narrow column."""
    limit = CREDIBLE_DB.get(name, float("inf"))
    return number(value, unit) if value <= limit else f"> {limit:.0f} {unit}"


def bound(verdict: Verdict) -> str:
    """The bound for a narrow column, nothing where all of it is better than can be believed."""
    judged, found = verdict.judged, verdict.bound
    if found is None:
        return ""
    low, high = (shortest(judged.quantity, value, judged.unit) for value in (found.lowest, found.highest))
    return "" if low == high else _span(low, high)


def state(verdict: Verdict) -> str:
    """The state in words, with how much is missing."""
    judged = verdict.judged
    if judged.state == "falls short" and judged.achieved is not None:
        return f"falls short by {number(abs(judged.achieved - judged.wanted), judged.unit)}"
    return verdict.state


def not_judged(judged: Judged) -> str:
    """Why a target is not judged."""
    if judged.unjudged == "limit below the band":
        return "its limit lies below the band"
    return NOTHING_THERE.get(judged.quantity, "nothing is there to judge")


def figure(verdict: Verdict) -> str:
    """What is achieved, with its bound in brackets; none where all of it is better than can be believed."""
    judged, bound = verdict.judged, verdict.bound
    if judged.achieved is None or bound is None:
        return not_judged(judged)
    return bounded(judged.quantity, bound, judged.unit)


def bounded(name: str, bound: Bound, unit: str) -> str:
    """A figure of that quantity with its bound in brackets."""
    achieved, span = figure_and_bound(name, bound, unit)
    return f"{achieved} ({span})" if span else achieved


def figure_and_bound(name: str, bound: Bound, unit: str) -> tuple[str, str]:
    """A figure of that quantity and its bound, "" where all of it is better than can be believed."""
    low, high = (shortest(name, value, unit) for value in (bound.lowest, bound.highest))
    return credible(name, bound.nominal, unit), "" if low == high else _span(low, high)


def rests_on(prediction: Prediction, verdict: Verdict) -> str:
    """What a target that is met as stated rests on, the strongest first, and how to settle it; else nothing."""
    if not verdict.rests_on:
        return ""
    keeping = [one for one in verdict.rests_on if one.keeps is not None]
    shown = keeping[:1] or list(verdict.rests_on[:2])
    words = "; ".join(_rest(prediction, one) for one in shown)
    alone = "" if keeping else "; none of them keeps it alone"
    return f"rests on: {words}{alone}; {settle(prediction, shown[0].unknown)}"


def rests_in_short(prediction: Prediction, verdict: Verdict) -> str:
    """The same in a line: the strongest unknown, where it keeps the target, and what to measure."""
    rest = next((one for one in verdict.rests_on if one.keeps is not None), verdict.rests_on[0])
    unknown = rest.unknown
    kept = "" if rest.keeps is None else f" {'at most' if rest.at_most else 'at least'} {_figure(unknown, rest.keeps)}"
    if not unknown.part:
        share = " times what is predicted" if unknown.unit == "1" else ""
        return f"{unknown.name}{kept}{share}" if kept else f"{unknown.name} and others"
    alone, part = "" if kept else ", with others", _part(prediction, unknown)
    what = "set them farther apart" if _is_coupling(unknown, part) else f"measure one {part.kind}"
    return f"{unknown.name}{kept}{alone}: {what}"


def settle(prediction: Prediction, unknown: Unknown) -> str:
    """What the builder can do to know it."""
    if not unknown.part:
        return (
            "build lays the board out and judges it with its own copper"
            if prediction.parasitics is None
            else "only a board that is made will tell"
        )
    part = _part(prediction, unknown)
    if part.kind == "core":
        return "measure one transformer and give it under [measured] to settle it"
    if _is_coupling(unknown, part):
        return "set them farther apart, or lay one of them on its side"
    return f"measure one {part.kind} to settle it"


def _is_coupling(unknown: Unknown, part: Part) -> bool:
    """Whether it is what two open chokes have between them, and no place in the network."""
    return kind_of(part).open_core and not unknown.places


def _rest(prediction: Prediction, one: RestsOn) -> str:
    unknown = one.unknown
    if unknown.part:
        known = "assumed" if unknown.assumed else "may be"
        named = f"{unknown.name} of {_part(prediction, unknown).number} {_figure(unknown, unknown.value)}, {known}"
        text = f"{named} {_span(_figure(unknown, unknown.low), _figure(unknown, unknown.high))}"
    elif unknown.unit == "1":
        text = f"{unknown.name}, {unknown.low:.2f} to {unknown.high:.2f} times what is stated"
    else:
        text = (
            f"{unknown.name}, assumed to take {_span(*(number(v, unknown.unit) for v in (unknown.low, unknown.high)))}"
        )
    if one.keeps is None:
        return text
    return f"{text}: {'at most' if one.at_most else 'at least'} {_figure(unknown, one.keeps)} keeps it"


def _figure(unknown: Unknown, value: float) -> str:
    if unknown.unit == "dB":
        return number(value, unknown.unit)
    return quantity.format(value, unknown.unit, 2) if unknown.unit != "1" else f"{value:.2f}"


def _part(prediction: Prediction, unknown: Unknown) -> Part:
    return next(c.part for c in prediction.netlist.components if c.part.key == unknown.part)


def _span(low: str, high: str) -> str:
    """From one figure to another, the unit once where it is the same."""
    bare, _, unit = low.partition(" ")
    return f"{bare} to {high}" if unit and high.partition(" ")[2] == unit else f"{low} to {high}"

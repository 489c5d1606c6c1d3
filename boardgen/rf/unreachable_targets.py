"""Why no board held the targets, in one paragraph with numbers from the boards that were tried."""

from __future__ import annotations

from collections.abc import Sequence

from boardgen.model.problem import Place, Problem
from boardgen.rf.candidate import Candidate
from boardgen.rf.judge import Judged
from boardgen.rf.target_report import reached, wanted
from boardgen.spec import quantity

WHICH = {True: "all targets together", False: "the target"}


def none_holds(best: Candidate, tried: Sequence[Candidate]) -> Problem:
    """What the best board misses, and for each of these targets the board that came nearest and what it costs."""
    missed = _missed(best)
    nearest = [(judged, max(tried, key=lambda t, j=judged: _margin(t, j.target))) for judged in missed]  # type: ignore[misc]
    together = len(missed) > 1 or any(_judged(t, j.target).state == "met" for j, t in nearest)
    text = f"{len(tried)} boards were tried before layout, and none of them holds {WHICH[together]}: "
    text += "; ".join(f"{reached(j)}, {wanted(j)}" for j in missed)
    for judged, candidate in nearest:
        text += f". {_nearest(judged, candidate)}"
    return Problem("R005 targets", "note", Place(key="targets"), text)


def _nearest(judged: Judged, candidate: Candidate) -> str:
    found = _judged(candidate, judged.target)
    words = f"with {', '.join(m.words for m in candidate.taken)}" if candidate.taken else "with the board sized by rule"
    figure = quantity.format(found.achieved or 0.0, found.unit, 3)
    if found.state != "met":
        return f"None meets the {judged.quantity}: the nearest is {figure}, {words}"
    rest = "; ".join(f"{reached(j)}, {wanted(j)}" for j in _missed(candidate))
    return f"The {judged.quantity} is {figure} {words}, but then {rest}"


def _missed(candidate: Candidate) -> list[Judged]:
    return [j for j in candidate.judged if j.state == "falls short"]


def _judged(candidate: Candidate, target: str) -> Judged:
    return next(j for j in candidate.judged if j.target == target)


def _margin(candidate: Candidate, target: str) -> float:
    return _judged(candidate, target).margin or 0.0

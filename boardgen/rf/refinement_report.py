"""What refinement tells: each change with what it bought and cost, why no board held the targets, and what would."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import floor, log10
from typing import Final

from msgspec import Struct

from boardgen.model.problem import Place, Problem
from boardgen.rf.candidate import Candidate, nearest_to
from boardgen.rf.changes import Change
from boardgen.rf.judge import Judged
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.stray_ends import COUPLED_DB, UNCOUPLED_DB
from boardgen.rf.target_report import reached, wanted
from boardgen.spec import quantity

Price = Callable[[Candidate, Candidate], str]
"""What a board costs more or less than another, in words; nothing where no prices are known."""
REFINED: Final = "R002 refined"
WHICH = {True: "all targets together", False: "the target"}


def no_price(_: Candidate, __: Candidate) -> str:
    """Where nobody asks what it costs."""
    return ""


class Taken(Struct, frozen=True):
    """A change that was made: the board before and after, and the next in preference that would have done, if any."""

    before: Candidate
    after: Candidate
    following: Candidate | None = None


class Advice(Struct, frozen=True):
    """Changes that were not made: the board with them, and whether they were left since they better too little."""

    candidate: Candidate
    changes: tuple[Change, ...]
    too_little: bool = False

    @property
    def words(self) -> str:
        """What would be changed."""
        return " and ".join(change.words for change in self.changes)


def noted(taken: Taken, price: Price) -> Problem:
    """What was changed, why, what it bought, what it cost, and the next best."""
    before, after = taken.before, taken.after
    short = {j.target for j in missed(before)}
    bought = "; ".join(f"{_move(before, j)}, {wanted(j)}" for j in after.judged if j.target in short)
    paid = [_move(before, j) for j in after.judged if j.target not in short and _worse(before, j)]
    made = after.taken[-1]
    text = f"it chose {made.words}, {made.reason or f'for {bought}'}"
    text += "".join(f"; {one}" for one in filter(None, ("; ".join(paid), price(before, after))))
    if taken.following is not None:
        text += f"; next best: {taken.following.taken[-1].words}"
    return Problem(REFINED, "note", Place(key="prediction"), text, "", made.hint)


def none_holds(best: Candidate, tried: Sequence[Candidate]) -> Problem:
    """What the best board misses, and for each of these targets the board that came nearest and what it costs."""
    short = missed(best)
    nearest = [(judged, nearest_to(judged.target, tried)) for judged in short]
    together = len(short) > 1 or any(_judged(t, j.target).state == "met" for j, t in nearest)
    text = f"{len(tried)} boards were tried before layout, and none of them holds {WHICH[together]}: "
    text += "; ".join(f"{reached(j)}, {wanted(j)}" for j in short)
    for judged, candidate in nearest:
        text += f". {_nearest(judged, candidate)}"
    return Problem("R005 targets", "note", Place(key="targets"), text)


def advised(best: Candidate, advice: Advice, price: Price) -> Problem:
    """What a change would do that was not made, and how to have it made."""
    candidate = advice.candidate
    change, *then = advice.changes
    decided = ", which the specification decides otherwise," if change.stated else ""
    reach = "every judged target would hold" if candidate.missed == 0 else "the targets would be missed by less"
    short = {j.target for j in missed(best)}
    figures = "; ".join(reached(j) for j in candidate.judged if j.target in short)
    besides = "".join(f" and {one.words}" for one in then)
    text = f"with {change.words}{decided}{besides} {reach}: {figures}, before layout"
    if any(j.quantity == "isolation" and j.target in short and j.wanted > COUPLED_DB for j in candidate.judged):
        text += (
            f", of which couplings between the strips of a laid board leave {COUPLED_DB:.0f} to {UNCOUPLED_DB:.0f} dB"
        )
    cost = price(best, candidate)
    text += f"; {cost}" if cost else ""
    if advice.too_little:
        text += "; that is less than a quarter of what the figure may be off, or no better at every end of the strays"
        return Problem("R003 would help", "note", Place(key="parts"), text, "", "Pin it to have it.")
    hint = "" if change.stated else 'Write it under [switching], or refine = "all" there to have it done.'
    return Problem("R003 would help", "note", Place(key=change.against), text, "", hint)


def would_do(best: Candidate) -> list[Problem]:
    """The target that this board holds, for each that it misses."""
    found = []
    for judged in missed(best):
        if not held_instead(judged):
            continue
        key = f"targets.{judged.target}"
        text = " or ".join(f'{judged.target} = "{option}"' for option in held_instead(judged))
        words = f"asked for {text}, this board would do, before layout"
        found.append(Problem("R007 less", "note", Place(key=key), words))
    return found


def held_instead(judged: Judged) -> list[str]:
    """What could be asked for in the place of a target that is missed, as its key takes it."""
    if judged.achieved is None:
        return []
    upto = f" to {quantity.format(judged.to_hz, 'Hz')}" if judged.to_hz else ""
    options = [f"{quantity.format(_held(judged), judged.unit, 2)}{upto}"]
    if judged.holds_to_hz is not None:
        asked = quantity.format(judged.wanted, judged.unit)
        options.append(f"{asked} to {quantity.format(_two_digits_below(judged.holds_to_hz), 'Hz', 2)}")
    return options


def _held(judged: Judged) -> float:
    """The nearest target of two digits that the figure meets."""
    achieved = judged.achieved or 0.0
    if QUANTITIES[judged.quantity].larger_is_better:
        return _two_digits_below(achieved)
    return _two_digits_below(achieved) + 10.0 ** (floor(log10(achieved)) - 1)


def _two_digits_below(value: float) -> float:
    step = 10.0 ** (floor(log10(value)) - 1)
    return float(floor(value / step) * step)


def missed(candidate: Candidate) -> list[Judged]:
    """The targets that it does not meet."""
    return [j for j in candidate.judged if j.state == "falls short"]


def _nearest(judged: Judged, candidate: Candidate) -> str:
    found = _judged(candidate, judged.target)
    words = f"with {', '.join(m.words for m in candidate.taken)}" if candidate.taken else "with the board sized by rule"
    figure = quantity.format(found.achieved or 0.0, found.unit, 3)
    if found.state != "met":
        return f"None meets the {judged.quantity}: the nearest is {figure}, {words}"
    rest = "; ".join(f"{reached(j)}, {wanted(j)}" for j in missed(candidate))
    return f"The {judged.quantity} is {figure} {words}, but then {rest}"


def _move(before: Candidate, judged: Judged) -> str:
    """A figure before and after."""
    figures = (_judged(before, judged.target).achieved, judged.achieved)
    old, new = (quantity.format(figure or 0.0, judged.unit, 3) for figure in figures)
    return f"{judged.quantity} {old} -> {new}"


WORSE = 0.98
"""A margin below this share of the margin before is told as a price that is paid."""


def _worse(before: Candidate, judged: Judged) -> bool:
    old = _judged(before, judged.target).margin
    return old is not None and judged.margin is not None and judged.margin < WORSE * old


def _judged(candidate: Candidate, target: str) -> Judged:
    return next(j for j in candidate.judged if j.target == target)

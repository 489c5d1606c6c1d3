"""Refinement by prediction: changes are taken, the most preferred first, until the targets hold or nothing helps.

A greedy search, at most MOST_STEPS changes deep. The boards one change away are sized and predicted in the order in
which `changes` offers them, which is the order of preference: more turns of the same core, then other parts in the
order of the catalogue. No price is asked, so that one specification makes one board. Only those that are reached are
sized, and predicted at the worst frequencies of the board before first, over the whole grid only where these hold.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from math import inf

from msgspec import Struct

from boardgen.circuit.worst_loads import with_worst_loads
from boardgen.model.choices import Choices
from boardgen.model.problem import InputError, Place, Problem
from boardgen.request import Request
from boardgen.rf.candidate import Candidate
from boardgen.rf.changes import Change, changes
from boardgen.rf.prediction import Prediction
from boardgen.rf.target_report import reached
from boardgen.rf.unreachable_targets import none_holds
from boardgen.sizing.size import Sizer

MOST_STEPS = 3
LEAST_GAIN = 0.01
"""A change that meets no target must lessen what is missed by this share of a target to be worth its trouble."""


class Refined(Struct, frozen=True, dict=True):
    """The board that was found, what was changed to get there, and what to say about it.

    `notes` tell the changes, `unmet` which targets no board held that was tried, and what else would help.
    """

    prediction: Prediction
    taken: tuple[str, ...]
    notes: tuple[Problem, ...] = ()
    unmet: tuple[Problem, ...] = ()

    @cached_property
    def choices(self) -> Choices:
        """The values, with what each part bears in the circuit that is made of them."""
        of = self.prediction
        return with_worst_loads(of.request, of.choices, of.netlist)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What falls short or is to be known of the values and targets before layout."""
        return (*self.choices.problems, *self.verdict(self.prediction))

    def verdict(self, prediction: Prediction) -> tuple[Problem, ...]:
        """What is said of the targets as this prediction of the board judges them.

        With the copper of the layout all may hold that did not without it.
        """
        short = any(judged.state == "falls short" for judged in prediction.judged)
        return (*self.notes, *(self.unmet if short else ()), *prediction.problems)


class Boards:
    """Makes the boards that are tried; what a change of the transformers leaves as it is, is sized once."""

    def __init__(self) -> None:
        self._sizer = Sizer()

    def first(self, request: Request) -> Candidate:
        """The board as it was asked for. Raises InputError as sizing does."""
        return Candidate(request, self._sizer.size(request), ())

    def changed(self, base: Candidate, change: Change) -> Candidate | None:
        """None where the change leaves nothing to size, or where a rule of sizing falls short that was met before."""
        request = change.apply(base.request)
        try:
            choices = self._sizer.size(request)
        except (InputError, ValueError):
            return None
        return None if _short(choices) - _short(base.choices) else Candidate(request, choices, (*base.taken, change))


def refine(request: Request) -> Refined:
    """The most preferred board on offer whose judged targets hold, found by up to three changes.

    Keys that the specification states are kept, and all of [switching] unless its `refine` is "all"; what a change
    of them would do is said where nothing else helps.
    Raises InputError as sizing does.
    """
    boards = Boards()
    first = boards.first(request)
    if first.missed == 0:
        return Refined(first.prediction, ())
    best, seen = first, [first]
    for _ in range(MOST_STEPS):
        new: list[Candidate] = []
        worst = [j.at_hz for j in best.judged if j.state == "falls short" and j.at_hz is not None]
        for candidate in _in_order(boards, best):
            new.append(candidate)
            if not candidate.misses_at(worst) and candidate.missed == 0:
                better = candidate
                break
        else:
            better = min(new, key=lambda t: t.rank, default=best)
        seen += [t for t in new if t.missed < inf] if better.missed else []
        if better.missed > 0 and better.missed > best.missed - LEAST_GAIN:
            break
        best = better
        if best.missed == 0:
            break
    notes = tuple(_note(change) for change in best.taken)
    against = () if best.missed == 0 else (none_holds(best, seen), *_against(boards, best))
    return Refined(best.prediction, tuple(m.words for m in best.taken), notes, against)


def _in_order(boards: Boards, base: Candidate) -> Iterator[Candidate]:
    """Boards one change away from `base`, the most preferred first; the others are sized when asked."""
    for change in _helping(base, free=True):
        if (made := boards.changed(base, change)) is not None:
            yield made


def _helping(base: Candidate, *, free: bool) -> Iterator[Change]:
    """Changes that may help a missed target."""
    missed = {j.target for j in base.judged if j.state == "falls short"}
    return (change for change in changes(base.request) if change.targets & missed and bool(change.against) != free)


def _short(choices: Choices) -> set[tuple[str, str]]:
    """The rules that fall short, each with its place."""
    return {(p.id, p.place.key) for p in choices.problems if p.severity == "shortfall"}


def _note(change: Change) -> Problem:
    return Problem(
        "R002 refined", "note", Place(key="prediction"), f"chosen by it: {change.words}", "", "Pin it to keep it."
    )


def _against(boards: Boards, best: Candidate) -> tuple[Problem, ...]:
    """What a key would have to be that the user wrote, or that decides what kind of board it is."""
    tried = (boards.changed(best, change) for change in _helping(best, free=False))
    helping = [t for t in tried if t is not None and t.missed < best.missed]
    if not helping:
        return ()
    found = min(helping, key=lambda t: t.rank)
    change = found.taken[-1]
    decided = ", which the specification decides otherwise," if change.stated else ""
    reach = "every judged target would hold" if found.missed == 0 else "the targets would be missed by less"
    short = {j.target for j in best.judged if j.state == "falls short"}
    figures = "; ".join(reached(j) for j in found.judged if j.target in short)
    text = f"with {change.words}{decided} {reach}: {figures}, before layout"
    hint = "" if change.stated else 'Write it under [switching], or refine = "all" there to have it done.'
    return (Problem("R003 would help", "note", Place(key=change.against), text, "", hint),)

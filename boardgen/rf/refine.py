"""Refinement by prediction: changes are taken, cheapest first, until the targets hold or nothing on offer helps.

A greedy search, at most MOST_STEPS changes deep. The boards one change away are taken in the order of their cost from a
heap; most of them are told apart by a lower bound of it before they are sized, and only those that are reached are
predicted: at the worst frequencies of the board before first, over the whole grid only where these hold.
"""

from __future__ import annotations

import heapq
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from math import inf

from msgspec import Struct

from boardgen.circuit.compose import fitted_parts
from boardgen.model.choices import Choices
from boardgen.model.extra import Extra
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.request import Request
from boardgen.rf.candidate import Candidate
from boardgen.rf.changes import Change, changes
from boardgen.rf.prediction import Prediction
from boardgen.rf.unreachable_targets import cannot_hold
from boardgen.sizing.extras import extras
from boardgen.sizing.size import Sizer, without_transformers
from boardgen.spec.keys import Spec

MOST_STEPS = 3
Cost = Callable[[Counter[Part], Iterable[Extra]], float]
"""Of so many of each fitted part and of what is bought beside them; less of it never costs more."""


class Refined(Struct, frozen=True):
    """The board that was found, what was changed to get there, and what to say about it."""

    prediction: Prediction
    taken: tuple[str, ...]
    problems: tuple[Problem, ...]


def part_count(parts: Counter[Part], extra: Iterable[Extra]) -> float:
    """A cost where no prices are at hand: the number of parts."""
    return float(parts.total())


class Boards:
    """Makes the boards that are tried; what a change of the transformers leaves as it is, is worked out once."""

    def __init__(self, cost: Cost) -> None:
        self._cost, self._sizer = cost, Sizer()
        self._counted: dict[Spec, Counter[Part]] = {}
        self._of_base: tuple[Candidate | None, float, int] = (None, 0.0, 0)

    def first(self, request: Request) -> Candidate:
        """The board as it was asked for. Raises InputError as sizing does."""
        choices = self._sizer.size(request)
        return Candidate(request, choices, (), self._whole_cost(request, choices))

    def changed(self, base: Candidate, change: Change) -> Candidate | None:
        """None where the change leaves nothing to size, or where a rule of sizing falls short that was met before."""
        request = change.apply(base.request)
        try:
            choices = self._sizer.size(request)
            if _short(choices) - _short(base.choices):
                return None
            return Candidate(request, choices, (*base.taken, change), self._whole_cost(request, choices))
        except (InputError, ValueError):
            return None

    def least(self, base: Candidate, change: Change) -> float:
        """What the changed board costs at least, told before it is sized: that of other cores but for the wire."""
        if change.core is None:
            return 0.0
        if self._of_base[0] is not base:
            others = self._sizer.without_transformers(base.request)
            wound = list(fitted_parts(base.request, base.choices, wound=True))
            parts = self._without_transformers(base.request) + Counter(part for part in wound if part.kind != "core")
            rest = self._cost(parts, extras(base.request, others))
            self._of_base = (base, rest, sum(part.kind == "core" for part in wound))
        _, rest, cores = self._of_base
        return rest + self._cost(Counter({change.core: cores}), ())

    def _whole_cost(self, request: Request, choices: Choices) -> float:
        return self._cost(self._parts(request, choices), extras(request, choices))

    def _parts(self, request: Request, choices: Choices) -> Counter[Part]:
        """How many of each part are fitted."""
        return self._without_transformers(request) + Counter(fitted_parts(request, choices, wound=True))

    def _without_transformers(self, request: Request) -> Counter[Part]:
        spec = without_transformers(request).spec
        if spec not in self._counted:
            others = self._sizer.without_transformers(request)
            self._counted[spec] = Counter(fitted_parts(request, others, wound=False))
        return self._counted[spec]


def refine(request: Request, cost: Cost = part_count) -> Refined:
    """The cheapest board on offer whose judged targets hold, found by up to three changes.

    Keys that the specification states are kept; what a change of them would do is said where nothing else helps.
    Raises InputError as sizing does.
    """
    boards = Boards(cost)
    first = boards.first(request)
    if first.missed == 0:
        return Refined(first.prediction, (), ())
    best, seen = first, [first]
    for _ in range(MOST_STEPS):
        # cheapest first, so that the first which meets every target is the best, and the dearer need no prediction
        new: list[Candidate] = []
        worst = [j.at_hz for j in best.judged if j.state == "falls short" and j.at_hz is not None]
        for candidate in _cheapest_first(boards, best):
            new.append(candidate)
            if not candidate.misses_at(worst) and candidate.missed == 0:
                better = candidate
                break
        else:
            better = min(new, key=lambda t: t.rank, default=best)
        seen += [t for t in new if t.missed < inf] if better.missed else []
        if better.rank >= best.rank:
            break
        best = better
        if best.missed == 0:
            break
    notes = tuple(_note(change, best) for change in best.taken)
    against = () if best.missed == 0 else (cannot_hold(best, seen), *_against(boards, best))
    return Refined(best.prediction, tuple(m.words for m in best.taken), (*notes, *against))


def _cheapest_first(boards: Boards, base: Candidate) -> Iterator[Candidate]:
    """Boards one change away from `base` by cost, then in the order of the changes; the dearer are sized when asked."""
    waiting: list[tuple[float, int, Change, Candidate | None]] = [
        (boards.least(base, change), number, change, None) for number, change in enumerate(_helping(base, free=True))
    ]
    heapq.heapify(waiting)
    while waiting:
        _, number, change, candidate = heapq.heappop(waiting)
        if candidate is not None:
            yield candidate
        elif (made := boards.changed(base, change)) is not None:
            heapq.heappush(waiting, (made.cost, number, change, made))


def _helping(base: Candidate, *, free: bool) -> Iterator[Change]:
    """Changes that may help a missed target."""
    missed = {j.target for j in base.judged if j.state == "falls short"}
    return (change for change in changes(base.request) if change.targets & missed and bool(change.against) != free)


def _short(choices: Choices) -> set[tuple[str, str]]:
    """The rules that fall short, each with its place."""
    return {(p.id, p.place.key) for p in choices.problems if p.severity == "shortfall"}


def _note(change: Change, best: Candidate) -> Problem:
    return Problem(
        "R002 refined", "note", Place(key="prediction"), f"chosen by it: {change.words}", "", "Pin it to keep it."
    )


def _against(boards: Boards, best: Candidate) -> tuple[Problem, ...]:
    """What a key that the user wrote would have to be."""
    tried = (boards.changed(best, change) for change in _helping(best, free=False))
    helping = [t for t in tried if t is not None and t.missed < best.missed]
    if not helping:
        return ()
    found = min(helping, key=lambda t: t.rank)
    change = found.taken[-1]
    reach = "every judged target would hold" if found.missed == 0 else "the targets would be missed by less"
    text = f"with {change.words}, which the specification decides otherwise, {reach}"
    return (Problem("R003 would help", "note", Place(key=change.against), text),)

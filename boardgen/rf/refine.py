"""Refinement by prediction: changes are taken, the most preferred first, until the targets hold or nothing helps.

A greedy search, at most MOST_STEPS changes deep and over at most MOST_TRIED boards. The boards one change away are
sized and predicted in the order in which `changes` offers them, which is the order of preference. No price is asked, so
that one specification makes one board. Only those that are reached are sized, and predicted first where the board
before misses by most, over all states and the whole grid only where these hold, or where they may come nearest. A
change is worth its trouble where it betters a missed target by a quarter of what the figure may be worse than stated,
and does so with all strays at either end of their ranges.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cached_property
from itertools import islice, takewhile
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from boardgen.circuit.worst_loads import with_worst_loads
from boardgen.model.choices import Choices
from boardgen.model.parasitics import Parasitics
from boardgen.model.problem import InputError, Problem
from boardgen.model.progress import Tell, tell_nobody
from boardgen.request import Request
from boardgen.rf import in_hand
from boardgen.rf.candidate import Candidate, Places, least_missed
from boardgen.rf.changes import UNCOMPENSATED, Change, changes
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.refinement_report import Advice, Price, Taken, advised, no_price, none_holds, noted, would_do
from boardgen.rf.stray_ends import COPPER_LAID, copper_decides, figures_at_ends
from boardgen.rf.unknowns import unknowns
from boardgen.sizing.size import Sizer

MOST_STEPS = 3
MOST_TRIED = 250
"""So many boards are tried in all, and no more."""
LEAST_GAIN = 0.01
"""A change that meets no target must lessen what is missed by this share of a target to be worth its trouble."""
WORTH = 0.25
"""A change must better a missed target by this share of what the figure may be worse than stated."""
MOST_AGAINST = 6
"""So many changes of each key that the specification decides otherwise are tried, to advise the best of them."""
MOST_BESIDES = 24
"""So many boards with one part changed besides are tried for what the specification decides otherwise."""
MOST_FOLLOWING = 6
"""So many boards after the one that was taken are tried for the next best."""


class Refined(Struct, frozen=True, dict=True):
    """The board that was found, what was changed to get there, and what to say about it.

    `tried` are the boards of a search that met nothing, `advice` what was not done; both are empty where targets hold.
    `in_hand` is what is said of the parts in hand.
    """

    found: Candidate
    taken: tuple[Taken, ...] = ()
    tried: tuple[Candidate, ...] = ()
    advice: tuple[Advice, ...] = ()
    in_hand: tuple[Problem, ...] = ()

    @property
    def prediction(self) -> Prediction:
        """Of the board before layout, or with the copper of another."""
        return self.found.prediction

    @cached_property
    def choices(self) -> Choices:
        """The values, with what each part bears in the circuit that is made of them."""
        of = self.prediction
        return with_worst_loads(of.request, of.choices, of.netlist)

    @cached_property
    def copper_decides(self) -> bool:
        """Whether copper that is only assumed may decide a target, so that the board is laid out to tell."""
        network = self.prediction.network
        copper = [one for one in unknowns(network) if one.is_copper]
        ends = figures_at_ends(self.prediction.request.spec, network, copper, COPPER_LAID)
        return copper_decides(self.found.judged, ends, coupled=len(network.antennas) > 1)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What falls short or is to be known of the values and targets before layout."""
        return (*self.choices.problems, *self.verdict(self.prediction))

    def verdict(self, prediction: Prediction, price: Price = no_price) -> tuple[Problem, ...]:
        """What is said of the targets as this prediction of the board judges them.

        With the copper of the layout all may hold that did not without it.
        """
        notes = tuple(noted(taken, price) for taken in self.taken)
        short = any(judged.state == "falls short" for judged in prediction.judged)
        return (*self.in_hand, *notes, *(self._unmet(price) if short and self.tried else ()), *prediction.problems)

    def _unmet(self, price: Price) -> tuple[Problem, ...]:
        """What came closest, and what can be done."""
        advice = (advised(self.found, one, price) for one in self.advice)
        return (none_holds(self.found, self.tried), *advice, *would_do(self.found))


class Boards:
    """Makes the boards that are tried; what a change of the transformers leaves as it is, is sized once.

    `tell` is told of each how many of how many it is.
    """

    def __init__(self, asked: Request, copper: Parasitics | None, tell: Tell) -> None:
        self._asked, self._copper, self._sizer, self._tell = asked, copper, Sizer(), tell
        self.tried = 0

    def first(self) -> Candidate:
        """The board as it was asked for. Raises InputError as sizing does."""
        self.tried += 1
        return Candidate(self._asked, self._sizer.size(self._asked), (), self._copper)

    def in_order(self, base: Candidate, *, free: bool, rewound: bool = True) -> Iterator[Candidate]:
        """Boards one change away that may help, the most preferred first; the others are sized when asked.

        None where a change leaves nothing to size, or where a rule of sizing falls short that was met before, and none
        beyond MOST_TRIED. Those that are not free are left out of that count: of each key there are few. The windings
        stay unless `rewound`.
        """
        short = {j.target for j in base.judged if j.state == "falls short"}
        core = next((c.part for c in base.choices.values if c.role == "turns"), "")
        against = Counter[str]()
        for change in changes(base.request, core, self._asked):
            if not change.targets & short or bool(change.against) == free or against[change.against] == MOST_AGAINST:
                continue
            if change.rewinds and not rewound:
                continue
            against[change.against] += not free
            if free and self.tried == MOST_TRIED:
                return
            if made := self._changed(base, change):
                self.tried += free
                self._tell(f"board {self.tried} of at most {MOST_TRIED}")
                yield made

    def uncompensated(self, base: Candidate) -> Candidate | None:
        """The same without the capacitors that meet leakage, where no target is judged worse and those that they are
        for hold within their bounds; else None.
        """
        if base.request.spec.switching.compensation != "where it helps":
            return None
        if not any(winding.compensated for winding in base.choices.windings.values()):
            return None
        before = {v.judged.target: v.state for v in base.prediction.verdicts}
        for change in UNCOMPENSATED:
            # without capacitors none of these figures is better
            if any(before[target] != "met" for target in change.targets):
                continue
            near = base.places_nearest(change.targets)
            # leakage that nothing meets tells most at the upper edge
            soon = Places(near.states, (*near.frequencies_hz, base.request.spec.band.highest))
            other = self._changed(base, change, soon)
            if other is None or other.missed_at_least or other.missed:
                continue
            after = {v.judged.target: v.state for v in other.prediction.verdicts}
            wanted = before | dict.fromkeys(change.targets, "met")
            if all(after[target] in (state, "met") for target, state in wanted.items()):
                return other
        return None

    def _changed(self, base: Candidate, change: Change, soon: Places | None = None) -> Candidate | None:
        request = change.apply(base.request)
        try:
            choices = self._sizer.size(request)
        except (InputError, ValueError):
            return None
        if choices.shortfalls - base.choices.shortfalls:
            return None
        return Candidate(request, choices, (*base.taken, change), self._copper, soon or base.places_missed)


def refine(request: Request, copper: Parasitics | None = None, tell: Tell = tell_nobody) -> Refined:
    """The most preferred board on offer whose judged targets hold, found by up to three changes.

    Where parts are in hand, the board without them is looked for too, to tell what they lose. Where they miss the
    targets by more than that, the first whose leaving mends it is left out, or all of them.

    Keys that the specification states are kept, and all of [switching] unless its `refine` is "all"; what a change
    of them would do is said where nothing else helps.

    Parameters
    ----------
    copper : what the layout of the board adds, where one was laid out already; else it is assumed
    tell : is told how far the search is

    Raises
    ------
    InputError
        As sizing does.

    """
    refined = _refined(request, copper, tell)
    if not request.spec.in_hand:
        return refined
    own = _refined(in_hand.own_choice(request), copper, tell)
    if refined.found.missed > own.found.missed:
        fewer = (_refined(in_hand.refusing(request, {key}), copper, tell) for key in in_hand.preferred(refined.found))
        refined = next((one for one in fewer if one.found.missed <= own.found.missed), own)
    return replace(refined, in_hand=in_hand.told(request, refined.found, own.found))


def _refined(request: Request, copper: Parasitics | None, tell: Tell) -> Refined:
    boards = Boards(request, copper, tell)
    best = boards.first()
    seen, taken, little = [best], list[Taken](), list[Candidate]()
    while best.missed and len(taken) < MOST_STEPS:
        step = _step(boards, best)
        seen += [t for t in step.tried if t.missed_at_least < inf]
        little += step.too_little
        if step.better is None:
            break
        taken.append(Taken(best, step.better, step.following))
        best = step.better
    if best.missed:
        return Refined(best, tuple(taken), tuple(seen), tuple(_advice(boards, best, little)))
    plainer = boards.uncompensated(best)
    if plainer is not None:
        taken.append(Taken(best, plainer))
    return Refined(plainer or best, tuple(taken))


class _Step(Struct, frozen=True):
    """The better board, None for none, the next that would have done, those tried, and those that better too little."""

    better: Candidate | None
    following: Candidate | None
    tried: tuple[Candidate, ...]
    too_little: tuple[Candidate, ...]


def _step(boards: Boards, best: Candidate) -> _Step:
    """The first board one change away that meets everything, else the one that misses least."""
    least = _least_gains(best)
    tried, little = list[Candidate](), list[Candidate]()
    offered = boards.in_order(best, free=True)

    def meeting() -> Iterator[Candidate]:
        for candidate in offered:
            tried.append(candidate)
            if not candidate.missed_at_least and candidate.missed == 0:
                if candidate.lessens(best, least):
                    yield candidate
                else:
                    little.append(candidate)

    better = next(meeting(), None)
    if better is not None:
        later = (t for t in islice(offered, MOST_FOLLOWING) if not t.missed_at_least and t.missed == 0)
        return _Step(better, next((t for t in later if t.lessens(best, least)), None), (), tuple(little))
    nearer = takewhile(lambda t: t.missed <= best.missed - LEAST_GAIN, least_missed(tried))
    # what meets nothing is no reason to wind hair wire
    worth = (t for t in nearer if t.missed > 0 and not t.taken[-1].unwanted)
    found = next((t for t in worth if t.lessens(best, least)), None)
    return _Step(found, None, tuple(tried), tuple(little))


def _least_gains(best: Candidate) -> Mapping[str, float]:
    """How much each missed target must gain for a change to be worth it."""
    gains = {}
    for verdict in best.prediction.verdicts:
        judged, bound = verdict.judged, verdict.bound
        if judged.state == "falls short" and bound is not None:
            larger = QUANTITIES[judged.quantity].larger_is_better
            gains[judged.target] = WORTH * abs(bound.nominal - (bound.lowest if larger else bound.highest))
    return gains


def _advice(boards: Boards, best: Candidate, little: list[Candidate]) -> Iterator[Advice]:
    """What would lessen what is missed and was not done: of each key the board that it helps most, at most two."""
    by_key: dict[str, list[Candidate]] = {}
    for candidate in boards.in_order(best, free=False):
        by_key.setdefault(candidate.taken[-1].against, []).append(candidate)
    least = [next(least_missed(of_key)) for of_key in by_key.values()]
    helping = sorted((t for t in least if t.missed < best.missed), key=lambda t: t.missed)
    yield from (Advice(t, t.taken[-1:], too_little=True) for t in little[:1])
    for followed in (_followed(boards, t) for t in helping[: 2 - len(little[:1])]):
        yield Advice(followed, followed.taken[len(best.taken) :])


def _followed(boards: Boards, candidate: Candidate) -> Candidate:
    """The same with one part changed besides, where all targets then hold: what it would be refined to."""
    if candidate.missed == 0:
        return candidate
    following = islice(boards.in_order(candidate, free=True, rewound=False), MOST_BESIDES)
    return next((t for t in following if not t.missed_at_least and t.missed == 0), candidate)

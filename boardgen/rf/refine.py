"""Refinement by prediction: changes are taken, cheapest first, until the targets hold or nothing on offer helps."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import inf

from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.model.choices import Choices
from boardgen.model.netlist import Netlist
from boardgen.model.problem import InputError, Place, Problem
from boardgen.rf.moves import Move, moves
from boardgen.rf.prediction import Prediction
from boardgen.rf.together import cannot_hold
from boardgen.rf.trial import Trial
from boardgen.sizing.request import Request
from boardgen.sizing.size import size

MOST_STEPS = 3
Cost = Callable[[Request, Choices, Netlist], float]


@dataclass(frozen=True)
class Refined:
    """The board that was found, what was changed to get there, and what to say about it."""

    prediction: Prediction
    taken: tuple[str, ...]
    problems: tuple[Problem, ...]


def part_count(request: Request, choices: Choices, netlist: Netlist) -> float:
    """A cost where no prices are at hand: the number of parts."""
    return float(sum(c.fitted for c in netlist.components))


def refine(request: Request, cost: Cost = part_count) -> Refined:
    """The cheapest board on offer whose judged targets hold, found by up to three changes.

    Keys that the specification states are kept; what a change of them would do is said where nothing else helps.
    Raises InputError as sizing does.
    """
    first = _trial(request, (), cost)
    if first is None or first.missed == 0:
        return Refined(first.prediction if first else Prediction(request, *_sized(request)), (), ())
    best, seen = first, [first]
    for _ in range(MOST_STEPS):
        # cheapest first, so that the first which meets every target is the best, and the dearer need no prediction
        new = sorted(_tried(request, best, cost, free=True), key=lambda t: t.cost)
        better = next((t for t in new if t.missed == 0), None) or min(new, key=lambda t: t.rank, default=best)
        seen += [t for t in new if t.missed < inf] if better.missed else []
        if better.rank >= best.rank:
            break
        best = better
        if best.missed == 0:
            break
    notes = tuple(_note(move, best) for move in best.taken)
    against = () if best.missed == 0 else (cannot_hold(best, seen), *_against(request, best, cost))
    return Refined(best.prediction, tuple(m.words for m in best.taken), (*notes, *against))


def _tried(request: Request, base: Trial, cost: Cost, *, free: bool) -> Iterator[Trial]:
    """Boards one change away from `base`, of those that may help a missed target."""
    missed = {j.target for j in base.prediction.judged if j.state == "falls short"}
    for move in moves(base.prediction.request):
        if move.targets & missed and bool(move.against) != free:
            trial = _trial(move.change(base.prediction.request), (*base.taken, move), cost)
            if trial is not None and not _worse_rules(base, trial):
                yield trial


def _trial(request: Request, taken: tuple[Move, ...], cost: Cost) -> Trial | None:
    """None where the change leaves nothing to size."""
    try:
        choices, netlist = _sized(request)
        return Trial(Prediction(request, choices, netlist), taken, cost(request, choices, netlist))
    except (InputError, ValueError):
        if not taken:
            raise
        return None


def _sized(request: Request) -> tuple[Choices, Netlist]:
    choices = size(request)
    return choices, freeze(request, compose(request, choices))


def _worse_rules(base: Trial, trial: Trial) -> bool:
    """Whether a rule of sizing falls short that was met before."""
    before = {(p.id, p.place.key) for p in base.prediction.choices.problems if p.severity == "shortfall"}
    after = {(p.id, p.place.key) for p in trial.prediction.choices.problems if p.severity == "shortfall"}
    return bool(after - before)


def _note(move: Move, best: Trial) -> Problem:
    return Problem(
        "R002 refined", "note", Place(key="prediction"), f"by prediction: {move.words}", "", "Pin it to keep it."
    )


def _against(request: Request, best: Trial, cost: Cost) -> tuple[Problem, ...]:
    """What a key that the user wrote would have to be."""
    helping = [t for t in _tried(request, best, cost, free=False) if t.missed < best.missed]
    if not helping:
        return ()
    found = min(helping, key=lambda t: t.rank)
    move = found.taken[-1]
    reach = "every judged target would hold" if found.missed == 0 else "the targets would be missed by less"
    text = f"with {move.words}, which the specification decides otherwise, {reach}"
    return (Problem("R003 would help", "note", Place(key=move.against), text),)

"""What can be done about what falls short: keys of the specification with what they bring and cost."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from boardgen.page.history import SetKey, SetKeys
from boardgen.rf.candidate import Candidate
from boardgen.rf.refine import Refined
from boardgen.rf.refinement_report import Price, held_instead, missed
from boardgen.rf.target_report import reached
from boardgen.spec.faults import KeyPath
from boardgen.spec.keys import Spec


class Remedy(Struct, frozen=True):
    """One thing to do: what is written on its button, what it brings and costs, and the keys that it sets."""

    button: str
    words: str
    change: SetKeys

    @property
    def keys(self) -> list[tuple[KeyPath, object]]:
        """What the button sends."""
        return [(one.key, one.value) for one in self.change.keys]


def remedies(refined: Refined, price: Price) -> tuple[Remedy, ...]:
    """What would help, then the targets that the board holds, then what refinement took and may be kept."""
    return (*_advised(refined, price), *_less(refined), *_kept(refined, price))


def _advised(refined: Refined, price: Price) -> Iterator[Remedy]:
    best, asked = refined.found, _asked(refined)
    for advice in refined.advice:
        change = difference(asked, advice.candidate.request.spec)
        if change.keys:
            short = {judged.target for judged in missed(best)}
            figures = "; ".join(reached(judged) for judged in advice.candidate.judged if judged.target in short)
            yield Remedy(f"Take {advice.words}", _with_price(figures, best, advice.candidate, price), change)


def _less(refined: Refined) -> Iterator[Remedy]:
    when = "as laid out" if refined.found.copper else "before layout"
    for judged in missed(refined.found):
        for option in held_instead(judged):
            name = judged.target.replace("_", " ")
            change = SetKeys((SetKey(("targets", judged.target), option),))
            yield Remedy(f"Ask for {name} of {option}", f"this board holds that, {when}; it costs nothing", change)


def _kept(refined: Refined, price: Price) -> Iterator[Remedy]:
    for taken in refined.taken:
        change = difference(_asked(refined), taken.after.request.spec)
        if change.keys:
            short = {judged.target for judged in missed(taken.before)}
            figures = "; ".join(reached(judged) for judged in taken.after.judged if judged.target in short)
            words = _with_price(f"taken to meet the targets: {figures}", taken.before, taken.after, price)
            yield Remedy(f"Keep {taken.after.taken[-1].words}", words, change)


def _asked(refined: Refined) -> Spec:
    first = refined.taken[0].before if refined.taken else refined.found
    return first.request.spec


def _with_price(figures: str, before: Candidate, after: Candidate, price: Price) -> str:
    return "; ".join(filter(None, (figures, price(before, after))))


def difference(before: Spec, after: Spec) -> SetKeys:
    """The keys of [parts] and [switching] that lead from one specification to the other."""
    found = [
        SetKey((table, key), getattr(getattr(after, table), key))
        for table in ("parts", "switching")
        for key in type(getattr(before, table)).model_fields
        if getattr(getattr(before, table), key) != getattr(getattr(after, table), key)
    ]
    return SetKeys(tuple(found))

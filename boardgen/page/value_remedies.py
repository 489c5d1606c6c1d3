"""What can be done about a value that falls short: keys that are tried on the sized board, those that help told.

Of each kind of change (thicker conductors, more returns and so on) the smallest step that helps is offered. A board is
sized in some milliseconds, so that all steps are tried.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from msgspec.structs import replace

from boardgen.documents.values import grouped, rows
from boardgen.model.choices import Choices
from boardgen.model.problem import InputError
from boardgen.page.history import SetKey, SetKeys
from boardgen.page.remedies import Remedy
from boardgen.request import Request
from boardgen.rf.candidate import Candidate
from boardgen.rf.refinement_report import Price
from boardgen.sizing.size import size
from boardgen.spec.keys import Control, Spec
from boardgen.spec.load import read_text
from boardgen.spec.rewrite import Value

THICKER = {24: "22 AWG", 22: "20 AWG", 20: "18 AWG", 18: "16 AWG"}
MOST_MORE_RETURNS, MOST_CABLES = 6, 4


def value_remedies(text: str, request: Request, price: Price) -> Iterator[Remedy]:
    """Changes of the specification in that text under which less falls short, and nothing that held.

    Parameters
    ----------
    text : the specification, letter for letter, as the changes are made on it.
    request : the same as sizing starts from.
    price : what one board costs more than another, in words.

    """
    before = size(request)
    if not before.shortfalls:
        return
    for kind in _kinds(request.spec, before):
        for change in kind:
            made = _sized(text, request, change)
            if made is not None and made.choices.shortfalls < before.shortfalls:
                costs = price(Candidate(request, before, ()), made)
                cable = "the cable itself apart" if any(one.key[0] == "control" for one in change.keys) else ""
                words = "; ".join(filter(None, (_brings(request, before, made), costs, cable)))
                yield Remedy(f"Set {change.words}", words, change)
                break


def _kinds(spec: Spec, sized: Choices) -> Iterator[list[SetKeys]]:
    """Each kind of change in steps, the smallest first."""
    control = spec.control
    yield [_control("cable", gauge) for gauge in _thicker(control)]
    most = min(control.returns + MOST_MORE_RETURNS, control.conductors * control.cables - 1)
    yield [_control("returns", returns) for returns in range(control.returns + 1, most + 1)]
    yield [_control("cables", cables) for cables in range(control.cables + 1, MOST_CABLES + 1)]
    if control.coil < 24:
        yield [SetKeys((SetKey(("control", "coil"), "24 V"), SetKey(("control", "supply"), "26.4..28.0 V")))]
    works_m = [floor(choice.chosen) for choice in sized.values if choice.role == "longest cable"]
    yield [_control("length", f"{length} m") for length in works_m if 1 <= length < control.length]
    yield [_one("switching", "feed_lines", lines) for lines in ("shared", "own")]
    yield [_one("protection", "earth_to_0v", joined) for joined in ("linked", "open")]


def _thicker(control: Control) -> Iterator[str]:
    gauge = control.cable.gauge
    while gauge in THICKER:
        yield THICKER[gauge]
        gauge -= 2


def _control(key: str, value: Value) -> SetKeys:
    return _one("control", key, value)


def _one(table: str, key: str, value: Value) -> SetKeys:
    return SetKeys((SetKey((table, key), value),))


def _sized(text: str, request: Request, change: SetKeys) -> Candidate | None:
    """The board with that change, None where it is refused."""
    try:
        changed = replace(request, spec=read_text(change.applied(text)))
        return Candidate(changed, size(changed), ())
    except InputError:
        return None


def _brings(request: Request, before: Choices, made: Candidate) -> str:
    """The values that fell short and hold, with what they need."""
    unmet = {choice.role for choice in before.values if not choice.met}
    held = {choice.role for choice in made.choices.values if choice.met and choice.role in unmet}
    pairs = zip(grouped(made.choices), rows(made.choices, request.strips), strict=True)
    return ", ".join(f"{row.role} {row.achieved}, needed {row.needed}" for (one, _), row in pairs if one.role in held)

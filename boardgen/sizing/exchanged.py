"""What changes in a board when another part is soldered in where one was chosen: it is sized again with that part."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.choice import Choice
from boardgen.model.problem import InputError
from boardgen.request import Request
from boardgen.sizing.pins import pin_of
from boardgen.sizing.size import size
from boardgen.spec import quantity


class Exchanged(Struct, frozen=True):
    """What is said of the exchange: values that change, and what falls short then and did not before."""

    changes: tuple[str, ...]
    short: tuple[str, ...]


def exchanged(request: Request, wanted: str, other: str) -> Exchanged:
    """The board of the request with `other` in every place of `wanted`, both catalogue keys, beside it as it is."""
    before = size(request)
    pins = {pin for choice in before.values if choice.part == wanted and (pin := pin_of(choice.role, choice.subject))}
    if not pins:
        return Exchanged((), ())
    parts = request.spec.parts.model_copy(update=dict.fromkeys(pins, other))
    try:
        # the text of the user's file has no such part, so no line of it is named
        after = size(replace(request, spec=request.spec.model_copy(update={"parts": parts}), source=None))
    except InputError as error:
        return Exchanged((), tuple(problem.sentence for problem in error.problems))
    known = {(choice.role, choice.subject): choice for choice in before.values}
    pairs = [(known.get((choice.role, choice.subject)), choice) for choice in after.values]
    told = {problem.sentence for problem in before.problems}
    short = [p.sentence for p in after.problems if p.severity == "shortfall" and p.sentence not in told]
    short += _not_kept([(was, now) for was, now in pairs if was is not None and now.part != other])
    return Exchanged(tuple(dict.fromkeys(_changes(pairs))), tuple(dict.fromkeys(short)))


def _not_kept(pairs: list[tuple[Choice, Choice]]) -> Iterator[str]:
    """A sentence a value that the rest of the board, which stays as it is, has not and would need then."""
    for before, after in pairs:
        if replace(before, required=after.required).met < before.met:
            needed, has = _said(after.required, after.unit), _said(before.achieved, before.unit)
            yield f"{after.role}: {after.bound} {needed} is needed then, and the board has {has}"


def _changes(pairs: list[tuple[Choice | None, Choice]]) -> Iterator[str]:
    """A sentence a value that is another number now."""
    for before, after in pairs:
        if before is None:
            yield f"{after.role}: {_said(after.achieved, after.unit)}, not there before"
        elif (_rounded(before.achieved), _rounded(before.required)) != (
            _rounded(after.achieved),
            _rounded(after.required),
        ):
            required = f", {after.bound} {_said(after.required, after.unit)}" if after.bound != "equal" else ""
            was, now = (_said(one.achieved, one.unit) for one in (before, after))
            yield f"{after.role}: {now} instead of {was}{required}"


def _rounded(value: float) -> str:
    return f"{value:.4g}"


def _said(value: float, unit: str) -> str:
    return quantity.format(value, "" if unit == "1" else unit)

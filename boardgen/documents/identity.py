"""The names of values: pages, drawings and workbooks that show a value show it under one name, as "R1.value"."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from urllib.parse import quote

from boardgen.documents.text import Value
from boardgen.model.choice import Choice
from boardgen.model.problem import Problem
from boardgen.rf.judge import Judged

BOARD = "board"
"""Stands for the strip in names of what serves the whole board."""


def named(*pieces: str) -> str:
    """One name of such pieces, no two lists of pieces alike: spaces are underscores, other signs are by number."""
    return ".".join(
        quote(piece, safe=" ").replace("_", "%5F").replace(".", "%2E").replace(" ", "_") for piece in pieces
    )


def several(*names: str) -> str:
    """Names of values that one text stands for."""
    return " ".join(dict.fromkeys(names))


def of_refs(refs: Iterable[str], *pieces: str) -> str:
    """The names of something that these designators have alike."""
    return several(*(named(ref, *pieces) for ref in refs))


def of_choice(choice: Choice, what: str, words: str, labels: Iterable[str] = ()) -> Value:
    """A figure of a sized value: what was "needed", "chosen" or "achieved"; of these strips, else of its own."""
    subject = choice.subject
    strips = tuple(labels) or (subject.strip,)
    place = tuple(filter(None, (subject.stage, subject.place)))
    return Value(several(*(named(strip or BOARD, *place, choice.role, what) for strip in strips)), words)


def of_judged(judged: Judged) -> str:
    """The names of the worst figure of a target: the target's, and those of the quantity at its place."""
    if judged.at_hz is None:
        return ""
    where = at(judged.at_hz)
    return several(
        named("target", judged.target.replace("_", " "), "predicted"), named("worst", judged.quantity, where),
        named(judged.quantity, judged.port, "with", judged.selected, where),
    )  # fmt: skip


def wanted(target: str) -> str:
    """The name of what a target asks for."""
    return named("target", target.replace("_", " "), "wanted")


def told(problems: Iterable[Problem]) -> tuple[Value, ...]:
    """What falls short or is to be known, and where, once for all places; figures are those of the whole sentence."""
    places: dict[str, dict[str, str]] = {}
    count: Counter[tuple[str, str]] = Counter()
    for problem in problems:
        place = str(problem.place)
        count[place, problem.id] += 1
        # one place may have several problems of a kind
        name = named("problem", problem.id, place, str(count[place, problem.id]))
        places.setdefault(problem.sentence, {})[name] = place
    return tuple(
        Value(several(*alike), f"{', '.join(dict.fromkeys(alike.values()))}: {sentence}")
        for sentence, alike in places.items()
    )


def at(frequency_hz: float) -> str:
    """The piece of a name that says at which frequency."""
    return f"at {frequency_hz:.0f} Hz"

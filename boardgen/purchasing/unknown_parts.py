"""Rows of a user's table that are of no part of the catalogue: each by name, or counted where they are many."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from boardgen.model.problem import Place, Problem
from boardgen.tables.fault import nearest

MOST_NAMED = 10


def unknown_parts(
    identity: str, rows: Iterable[tuple[str, Place]], known: Collection[str], consequence: str
) -> tuple[Problem, ...]:
    """What is to be known of them.

    Parameters
    ----------
    identity
        Of the problems.
    rows
        What stands for a part, and where, each of no known part.
    known
        Keys among which the nearest is looked for.
    consequence
        What becomes of such a row.

    """
    by_file: dict[str, list[tuple[str, Place]]] = {}
    for key, place in rows:
        by_file.setdefault(place.file, []).append((key, place))
    problems = []
    for file, found in by_file.items():
        if len(found) > MOST_NAMED:
            names = ", ".join(key for key, _ in found[:3])
            text = f"{len(found):,} rows are of no part of the catalogue, such as {names}"
            problems.append(Problem(identity, "note", Place(file, found[0][1].line), text, consequence))
            continue
        for key, place in found:
            near = nearest(key, known)
            hint = f"Did you mean {near}?" if near else "Check the spelling"
            text = f"{key} is no part of the catalogue"
            problems.append(Problem(identity, "warning", place, text, consequence, hint))
    return tuple(problems)

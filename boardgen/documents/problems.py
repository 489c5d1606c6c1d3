"""Problems sorted by what they mean for the user."""

from __future__ import annotations

from collections.abc import Iterable

from boardgen.model.problem import Problem


def shortfalls(problems: Iterable[Problem]) -> list[Problem]:
    """What makes the exit code 1."""
    return [p for p in problems if p.severity in ("error", "shortfall")]


def warnings(problems: Iterable[Problem]) -> list[Problem]:
    """What should be known and changes no exit code."""
    return [p for p in problems if p.severity in ("warning", "note")]


def as_json(problems: Iterable[Problem]) -> list[dict[str, object]]:
    """Problems as plain data."""
    return [p.as_json() for p in problems]


def document(problems: Iterable[Problem]) -> dict[str, object]:
    """Both kinds as the part of a summary."""
    found = tuple(problems)
    return {"shortfalls": as_json(shortfalls(found)), "warnings": as_json(warnings(found))}

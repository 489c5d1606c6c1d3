"""What every JSON document is made of, how it is written, and its schema."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

import msgspec
from msgspec import Meta, Struct

from boardgen.model import problem
from boardgen.model.problem import Severity

DIALECT = "https://json-schema.org/draft/2020-12/schema"


class Record(Struct, frozen=True, forbid_unknown_fields=True):
    """An object with these members and no other.

    A document is one with `tag_field="schema"`, whose tag is its name and version.
    """


def says(description: str, **limits: Any) -> Meta:
    """What a member holds, for the schema."""
    return Meta(description=description, **limits)


def json_bytes(document: Struct) -> bytes:
    """A document as JSON, always the same bytes for the same content; what is not a number raises ValueError."""
    plain = msgspec.to_builtins(document)
    return (json.dumps(plain, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()


def json_schema(kind: type[Struct]) -> bytes:
    """The schema of a document in JSON Schema (draft 2020-12, an open standard)."""
    plain = {"$schema": DIALECT, "title": str(kind.__struct_config__.tag), **msgspec.json.schema(kind)}
    return (json.dumps(plain, indent=2, ensure_ascii=False) + "\n").encode()


class Problem(Record, frozen=True):
    """What is wrong, or should be known."""

    id: str
    severity: Severity
    file: str
    line: int | None
    key: str
    found: str
    wanted: str
    hint: str


def problems_of(found: Iterable[problem.Problem]) -> tuple[Problem, ...]:
    """Problems as members of a document."""
    return tuple(
        Problem(p.id, p.severity, p.place.file, p.place.line, p.place.key, p.found, p.wanted, p.hint) for p in found
    )


def shortfalls(found: Iterable[problem.Problem]) -> tuple[Problem, ...]:
    """What makes the exit code 1."""
    return problems_of(problem.shortfalls(found))


def warnings(found: Iterable[problem.Problem]) -> tuple[Problem, ...]:
    """What should be known and changes no exit code."""
    return problems_of(problem.warnings(found))

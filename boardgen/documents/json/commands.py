"""The small documents: what start wrote, what prove found, and why an input was refused."""

from __future__ import annotations

from typing import Annotated

from msgspec import UNSET, UnsetType

from boardgen.documents.json.document import Problem, Record, says


class Started(Record, frozen=True, tag_field="schema", tag="boardgen start 1"):
    """What `start` wrote."""

    file: Annotated[str, says("The specification, or the plan of a station.")]
    template: str
    files: Annotated[tuple[str, ...] | UnsetType, says("Every file, where there are several.")] = UNSET
    shortfalls: tuple[Problem, ...] = ()


class Proved(Record, frozen=True, tag_field="schema", tag="boardgen prove 1"):
    """What `prove` found wrong in a fabrication folder."""

    faults: tuple[Problem, ...]


class Faults(Record, frozen=True, tag_field="schema", tag="boardgen faults 1"):
    """Why the input of any command cannot be used."""

    faults: tuple[Problem, ...]

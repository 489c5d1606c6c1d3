"""needs.json: what the board of a folder takes, so that its parts can be ordered later as it was built.

A part is named by its catalogue key; what else is said of it tells whether the catalogue still means the same part,
and stands for it where no catalogue has it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Annotated

import msgspec
from msgspec import Meta, Struct, field

from boardgen.circuit.windings import WindingRow
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.board_content import BoardContent
from boardgen.purchasing.needs import Need, Spares, joined

NAME = "needs.json"
_SOURCE = "the folder of the built board"
_Find = Callable[[str], Part | None]


class NeededPart(Struct, frozen=True, forbid_unknown_fields=True):
    """A part by its catalogue key, and what tells it from another."""

    key: str
    kind: str
    maker: str
    number: str
    description: str
    value: str
    footprint: str
    unit: Annotated[str, Meta(description='"piece" or "m"')]


class NeededLine(Struct, frozen=True, forbid_unknown_fields=True):
    """So much of a part in one board."""

    part: NeededPart
    designators: tuple[str, ...]
    per_board: Annotated[Decimal, Meta(description="in the part's unit")]
    spare: Annotated[bool, Meta(description="whether spares are bought of it")]
    note: str


class EmptyPlaces(Struct, frozen=True, forbid_unknown_fields=True):
    """Places that stay empty, and the part that would go there."""

    designators: tuple[str, ...]
    part: NeededPart


class Needs(Struct, frozen=True, forbid_unknown_fields=True, tag_field="schema", tag="boardgen needs 1"):
    """What one board takes; of a station's folder, what the station takes beside its boards.

    Amounts are decimal numbers as text.
    """

    title: str
    revision: str
    boards: Annotated[
        int, Meta(description="how many were asked for; 0 of what stands beside a station's boards", ge=0)
    ]
    within: Annotated[tuple[str, ...], Meta(description="the folders of a station's boards; none of a board")]
    spares: Annotated[Decimal, Meta(description="share of the need, such as 0.1")]
    spares_of: Annotated[dict[str, Decimal], Meta(description="the same by kind of part")]
    currency: str
    paper: str
    area_dm2: Annotated[Decimal, Meta(description="of the bare board")]
    needs: tuple[NeededLine, ...]
    empty: tuple[EmptyPlaces, ...]
    windings: tuple[WindingRow, ...]
    in_hand: Annotated[
        dict[str, Decimal | None], Meta(description="how much is there by catalogue key; null for as much as is needed")
    ] = field(default_factory=dict)


def needs_document(content: BoardContent, within: Sequence[str] = ()) -> Needs:
    """The document of a board; with `within` of a station."""
    return Needs(
        title=content.title,
        revision=content.revision,
        boards=content.boards,
        within=tuple(within),
        spares=content.spares.fraction,
        spares_of=dict(content.spares.by_kind),
        currency=content.currency,
        paper=content.paper,
        area_dm2=content.area_dm2,
        needs=tuple(NeededLine(_part(n.part), n.refs, n.per_board, n.spare, n.note) for n in joined(content.needs)),
        empty=tuple(EmptyPlaces(refs, _part(part)) for refs, part in content.empty),
        windings=content.windings,
        in_hand=dict(content.in_hand),
    )


def read_needs(data: bytes) -> Needs:
    """The document. Raises ValueError for anything else."""
    try:
        return msgspec.json.decode(data, type=Needs)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise ValueError(str(error)) from error


def content_of(document: Needs, find: _Find, file: str) -> tuple[BoardContent, tuple[Problem, ...]]:
    """The board of the document, and which of its parts the catalogue does not have, or has as something else.

    Parameters
    ----------
    document
        What was read.
    find
        The part of a catalogue key, or None.
    file
        Where it was read, for the problems.

    """
    said = [*(line.part for line in document.needs), *(place.part for place in document.empty)]
    parts = {part.key: find(part.key) or _as_said(part) for part in said}
    content = BoardContent(
        title=document.title,
        revision=document.revision,
        boards=document.boards,
        spares=Spares(document.spares, document.spares_of),
        currency=document.currency,
        paper=document.paper,
        area_dm2=document.area_dm2,
        needs=tuple(
            Need(parts[x.part.key], x.designators, x.per_board, parts[x.part.key].unit, x.spare, x.note)
            for x in document.needs
        ),
        empty=tuple((place.designators, parts[place.part.key]) for place in document.empty),
        windings=document.windings,
        in_hand=document.in_hand,
    )
    unlike = (_unlike(part, parts[part.key], find(part.key), file) for part in dict.fromkeys(said))
    return content, tuple(problem for problem in unlike if problem)


def _part(part: Part) -> NeededPart:
    return NeededPart(
        part.key, part.kind, part.maker, part.number, part.description, part.value, part.footprint, part.unit
    )


def _as_said(part: NeededPart) -> Part:
    return Part(
        part.key, part.kind, part.maker, part.number, part.description, part.value, "assumed", _SOURCE,
        footprint=part.footprint, unit=part.unit,
    )  # fmt: skip


def _unlike(said: NeededPart, part: Part, found: Part | None, file: str) -> Problem | None:
    """What is to be known of a part that the catalogue does not have as the folder says it."""
    if found is None:
        return Problem(
            "built-part", "warning", Place(file, key=said.key), f"{part.name} is in no catalogue now", "",
            "Give the folder of parts that the board was built with, with --parts",
        )  # fmt: skip
    now = _part(found)
    other = [name for name in ("maker", "number", "footprint", "unit") if getattr(now, name) != getattr(said, name)]
    if not other:
        return None
    what = re.sub("^number$", "maker's number", other[0])
    return Problem(
        "built-part", "shortfall", Place(file, key=said.key),
        f"the {what} of {said.key} is {getattr(now, other[0])} in the catalogue now",
        f"{getattr(said, other[0])}, as the board was built",
        "Give the folder of parts that the board was built with, or build the board again",
    )  # fmt: skip

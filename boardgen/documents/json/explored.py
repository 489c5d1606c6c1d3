"""explored.json: every board of a walk over the choices, and those that no other beats."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf
from typing import Annotated

from boardgen.appraisal import Appraisal
from boardgen.documents import explored as words_of
from boardgen.documents.explored import Exploration as Found
from boardgen.documents.json.document import Record, says
from boardgen.explore.walk import Explored, texts
from boardgen.rf.response import CREDIBLE_DB
from boardgen.rf.verdict import Verdict


class Target(Record, frozen=True):
    """A wanted performance and what the board does."""

    target: str
    wanted: float
    unit: str
    state: Annotated[str, says("met, met as stated, falls short, or not judged.")]
    achieved: Annotated[float | None, says("The worst of all states and ports.")]
    lowest: Annotated[float | None, says("The least that built boards have.")]
    highest: Annotated[float | None, says("The most that built boards have.")]


class Figures(Record, frozen=True):
    """What a board does, takes and costs."""

    targets: tuple[Target, ...]
    mode_conversion_db: Annotated[float | None, says("The worst in the band.")]
    area_cm2: Annotated[float | None, says("Null where it could not be laid out.")]
    missed_rules: Annotated[tuple[str, ...], says("Rules that fall short beside the targets.")]
    parts: int
    relays: int
    winding_hours: Annotated[float, says("By hand; assumed times for a turn and a winding.")]
    soldering_hours: Annotated[float, says("By hand; assumed times for a part and a joint.")]
    longest_cable_m: float
    board_value: Annotated[str, says("What the parts of one board cost.")]
    currency: str
    unpriced: Annotated[int, says("Lines of the bill without a price, which count as nothing.")]


class Board(Record, frozen=True):
    """A combination of choices."""

    number: Annotated[int | None, says("From 1, the cheapest first; null for a board that another beats.")]
    keys: Annotated[Mapping[str, str], says("What it has that the specification has not.")]
    figures: Annotated[Figures | None, says("Null where there is no such board.")]
    refused: Annotated[str, says('Why there is no such board, "" where there is one.')]


class Step(Record, frozen=True):
    """What leads to a listed board from the one before that is most like it."""

    number: int
    words: str


class Exploration(Record, frozen=True, tag_field="schema", tag="boardgen exploration 1"):
    """The choices of one specification side by side."""

    title: str
    boards: Annotated[tuple[Board, ...], says("The specification's own first.")]
    steps: tuple[Step, ...]
    clamp_on: Annotated[str, says('What cores on the coax would do instead, "" where no cable is named.')]
    unfinished: Annotated[int, says("Boards that were not made yet.")]
    folder: str
    files: tuple[str, ...]


def exploration_document(found: Found, folder: str, files: Sequence[str]) -> Exploration:
    """The document of a walk."""
    return Exploration(
        title=found.spec.title,
        boards=tuple(_board(found, board) for board in found.boards),
        steps=tuple(Step(int(number), words) for number, words in words_of.steps(found)),
        clamp_on=found.clamp_on,
        unfinished=found.unfinished,
        folder=folder,
        files=tuple(files),
    )


def _board(found: Found, board: Explored) -> Board:
    figures = _figures(board.appraisal) if board.appraisal else None
    return Board(found.number(board), texts(board.overrides), figures, board.refused)


def _figures(of: Appraisal) -> Figures:
    return Figures(
        targets=tuple(map(_target, of.verdicts)),
        mode_conversion_db=of.conversion_db,
        area_cm2=None if of.area_m2 is None else round(of.area_m2 * 1e4, 2),
        missed_rules=of.missed_rules,
        parts=of.parts,
        relays=of.relays,
        winding_hours=of.winding_h,
        soldering_hours=of.soldering_h,
        longest_cable_m=of.longest_m,
        board_value=str(of.board_value),
        currency=of.currency,
        unpriced=of.unpriced,
    )


def _target(verdict: Verdict) -> Target:
    judged, bound = verdict.judged, verdict.bound
    most = CREDIBLE_DB.get(judged.quantity, inf)
    return Target(
        target=judged.target.replace("_", " "),
        wanted=judged.wanted,
        unit=judged.unit,
        state=verdict.state,
        achieved=None if judged.achieved is None else min(judged.achieved, most),
        lowest=min(bound.lowest, most) if bound else None,
        highest=min(bound.highest, most) if bound else None,
    )

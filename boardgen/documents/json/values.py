"""values.json: every choice with its story, the targets, what falls short."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Literal

from msgspec import UNSET, UnsetType
from msgspec.structs import asdict

from boardgen.documents.json import document
from boardgen.documents.json.document import Problem, Record, says
from boardgen.model import problem
from boardgen.model.choice import Choice
from boardgen.model.choices import Choices
from boardgen.model.part import Part
from boardgen.model.wire_cut import WireCut
from boardgen.spec.keys import Spec


class Influence(Record, frozen=True):
    """A figure of a part that limits a target."""

    ref: Annotated[str, says("Its designator.")]
    figure: str
    value: float
    change_for_a_tenth_more: Annotated[float, says("What a tenth more of it does to the target, in the target's unit.")]


class RestsOn(Record, frozen=True):
    """An unknown that a target rests on which is met as stated, but not over its whole bound."""

    figure: str
    part: Annotated[str, says('Key of the part, "" for copper.')]
    refs: tuple[str, ...]
    stated: float
    lowest: float
    highest: float
    unit: Annotated[str, says('SI; "1" for a share of what is stated, "dB" for what is taken.')]
    keeps: Annotated[float | None, says("Within this the target holds whatever else is; null where it does not.")]
    at_most: Annotated[bool, says("Whether it holds below that limit, else above it.")]
    settle: Annotated[str, says("What settles it.")]


class Target(Record, frozen=True):
    """A wanted performance; without a prediction only what is asked for."""

    target: str
    wanted: float
    unit: str
    to_hz: Annotated[float | None, says("Up to this frequency, else over the whole band.")]
    state: Annotated[str, says("met, met as stated, falls short, or not judged.")]
    achieved: Annotated[float | UnsetType | None, says("The worst of all states and ports.")] = UNSET
    better_than: Annotated[bool | UnsetType, says("Whether it is better than the model can be credited with.")] = UNSET
    lowest: Annotated[float | UnsetType | None, says("The least that built boards have.")] = UNSET
    highest: Annotated[float | UnsetType | None, says("The most that built boards have.")] = UNSET
    at_hz: Annotated[float | UnsetType | None, says("Where the worst is found.")] = UNSET
    selected: Annotated[str | UnsetType, says("The antenna that is then through.")] = UNSET
    port: str | UnsetType = UNSET
    margin: float | UnsetType | None = UNSET
    holds_to_hz: Annotated[float | UnsetType | None, says("Up to where it holds from the bottom of the band.")] = UNSET
    rests_on: tuple[RestsOn, ...] | UnsetType = UNSET
    limited_by: tuple[Influence, ...] | UnsetType = UNSET
    would_do: Annotated[tuple[str, ...] | UnsetType, says("Changes that would meet it.")] = UNSET


class Value(Record, frozen=True):
    """A choice: what is needed, what was chosen, and why."""

    role: str
    subject: Annotated[str, says("Where on the board, in words.")]
    strip: Annotated[str, says('Label of the port, "" for the board itself.')]
    stage: str
    slot: str
    required: float
    bound: Annotated[Literal["at least", "at most", "equal"], says("How the required value binds.")]
    chosen: float
    achieved: float
    unit: Annotated[str, says('SI; "1" for a plain number.')]
    basis: Annotated[str, says("What it was worked out for.")]
    at_hz: float | None
    part: Annotated[str, says("Key of the chosen part in the catalogue.")]
    maker: str
    number: Annotated[str, says("The maker's number.")]
    margin: Annotated[float | None, says("How many times better than required.")]
    met: bool
    next_limit: Annotated[str, says("What would limit next.")]
    formula: str
    source: str
    standing: Annotated[str, says("How sure the figures behind it are.")]


class Cut(Record, frozen=True):
    """A length of wire to be cut."""

    refs: Annotated[tuple[str, ...], says("The parts it is for.")]
    what: str
    length_m: float
    basis: str


class Values(Record, frozen=True, tag_field="schema", tag="boardgen values 1"):
    """The sized values. Those of a build also say what is known of the copper, and which wires to cut."""

    title: str
    revision: str
    shortfalls: Annotated[tuple[Problem, ...], says("What makes the exit code 1.")]
    warnings: tuple[Problem, ...]
    targets: tuple[Target, ...]
    values: tuple[Value, ...]
    copper: str | UnsetType = UNSET
    cuts: tuple[Cut, ...] | UnsetType = UNSET


def values_document(
    spec: Spec, choices: Choices, found: Iterable[problem.Problem], judged: tuple[Target, ...] | None = None
) -> Values:
    """`judged` are the targets where a prediction judged them."""
    found = tuple(found)
    return Values(
        title=spec.title,
        revision=spec.revision,
        shortfalls=document.shortfalls(found),
        warnings=document.warnings(found),
        targets=_unjudged(spec) if judged is None else judged,
        values=tuple(_value(choice, choices.parts) for choice in choices.values),
    )


def cuts_document(cuts: Iterable[WireCut]) -> tuple[Cut, ...]:
    """The wires to cut."""
    return tuple(Cut(**asdict(cut)) for cut in cuts)


def _unjudged(spec: Spec) -> tuple[Target, ...]:
    return tuple(Target(name.replace("_", " "), t.value, t.unit, t.to_hz, "not judged") for name, t in spec.targets)


def _value(choice: Choice, parts: Mapping[str, Part]) -> Value:
    part = parts.get(choice.part)
    subject = choice.subject
    return Value(
        role=choice.role,
        subject=str(subject),
        strip=subject.strip,
        stage=subject.stage,
        slot=subject.slot,
        required=choice.required,
        bound=choice.bound,
        chosen=choice.chosen,
        achieved=choice.achieved,
        unit=choice.unit,
        basis=choice.basis,
        at_hz=choice.at_hz,
        part=choice.part,
        maker=part.maker if part else "",
        number=part.number if part else "",
        margin=choice.margin,
        met=choice.met,
        next_limit=choice.next_limit,
        formula=choice.formula,
        source=choice.source,
        standing=choice.standing,
    )

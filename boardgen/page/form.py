"""The specification as a form: every key in its group, with its sentence, its value and what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin

from msgspec import Struct
from msgspec.structs import replace
from pydantic import BaseModel

from boardgen.model.problem import InputError, Place, Problem
from boardgen.spec.faults import KeyPath, key_text, tables
from boardgen.spec.keys import MOST_ANTENNAS
from boardgen.spec.rewrite import Value, value_in
from boardgen.spec.sentences import keys

GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Name", ("",)),
    ("Band", ("band",)),
    ("Output", ("output",)),
    ("Control cable and supply", ("control",)),
    ("Targets", ("targets",)),
    ("Protection", ("protection",)),
    ("Switching", ("switching", "prefer")),
    ("Parts you choose", ("parts",)),
    ("Main coax and noise", ("feeder", "amplifier")),
    ("Own measurements", ("measured", "measured.relay", "measured.transformer")),
    ("Order", ("order", "order.spares_of")),
    ("Box and documents", ("box", "documents")),
)
"""Headings with the tables that stand under them; the antennas have a group of their own."""
OPEN = ("Band", "Control cable and supply")
MOST_SUMMED = 4
_AMOUNT = re.compile(r"([+-]?[0-9.]+) ?([^0-9 .]\S*)")
_BARE = re.compile(r"[+-]?[0-9][0-9.]*")
_WHOLE = re.compile(r"[+-]?[0-9]{1,18}")

Kind = Literal["text", "choice", "part"]


class Offer(Struct, frozen=True):
    """A part that may be picked: its key, and what is known of it in a line."""

    key: str
    words: str


class Field(Struct, frozen=True):
    """One key as it is shown. A `unit` stands beside a number alone; `choices` are values with their words."""

    key: KeyPath
    kind: Kind
    sentence: str
    value: str
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    faults: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The key as it is written, antennas counted from 1."""
        return key_text(self.key)

    @property
    def address(self) -> str:
        """The key as the id of an element."""
        return "f-" + "-".join(str(step) for step in self.key)

    @property
    def label(self) -> str:
        """The key in words."""
        return str(self.key[-1]).replace("_", " ")

    @property
    def shown(self) -> str:
        """The value with its unit."""
        return f"{self.value} {self.unit}".strip()


class Group(Struct, frozen=True):
    """Keys under a heading, which tells their present values."""

    title: str
    fields: tuple[Field, ...]
    open: bool = False

    @property
    def summary(self) -> str:
        """What is given, in a line."""
        given = [_told(field) for field in self.fields if field.value]
        more = f" and {len(given) - MOST_SUMMED} more" if len(given) > MOST_SUMMED else ""
        return ", ".join(given[:MOST_SUMMED]) + more or "as usual"

    @property
    def more(self) -> str:
        """The same without the first."""
        return replace(self, fields=self.fields[1:]).summary

    @property
    def faulty(self) -> bool:
        """Whether anything in it is wrong."""
        return any(field.faults for field in self.fields)


class Form(Struct, frozen=True):
    """All of the specification: the antennas row by row, the groups, and faults that are at no field."""

    groups: tuple[Group, ...]
    antennas: tuple[Group, ...]
    others: tuple[str, ...]

    @property
    def title(self) -> str:
        """What the board is called."""
        return next((field.value for field in self.groups[0].fields if field.key == ("title",)), "") or "switch board"

    @property
    def full(self) -> bool:
        """Whether there is room for no more antennas."""
        return len(self.antennas) >= MOST_ANTENNAS

    @property
    def faulty(self) -> bool:
        """Whether anything is wrong."""
        return bool(self.others) or any(group.faulty for group in (*self.groups, *self.antennas))


def form(data: Mapping[str, object], faults: Sequence[Problem], offers: Mapping[str, Sequence[Offer]]) -> Form:
    """The form of a specification.

    Parameters
    ----------
    data : the specification as plain data, sound or not.
    faults : what is wrong with it, by its key.
    offers : the parts that each key of [parts] may take.

    """
    left = list(faults)

    def group(title: str, names: Sequence[str], before: KeyPath = ()) -> Group:
        fields = tuple(field for name in names for field in _fields(data, name, before, left, offers))
        return Group(title, fields, title in OPEN)

    rows = data.get("antenna")
    count = len(rows) if isinstance(rows, list) else 0
    antennas = tuple(group(f"Antenna {n + 1}", ("antenna",), ("antenna", n)) for n in range(count))
    groups = tuple(group(title, names) for title, names in GROUPS)
    return Form(groups, antennas, tuple(f"{p.place.key}: {p.sentence}".removeprefix(": ") for p in left))


def plan_form(data: Mapping[str, object], faults: Sequence[Problem]) -> Form:
    """Of a plan, which is changed in an editor: its title and its faults."""
    title = Field(("title",), "text", "", str(data.get("title", "station")))
    words = tuple(f"{p.place}: {p.sentence}".removeprefix(": ") for p in faults)
    return Form((Group("Name", (title,)),), (), words)


def is_plan(data: Mapping[str, object]) -> bool:
    """Whether a file is the plan of a station: it has boxes, where a specification has one."""
    return isinstance(data.get("box"), list)


def _fields(
    data: Mapping[str, object],
    dotted: str,
    before: KeyPath,
    left: list[Problem],
    offers: Mapping[str, Sequence[Offer]],
) -> list[Field]:
    """The keys of a table; faults that belong to them are taken from those that are left."""
    table = tables()[dotted]
    path: KeyPath = before or tuple(filter(None, dotted.split(".")))
    found = []
    for key, said in keys(table):
        if (dotted, key) in (("", "antenna"), ("order", "spares_of")):
            continue
        at = (*path, key)
        own = [fault for fault in left if fault.place.key == key_text(at)]
        left[:] = [fault for fault in left if fault not in own]
        picks = offers.get(key, ()) if dotted == "parts" else ()
        words = tuple(fault.sentence for fault in own)
        found.append(_field(at, table, " ".join(said.split()), value_in(data, at), picks, words))
    return found


def _field(
    at: KeyPath, table: type[BaseModel], sentence: str, value: object, picks: Sequence[Offer], faults: tuple[str, ...]
) -> Field:
    text = "" if value is None else str(value).lower() if isinstance(value, bool) else str(value)
    if picks:
        choices = _with_own([("", "chosen by rule"), *((one.key, one.words) for one in picks)], text)
        return Field(at, "part", sentence, text, "", choices, faults)
    offered = _choices(table.model_fields[str(at[-1])].annotation)
    if offered:
        words = {"true": "yes", "false": "no"}
        choices = _with_own([("", "by default"), *((one, words.get(one, one)) for one in offered)], text)
        return Field(at, "choice", sentence, text, "", choices, faults)
    amount = _AMOUNT.fullmatch(text)
    number, unit = amount.groups() if amount else (text, "")
    return Field(at, "text", sentence, number, unit, (), faults)


def _with_own(choices: Sequence[tuple[str, str]], text: str) -> tuple[tuple[str, str], ...]:
    """The choices, and what the file holds where that is none of them."""
    return (*choices, *([] if text in [one for one, _ in choices] else [(text, text)]))


def _choices(annotation: object) -> tuple[str, ...]:
    """The values of a key that has few, as they stand in the file; none for any other."""
    if annotation is bool:
        return ("true", "false")
    if get_origin(annotation) is Literal:
        return tuple(str(one) for one in get_args(annotation))
    if get_origin(annotation) in (Union, UnionType):
        return next((_choices(one) for one in get_args(annotation) if one is not NoneType), ())
    return ()


def _told(field: Field) -> str:
    """A value in the heading of its group; of what is only yes or no, the key says what."""
    if field.value in ("true", "false"):
        return field.label if field.value == "true" else f"no {field.label}"
    if _WHOLE.fullmatch(field.shown):
        return f"{field.label} {field.value}"
    return field.shown if len(field.shown) < 30 else f"{field.label} …"


def check_key(key: KeyPath) -> None:
    """Raises InputError where a specification has no such key that takes a value."""
    names = [step for step in key if isinstance(step, str)]
    shape = (str, int, str) if names[:1] == ["antenna"] else (str,) * len(key)
    table = tables().get(".".join(names[:-1]))
    field = table.model_fields.get(names[-1]) if table and tuple(map(type, key)) == shape else None
    if field is None or _is_table(field.annotation):
        place = Place(key=key_text(key)[:80])
        raise InputError([Problem("W006 no key", "error", place, "a specification has no such key")])


def _is_table(annotation: object) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def read_typed(key: KeyPath, words: str, unit: str) -> Value:
    """What was typed into a field, as the file has it; None where the field was emptied.

    A number alone takes the unit that stood beside it.
    """
    words = words.strip()
    name = ".".join(step for step in key[:-1] if isinstance(step, str))
    table = tables().get(name)
    field = table.model_fields.get(str(key[-1])) if table else None
    if not words or field is None:
        return None
    kinds: tuple[Any, ...] = (field.annotation, *get_args(field.annotation))
    if bool in kinds and words in ("true", "false"):
        return words == "true"
    if int in kinds and _WHOLE.fullmatch(words):
        return int(words)
    return f"{words} {unit}" if unit and _BARE.fullmatch(words) else words

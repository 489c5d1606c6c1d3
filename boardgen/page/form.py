"""A specification or plan as a form: every key in its group, with its sentence, its value and what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from types import NoneType, UnionType
from typing import Literal, Union, get_args, get_origin

from msgspec import Struct
from msgspec.structs import replace
from pydantic import BaseModel

from boardgen.model.problem import InputError, Place, Problem
from boardgen.page.layout import Layout, Part
from boardgen.spec.faults import KeyPath, Shape, key_text
from boardgen.spec.rewrite import Value, value_in
from boardgen.spec.sentences import keys

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
        """The key in words; of a table in a row, such as a box's feeder, with its name."""
        steps = self.key[2:] if len(self.key) > 2 and isinstance(self.key[1], int) else self.key[-1:]
        return " ".join(map(str, steps)).replace("_", " ")

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
    def address(self) -> str:
        """The id of its element."""
        return f"g-{self.title.replace(' ', '-')}"

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


class Rows(Struct, frozen=True):
    """A list of tables under a heading, such as the antennas: each row a group of its keys."""

    part: Part
    table: str
    groups: tuple[Group, ...]

    @property
    def title(self) -> str:
        """Its heading."""
        return self.part.title

    @property
    def address(self) -> str:
        """The id of its element."""
        return f"g-{self.title.replace(' ', '-')}"

    @property
    def open(self) -> bool:
        """Whether it is open at first."""
        return self.part.open

    @property
    def summary(self) -> str:
        """How many there are, and may be."""
        return f"{len(self.groups)} of {self.part.most}"

    @property
    def faulty(self) -> bool:
        """Whether anything in them is wrong."""
        return any(group.faulty for group in self.groups)


class Form(Struct, frozen=True):
    """All of a file: its groups and lists in order, and faults that are at no field."""

    parts: tuple[Group | Rows, ...]
    others: tuple[str, ...]
    title: str

    @property
    def faulty(self) -> bool:
        """Whether anything is wrong."""
        return bool(self.others) or any(part.faulty for part in self.parts)


def form(
    data: Mapping[str, object], layout: Layout, faults: Sequence[Problem], offers: Mapping[str, Sequence[Offer]]
) -> Form:
    """The form of a specification or plan.

    Parameters
    ----------
    data : the file as plain data, sound or not.
    layout : what stands under which heading.
    faults : what is wrong with it, by its key.
    offers : the parts that each key of [parts] may take.

    """
    left = list(faults)

    def group(part: Part, title: str, row: int | None = None) -> Group:
        fields = (field for name in part.tables for field in _fields(data, layout.shape, name, row, left, offers))
        return Group(title, tuple(fields), part.open)

    def made(part: Part) -> Group | Rows:
        table = part.tables[0]
        if table not in layout.shape.lists:
            return group(part, part.title)
        rows = data.get(table)
        count = len(rows) if isinstance(rows, list) else 0
        return Rows(part, table, tuple(group(part, f"{table} {n + 1}".replace("_", " "), n) for n in range(count)))

    parts = tuple(map(made, layout.parts))
    others = tuple(f"{p.place.key}: {p.sentence}".removeprefix(": ") for p in left)
    return Form(parts, others, str(data.get("title") or layout.untitled))


def _fields(
    data: Mapping[str, object],
    shape: Shape,
    dotted: str,
    row: int | None,
    left: list[Problem],
    offers: Mapping[str, Sequence[Offer]],
) -> list[Field]:
    """The keys of a table, of a list those of that row; faults that belong to them are taken from those left."""
    table = shape.tables[dotted]
    path: KeyPath = tuple(filter(None, dotted.split(".")))
    if row is not None:
        path = (path[0], row, *path[1:])
    found = []
    for key, said in keys(table):
        if f"{dotted}.{key}".lstrip(".") in shape.tables:
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


def check_key(key: KeyPath, shape: Shape) -> None:
    """Raises InputError where a file of that shape has no such key that takes a value."""
    names = [step for step in key if isinstance(step, str)]
    kinds = (str, int, *(str,) * (len(key) - 2)) if names[:1] and names[0] in shape.lists else (str,) * len(key)
    table = shape.tables.get(".".join(names[:-1]))
    known = table is not None and names[-1] in table.model_fields and tuple(map(type, key)) == kinds
    if not known or ".".join(names) in shape.tables:
        raise _no_key(key_text(key)[:80])


def first_key(table: str, shape: Shape) -> str:
    """The key that names a table of a list. Raises InputError where there is no such list."""
    if table not in shape.lists:
        raise _no_key(table)
    return next(iter(shape.tables[table].model_fields))


def _no_key(name: str) -> InputError:
    return InputError([Problem("W006 no key", "error", Place(key=name), "the file has no such key")])


def read_typed(key: KeyPath, words: str, unit: str, shape: Shape) -> Value:
    """What was typed into a field, as the file has it; None where the field was emptied.

    A number alone takes the unit that stood beside it.
    """
    words = words.strip()
    if not words:
        return None
    table = shape.tables[".".join(step for step in key[:-1] if isinstance(step, str))]
    kinds = list(_kinds(table.model_fields[str(key[-1])].annotation))
    if bool in kinds and words in ("true", "false"):
        return words == "true"
    if int in kinds and _WHOLE.fullmatch(words):
        return int(words)
    return f"{words} {unit}" if unit and _BARE.fullmatch(words) else words


def _kinds(annotation: object) -> Iterator[object]:
    """A type, and those it is made of."""
    yield annotation
    for one in get_args(annotation):
        yield from _kinds(one)

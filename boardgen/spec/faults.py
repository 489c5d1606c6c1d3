"""What validation finds wrong, turned into found, wanted and hint."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches

from msgspec import Struct
from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from boardgen.spec.keys import Antenna, InHand, Spec, Transmitter
from boardgen.tables.fault import FieldError
from boardgen.tables.shown import shown

KeyPath = tuple[str | int, ...]

_SPEC_EXAMPLES: dict[KeyPath, str] = {
    ("band",): "write [band] with lowest and highest under it",
    ("antenna",): 'write [[antenna]] with a label under it, once for each antenna, such as label = "north"',
    ("band", "lowest"): 'write lowest = "1.8 MHz" under [band]',
    ("band", "highest"): 'write highest = "10.15 MHz" under [band]',
    ("antenna", "label"): 'write label = "north" under [[antenna]]',
    ("transmitter", "label"): 'write label = "the tower" under [[transmitter]]',
    ("transmitter", "frequency"): 'write frequency = "1.83 MHz" under [[transmitter]]',
    ("transmitter", "power"): 'write power = "100 W" under [[transmitter]]',
    ("transmitter", "distance"): 'write distance = "80 m" under [[transmitter]]',
    ("in_hand", "part"): 'write part = "cable-feeder-rg-59" under [[in_hand]]',
}
LISTS: dict[str, type[BaseModel]] = {"antenna": Antenna, "in_hand": InHand, "transmitter": Transmitter}
"""The tables of which there may be several."""
_BOOLEAN = "write true or false, without quotes"
_NO_TABLE = ""
_MOST = 200
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]{1,40}")


class Shape(Struct, frozen=True):
    """What a kind of file may hold: the model of each table by its dotted name, that of the top level being empty.

    `lists` are the tables of which there may be several; `examples` say what to write for a key that is absent.
    """

    tables: Mapping[str, type[BaseModel]]
    lists: tuple[str, ...]
    examples: Mapping[KeyPath, str]


class Fault(Struct, frozen=True):
    """A fault at `keys[0]`; where it follows from several keys, the others come after it."""

    id: str
    keys: tuple[KeyPath, ...]
    found: str
    wanted: str = ""
    hint: str = ""


def tables() -> dict[str, type[BaseModel]]:
    """The model of each table of a specification by its dotted name; the name of the top level is empty."""
    return {_NO_TABLE: Spec, **LISTS, **dict(_inner(Spec, ""))}


def spec_shape() -> Shape:
    """What a specification may hold."""
    return Shape(tables(), tuple(LISTS), _SPEC_EXAMPLES)


def _inner(model: type[BaseModel], before: str) -> Iterator[tuple[str, type[BaseModel]]]:
    for name, field in model.model_fields.items():
        if isinstance(field.annotation, type) and issubclass(field.annotation, BaseModel):
            yield before + name, field.annotation
            yield from _inner(field.annotation, f"{before}{name}.")


def key_text(path: KeyPath) -> str:
    """The key path as the user would write it, antennas counted from 1: "antenna[2].feed"."""
    text = ""
    for step in path:
        if isinstance(step, int):
            text += f"[{step + 1}]"
        else:
            text += ("." if text else "") + (step if _BARE_KEY.fullmatch(step) else shown(step))
    return text


def from_validation(error: ValidationError, shape: Shape) -> list[Fault]:
    """The faults that validation reported, each at its key; of very many, the first and how many more there are."""
    details = error.errors(include_url=False)
    faults = [_fault(one, shape) for one in details[:_MOST]]
    if left := len(details) - len(faults):
        faults.append(Fault("S009 more faults", ((),), f"{left} more faults are not listed"))
    return faults


def _fault(details: ErrorDetails, shape: Shape) -> Fault:
    path: KeyPath = details["loc"]
    value = details["input"]
    context = details.get("ctx", {})
    reason = context.get("error")
    if isinstance(reason, FieldError):
        return Fault("S008 wrong value", (path,), reason.found, reason.wanted)
    match details["type"]:
        case "extra_forbidden":
            return _unknown(path, shape)
        case "missing":
            wanted = shape.examples[tuple(step for step in path if isinstance(step, str))]
            return Fault("S005 absent key", (path,), f"{key_text(path)} is absent", wanted)
        case "literal_error":
            return _no_choice(path, value, re.findall(r"'([^']*)'", context["expected"]))
        case "bool_type":
            return Fault("S006 wrong type", (path,), f"{shown(value)} is neither true nor false", _BOOLEAN)
        case "model_type":
            return _no_table(path, value, shape)
    return Fault("S006 wrong type", (path,), f"{shown(value)} cannot stand here", details["msg"])


def _no_choice(path: KeyPath, value: object, choices: list[str]) -> Fault:
    wanted = "allowed are " + ", ".join(shown(choice) for choice in choices)
    near = _near(value, choices) if isinstance(value, str) else ""
    return Fault("S007 not a choice", (path,), f"{shown(value)} is not a choice", wanted, _meant(near))


def _no_table(path: KeyPath, value: object, shape: Shape) -> Fault:
    name = _table(path)
    single = f"write [{name}], in single brackets, and its keys below"
    wanted = shape.examples[(name,)] if name in shape.lists else single
    return Fault("S006 wrong type", (path,), f"{key_text(path)} is {shown(value)}, not one table", wanted)


def _unknown(path: KeyPath, shape: Shape) -> Fault:
    key = str(path[-1])
    table = _table(path[:-1])
    known = shape.tables
    own = tuple(known[table].model_fields)
    wanted = f"{_header(table, shape)} may hold {', '.join(own)}"
    near = _near(key, own)
    if near:
        hint = _meant(near)
    else:
        meant = _near(key, (other for model in known.values() for other in model.model_fields))
        homes = [_header(name, shape) for name, model in known.items() if meant in model.model_fields]
        hint = f"{meant} belongs to {' or '.join(homes)}" if meant else ""
    return Fault("S004 unknown key", (path,), f"the key {key_text((key,))} is unknown here", wanted, hint)


def _table(path: KeyPath) -> str:
    return ".".join(step for step in path if isinstance(step, str))


def _header(table: str, shape: Shape) -> str:
    if table == _NO_TABLE:
        return "the top of the file"
    return f"[[{table}]]" if table in shape.lists else f"[{table}]"


def _meant(near: str) -> str:
    return f"Did you mean {shown(near)}?" if near else ""


def _near(word: str, choices: Iterable[str]) -> str:
    plain = re.sub(r"[ -]", "_", word[:60]).casefold()
    spellings = {re.sub(r"[ -]", "_", choice).casefold(): choice for choice in choices}
    return next((spellings[match] for match in get_close_matches(plain, spellings, 1, 0.7)), "")

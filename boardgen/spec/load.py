"""A specification from a file, or every fault of it at once."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import get_args

from pydantic import ValidationError

from boardgen.model.problem import InputError, Place, Problem
from boardgen.spec.consistency import inconsistencies
from boardgen.spec.faults import Fault, KeyPath, from_validation, key_text, spec_shape, tables
from boardgen.spec.keys import MOST_ANTENNAS, Spec
from boardgen.spec.lines import COMMAND_LINE, line_numbers
from boardgen.tables.text_file import read_plain_file
from boardgen.tables.toml_text import TomlError, read_toml

LARGEST_MIB = 1

_BROKEN = "write each value as key = value, texts in quotes, and each key once"
_OVERRIDE_WANTED = "name a key and its table, such as band.lowest; [[antenna]] and other lists are changed in the file"
_NONE: Mapping[str, str] = {}


def load(path: Path, overrides: Mapping[str, str] = _NONE) -> Spec:
    """The specification in a file.

    Parameters
    ----------
    path
        A text file in TOML of at most 1 MiB.
    overrides
        Dotted keys with their values as text, such as {"band.lowest": "472 kHz"}; they win over the file.

    Raises
    ------
    InputError
        With every problem found, each with file, line and key.

    """
    return read_text(file_text(path), str(path), overrides)


def read_text(text: str, file_name: str = "", overrides: Mapping[str, str] = _NONE) -> Spec:
    """The specification in a text, as `load` reads it from a file. Problems are placed in `file_name`."""
    data, given, faults = _overridden(toml_data(text, file_name), overrides)
    spec, found = _validated(data)
    if spec is not None and not faults:
        return spec
    raise InputError(placed([*faults, *found], given, text, file_name))


def file_text(path: Path) -> str:
    """The text of a file in TOML. Raises InputError where it cannot be read."""
    place = Place(str(path))
    try:
        content = read_plain_file(path, LARGEST_MIB)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name cannot be used"
        wanted = "name a specification in TOML, which is far smaller than 1 MiB"
        raise _refused("S001 unreadable file", place, f"the file cannot be read: {reason}", wanted) from error
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        place = Place(str(path), content.count(b"\n", 0, error.start) + 1)
        raise _refused("S002 not UTF-8", place, "the file is not UTF-8 text", "save it as UTF-8") from error


def toml_data(text: str, file_name: str) -> dict[str, object]:
    """The text as plain data. Raises InputError where it is not TOML."""
    try:
        return read_toml(text)
    except TomlError as error:
        raise _refused("S003 broken TOML", Place(file_name, error.line), error.found, _BROKEN) from error


def _refused(name: str, place: Place, found: str, wanted: str = "") -> InputError:
    return InputError([Problem(name, "error", place, found, wanted)])


def placed(faults: Sequence[Fault], given: set[KeyPath], text: str, file_name: str) -> list[Problem]:
    """The faults as problems with file, line and key; those of `given` keys stand on the command line."""
    lines = line_numbers(text.removeprefix("\ufeff"), {fault.keys[0] for fault in faults} - given)
    problems = []
    for fault in faults:
        key = fault.keys[0]
        place = Place(COMMAND_LINE if key in given else file_name, lines.get(key), key_text(key))
        problems.append(Problem(fault.id, "error", place, fault.found, fault.wanted, fault.hint))
    return sorted(problems, key=lambda problem: (problem.place.line or 0, problem.place.key, problem.id))


def _overridden(
    data: Mapping[str, object], overrides: Mapping[str, str]
) -> tuple[dict[str, object], set[KeyPath], list[Fault]]:
    """The data with the overrides in place, the paths that were given, and faults of the dotted keys themselves."""
    laid = dict(data)
    given: set[KeyPath] = set()
    faults: list[Fault] = []
    for dotted, text in overrides.items():
        path = tuple(dotted.split("."))
        table, key = path if len(path) == 2 else ("", dotted)
        given.add(path)
        if table and table not in data:
            given.add((table,))
        if len(path) > 2 or not {*path}.isdisjoint(spec_shape().lists):
            faults.append(Fault("S004 unknown key", (path,), "this key cannot be overridden", _OVERRIDE_WANTED))
        elif len(path) == 1:
            laid[key] = override_value("", key, text)
        elif isinstance(members := laid.get(table, {}), dict):
            laid[table] = {**members, key: override_value(table, key, text)}
    return laid, given, faults


def override_value(table: str, key: str, text: str) -> str | int | bool:
    """The text as a file would give it: a whole number or a truth value where the key is one, else the text."""
    model = tables().get(table)
    field = model.model_fields.get(key) if model else None
    kinds = (field.annotation, *get_args(field.annotation)) if field else ()
    if int in kinds and re.fullmatch(r"[+-]?[0-9]{1,18}", text.strip(), re.ASCII):
        return int(text)
    if bool in kinds and text.strip() in ("true", "false"):
        return text.strip() == "true"
    return text


def is_sound_alone(dotted: str, text: str) -> bool:
    """Whether there is such a key and it takes that value, whatever other keys say."""
    table, _, key = dotted.rpartition(".")
    model = tables().get(table)
    if model is None or key not in model.model_fields:
        return False
    try:
        model.model_validate({key: override_value(table, key, text)})
    except ValidationError as error:
        return all(fault["loc"][:1] != (key,) for fault in error.errors())
    return True


def _validated(data: Mapping[str, object]) -> tuple[Spec | None, list[Fault]]:
    """The specification, or None with every fault found.

    Where single keys are faulty, the checks between keys still run over the sound ones.
    """
    try:
        spec = Spec.model_validate(data)
    except ValidationError as error:
        faults = from_validation(error, spec_shape())
        return None, faults + _between_sound_keys(data, [fault.keys[0] for fault in faults])
    faults = inconsistencies(spec)
    return (None, faults) if faults else (spec, [])


def _between_sound_keys(data: Mapping[str, object], faulty: Sequence[KeyPath]) -> list[Fault]:
    try:
        spec = Spec.model_validate(_with_stand_ins(data, faulty))
    except ValidationError:
        return []
    return [fault for fault in inconsistencies(spec) if not any(_touches(key, faulty) for key in fault.keys)]


def _touches(key: KeyPath, faulty: Sequence[KeyPath]) -> bool:
    return any(key[: len(path)] == path for path in faulty)


def _with_stand_ins(data: Mapping[str, object], faulty: Sequence[KeyPath]) -> dict[str, object]:
    tables: dict[str, object] = {
        name: dict(value) if isinstance(value, dict) else value for name, value in data.items()
    }
    antennas = data.get("antenna")
    rows = [dict(row) if isinstance(row, dict) else {} for row in antennas] if isinstance(antennas, list) else [{}]
    for path in faulty:
        match path:
            case (str() as table,):
                tables.pop(table, None)
            case ("antenna", int() as at, str() as key):
                rows[at].pop(key, None)
            case (str() as table, int(), *_):
                tables.pop(table, None)
            case (str() as table, str() as key, *_):
                members = tables.get(table)
                if isinstance(members, dict):
                    members.pop(key, None)
    band = tables.setdefault("band", {})
    if isinstance(band, dict):
        band.setdefault("lowest", "100 kHz")
        band.setdefault("highest", "30 MHz")
    for at, row in enumerate(rows):
        row.setdefault("label", f"stand-in {at}")
    tables["antenna"] = rows[:MOST_ANTENNAS] or [{"label": "stand-in"}]
    return tables

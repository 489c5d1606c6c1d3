"""A specification from a file, or every fault of it at once."""

from __future__ import annotations

import re
import stat
from collections.abc import Mapping, Sequence
from pathlib import Path

import tomli

from boardgen.model.problem import InputError, Place, Problem
from boardgen.spec.faults import Fault, KeyPath, key_text
from boardgen.spec.keys import Spec
from boardgen.spec.lines import line_numbers
from boardgen.spec.overrides import overridden
from boardgen.spec.validate import validate

LARGEST_BYTES = 1024 * 1024
_MOST_DOTS = 200
COMMAND_LINE = "command line"

_BROKEN = "write each value as key = value, texts in quotes, and each key once"
_NONE: Mapping[str, str] = {}


def load(path: Path, overrides: Mapping[str, str] = _NONE) -> Spec:
    """The specification in the file at `path`.

    `overrides` are dotted keys with their values as text, such as {"band.lowest": "472 kHz"}; they win over the file.

    Raises InputError with every problem found.
    """
    return read_text(file_text(path), str(path), overrides)


def read_text(text: str, file_name: str = "", overrides: Mapping[str, str] = _NONE) -> Spec:
    """The specification in `text`, with problems placed in `file_name`. Raises InputError as `load` does."""
    data, given, faults = overridden(toml_data(text, file_name), overrides)
    spec, found = validate(data)
    if spec is not None and not faults:
        return spec
    raise InputError(placed([*faults, *found], given, text, file_name))


def file_text(path: Path) -> str:
    """The text of a file in TOML. Raises InputError where it cannot be read."""
    place = Place(str(path))
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise _refused("S001 unreadable file", place, "this is not a regular file", "name a specification in TOML")
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name cannot be used"
        raise _refused("S001 unreadable file", place, f"the file cannot be read: {reason}") from error
    if len(content) > LARGEST_BYTES:
        raise _refused("S001 unreadable file", place, "the file is larger than 1 MiB", "a specification is far smaller")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        place = Place(str(path), content.count(b"\n", 0, error.start) + 1)
        raise _refused("S002 not UTF-8", place, "the file is not UTF-8 text", "save it as UTF-8") from error


def toml_data(text: str, file_name: str) -> dict[str, object]:
    """The text as plain data. Raises InputError where it is not TOML."""
    _refuse_many_dots(text, file_name)
    try:
        return tomli.loads(text.removeprefix("\ufeff"))
    except RecursionError as error:
        raise _refused("S003 broken TOML", Place(file_name), "the lists or tables are nested too deeply") from error
    except ValueError as error:
        message = str(error)
        line = re.search(r"\(at line ([0-9]+)", message)
        number = int(line[1]) if line else text.count("\n") + 1 if "end of document" in message else None
        raise _refused("S003 broken TOML", Place(file_name, number), _toml_fault(message), _BROKEN) from error


def _refuse_many_dots(text: str, file_name: str) -> None:
    # the time to read a dotted key grows with the square of its parts
    for number, line in enumerate(text.split("\n"), 1):
        if line.count(".") > _MOST_DOTS and not line.startswith("#"):
            raise _refused("S003 broken TOML", Place(file_name, number), "this line holds too many dots")


def _toml_fault(message: str) -> str:
    if "integer string conversion" in message:
        return "a number has too many digits"
    if re.search("overwrite|twice|immutable|redefine|duplicate", message, re.IGNORECASE):
        return "a key or table is given twice"
    return "this is not TOML: " + re.sub(r" \(at .*", "", message, flags=re.DOTALL)


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

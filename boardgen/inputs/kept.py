"""Reads the parts that an earlier values.json took, so that a regenerated board keeps them where it can."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

from boardgen.model.choice import Subject
from boardgen.model.problem import InputError, Place, Problem
from boardgen.sizing.pins import pin_of
from boardgen.tables.text_file import read_plain_file


def kept_parts(spec_path: Path, keep: str | None) -> dict[str, str]:
    """Catalogue key by key of [parts]; empty where nothing is kept. The path is beside the specification.

    Raises InputError at the key that names the file.
    """
    if keep is None:
        return {}
    path = spec_path.parent / keep
    try:
        values = json.loads(read_plain_file(path))["values"]
        return {pin: str(v["part"]) for v in values if v["part"] and (pin := pin_of(v["role"], _subject(v)))}
    except OSError as error:
        found = f"{path} cannot be read: {error.strerror}"
    except (ValueError, KeyError, TypeError, RecursionError):
        found = f"{path} is not a values.json of this program"
    problem = Problem("S030 kept values", "error", Place(key="parts.keep"), found, "", "Name an earlier values.json.")
    raise InputError([problem])


def _subject(value: Mapping[str, str]) -> Subject:
    return Subject(value["strip"], value["stage"], value["slot"])

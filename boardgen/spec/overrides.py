"""Keys given on the command line, laid over those of the file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import get_args

from boardgen.spec.faults import Fault, KeyPath, tables

_WANTED = "name a key and its table, such as band.lowest; antennas are changed in the file"


def overridden(
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
        if len(path) > 2 or "antenna" in path:
            faults.append(Fault("S004 unknown key", (path,), "this key cannot be overridden", _WANTED))
        elif len(path) == 1:
            laid[key] = _value("", key, text)
        elif isinstance(members := laid.get(table, {}), dict):
            laid[table] = {**members, key: _value(table, key, text)}
    return laid, given, faults


def _value(table: str, key: str, text: str) -> object:
    """The text as a file would give it: a whole number or a truth value where the key is one, else the text."""
    model = tables().get(table)
    field = model.model_fields.get(key) if model else None
    kinds = (field.annotation, *get_args(field.annotation)) if field else ()
    if int in kinds and re.fullmatch(r"[+-]?[0-9]{1,18}", text.strip(), re.ASCII):
        return int(text)
    if bool in kinds and text.strip() in ("true", "false"):
        return text.strip() == "true"
    return text

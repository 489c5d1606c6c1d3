"""Reads the parts that an earlier values.json took, so that a regenerated board keeps them where it can."""

from __future__ import annotations

import json
from pathlib import Path

from boardgen.model.problem import InputError, Place, Problem
from boardgen.tables.text_file import read_plain_file

PINS = {
    "turns": "core",
    "winding wire": "wire",
    "blocking capacitor": "blocking_capacitor",
    "rail capacitor": "rail_capacitor",
    "surge tube": "surge_tube",
    "line suppressor": "line_suppressor",
    "earth tube": "earth_tube",
    "flyback diode": "flyback_diode",
    "series diode": "series_diode",
    "relay voltage": "relay",
    "feed fuse": "fuse",
}
"""The key of [parts] that each role of a choice stands for."""
CHOKES = {
    "centre choke": "choke",
    "supply choke": "supply_choke",
    "braid choke": "supply_choke",
    "bifilar choke": "bifilar_choke",
}


def kept_parts(spec_path: Path, keep: str | None) -> dict[str, str]:
    """Catalogue key by key of [parts]; empty where nothing is kept. The path is beside the specification.

    Raises InputError at the key that names the file.
    """
    if keep is None:
        return {}
    path = spec_path.parent / keep
    try:
        values = json.loads(read_plain_file(path))["values"]
        return {pin: str(v["part"]) for v in values if v["part"] and (pin := _pin(v))}
    except OSError as error:
        found = f"{path} cannot be read: {error.strerror}"
    except (ValueError, KeyError, TypeError, RecursionError):
        found = f"{path} is not a values.json of this program"
    problem = Problem("S030 kept values", "error", Place(key="parts.keep"), found, "", "Name an earlier values.json.")
    raise InputError([problem])


def _pin(value: dict[str, str]) -> str | None:
    if value["role"] == "choke":
        return CHOKES.get(value["slot"])
    if value["role"] == "turns" and value["strip"] == "output":
        return "output_core"
    return PINS.get(value["role"])

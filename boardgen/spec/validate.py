"""Plain data to a specification, or all of its faults."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from pydantic import ValidationError

from boardgen.spec.consistency import inconsistencies
from boardgen.spec.faults import Fault, KeyPath, from_validation, spec_shape
from boardgen.spec.keys import MOST_ANTENNAS, Spec


def validate(data: Mapping[str, object]) -> tuple[Spec | None, list[Fault]]:
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

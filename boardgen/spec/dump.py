"""A specification as plain data for a manifest."""

from __future__ import annotations

from dataclasses import fields, is_dataclass

from pydantic import BaseModel

from boardgen.spec.keys import Spec


def dump(spec: Spec) -> dict[str, object]:
    """Every key with its value, defaults included, as values that JSON can hold; quantities in SI units."""
    return {name: _plain(getattr(spec, name)) for name in type(spec).model_fields}


def _plain(value: object) -> object:
    if isinstance(value, BaseModel):
        return {name: _plain(getattr(value, name)) for name in type(value).model_fields}
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [_plain(member) for member in value]
    return value

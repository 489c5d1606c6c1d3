"""A specification as plain data, to be compared."""

from __future__ import annotations

from msgspec import Struct
from pydantic import BaseModel

from boardgen.spec.keys import Spec


def dump(spec: Spec) -> dict[str, object]:
    """Every key with its value, defaults included, as values that JSON can hold; quantities in SI units."""
    return {name: _plain(getattr(spec, name)) for name in type(spec).model_fields}


def _plain(value: object) -> object:
    if isinstance(value, BaseModel):
        return {name: _plain(getattr(value, name)) for name in type(value).model_fields}
    if isinstance(value, Struct):
        return {name: _plain(getattr(value, name)) for name in value.__struct_fields__}
    if isinstance(value, tuple):
        return [_plain(member) for member in value]
    return value

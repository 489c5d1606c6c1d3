"""What every table of a specification is read by: frozen, nothing coerced, an unknown key refused."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field


def absent_table() -> Any:
    """A table that may be absent: it is then read as an empty one."""
    return Field(default_factory=dict, validate_default=True)


class Table(BaseModel):
    """A table of the specification."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, defer_build=True)

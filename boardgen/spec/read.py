"""Marks of keys that a function of ours reads, and of tables that may be absent."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from pydantic import Field
from pydantic_core import core_schema

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler


class Read(Struct, frozen=True):
    """In the notes of a type: the key is read by this function alone.

    Pydantic's mark of that meaning also works out how the value would be written back, in several times as long.
    """

    by: Callable[[object], object]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.by)


def absent_table() -> Any:
    """A table that may be absent: it is read as an empty one, and need not be built a second time by itself."""
    return Field(default_factory=dict, validate_default=True)

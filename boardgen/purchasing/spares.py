"""How many more of a part are bought than is needed."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from msgspec import Struct, field

from boardgen.model.part import Part


class Spares(Struct, frozen=True):
    """Shares of the need, 0.1 for 10 %: one for all, and one for each kind of part that has its own."""

    fraction: Decimal
    by_kind: Mapping[str, Decimal] = field(default_factory=dict)

    def of(self, part: Part) -> Decimal:
        """The share for that part."""
        return self.by_kind.get(part.kind, self.fraction)

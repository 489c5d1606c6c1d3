"""The catalogue: everything a board can be made of, as one frozen value."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct, field

from boardgen.catalogue.permeability import Permeability
from boardgen.catalogue.series import Series
from boardgen.model.board_house import BoardHouse
from boardgen.model.part import Footprint, Part


class Catalogue(Struct, frozen=True, dict=True):
    """Parts by key in order of preference, footprints by key, permeability by material, resistor series, house."""

    parts: Mapping[str, Part]
    footprints: Mapping[str, Footprint]
    permeability: Mapping[str, Permeability]
    resistors: tuple[Part | Series, ...] = ()
    house: BoardHouse = field(default_factory=BoardHouse)

    @cached_property
    def _by_kind(self) -> dict[str, tuple[Part, ...]]:
        kinds: dict[str, list[Part]] = {}
        for part in self.parts.values():
            kinds.setdefault(part.kind, []).append(part)
        return {kind: tuple(parts) for kind, parts in kinds.items()}

    def of_kind(self, kind: str) -> tuple[Part, ...]:
        """The parts of that kind in order of preference, without those made on demand."""
        return self._by_kind.get(kind, ())

    def part(self, key: str) -> Part:
        """The part with that key, resistors made on demand included. Raises KeyError."""
        found = self.find(key)
        if found is None:
            raise KeyError(key)
        return found

    def find(self, key: str) -> Part | None:
        """The same, or None where there is none of that key."""
        if key in self.parts:
            return self.parts[key]
        made = (series.part_of_key(key) for series in self.resistors if isinstance(series, Series))
        return next(filter(None, made), None)

    def resistor(self, value_ohm: float) -> Part:
        """The preferred resistor of that preferred value, in ohm.

        Raises ValueError where none has it; boardgen.handbook.preferred finds the nearest that may.
        """
        for offer in self.resistors:
            if isinstance(offer, Part):
                resistance = offer.figure("resistance")
                if resistance is not None and math.isclose(resistance.value, value_ohm, rel_tol=1e-6):
                    return offer
            elif offer.holds(value_ohm):
                return self.parts.get(offer.key_of(value_ohm)) or offer.part(value_ohm)
        ranges = [
            f"{' and '.join(s.numbers)} from {s.lowest_ohm:g} to {s.highest_ohm:g} ohm"
            for s in self.resistors
            if isinstance(s, Series)
        ]
        message = f"no resistor of {value_ohm:g} ohm; made are {'; '.join(ranges) or 'none'}"
        raise ValueError(message)

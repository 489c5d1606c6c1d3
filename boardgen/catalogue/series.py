"""Resistors of preferred values, made on demand from one [[family]] instead of hundreds of rows."""

from __future__ import annotations

import math
import re
from typing import Annotated

from msgspec import Struct, field
from msgspec.structs import replace

from boardgen.catalogue.parts import KEYS, UNKNOWN_FIELD, WRONG_VALUE, build_part, filled_pattern
from boardgen.handbook import preferred
from boardgen.model.figure import Figure
from boardgen.model.part import Part
from boardgen.spec import quantity
from boardgen.tables.column import column
from boardgen.tables.fault import Faults, FieldError
from boardgen.tables.toml_table import NO_CHOICE, Block, TomlTable, is_text

_LETTERS = ((1e6, "M"), (1e3, "K"), (1.0, "R"))
_CODE = re.compile(r"\d+[RKM]\d*")


class SeriesTable(Struct, frozen=True):
    """[[family]] of resistors made on demand: the keys of a part that all share, and the preferred values."""

    key_pattern: Annotated[str, column("makes the keys, with {code} for the value: resistor-own-{code}")]
    number_pattern: Annotated[str, column("makes the numbers to order, with {code} for the value")]
    series: Annotated[tuple[str, ...], column("preferred numbers they follow, such as E24")]
    lowest: Annotated[str, column("lowest resistance with its unit")] = field(name="from")
    highest: Annotated[str, column("highest resistance with its unit")] = field(name="to")
    tolerance: Annotated[str, column("either way, such as 1 %")]


class Series(Struct, frozen=True):
    """A family of resistors: what all share, the preferred numbers it follows and its range in ohm."""

    model: Part
    key_pattern: str
    number_pattern: str
    numbers: tuple[str, ...]
    lowest_ohm: float
    highest_ohm: float
    tolerance: float

    def holds(self, ohm: float) -> bool:
        """Whether it is made in that value."""
        if not (math.isfinite(ohm) and ohm > 0 and self.lowest_ohm * 0.999999 <= ohm <= self.highest_ohm * 1.000001):
            return False
        return any(math.isclose(preferred.nearest(ohm, name), ohm, rel_tol=1e-6) for name in self.numbers)

    def key_of(self, ohm: float) -> str:
        """The key of the part of that value."""
        return self.key_pattern.replace("{code}", code_of(ohm).lower())

    def part(self, ohm: float) -> Part:
        """The part of that value, which the series must hold."""
        exact = min((preferred.nearest(ohm, name) for name in self.numbers), key=lambda member: abs(member - ohm))
        standing, source = self.model.standing, self.model.source
        low, high = exact * (1 - self.tolerance), exact * (1 + self.tolerance)
        return replace(
            self.model,
            key=self.key_of(exact),
            number=self.number_pattern.replace("{code}", code_of(exact)),
            value=quantity.format(exact, "ohm"),
            figures={"resistance": Figure(exact, "ohm", standing, source, low, high), **self.model.figures},
        )

    def part_of_key(self, key: str) -> Part | None:
        """The part with that key, or None where it is not of this series."""
        before, _, after = self.key_pattern.partition("{code}")
        code = key.removeprefix(before).removesuffix(after).upper()
        if not _CODE.fullmatch(code):
            return None
        ohm = quantity.parse(code + "0", "ohm")
        return self.part(ohm) if self.holds(ohm) and self.key_of(ohm) == key else None


def code_of(ohm: float) -> str:
    """The value with the letter of its unit as decimal mark: 75R, 37R4, 4K7, 82K, 1M."""
    factor, letter = next(((f, a) for f, a in _LETTERS if ohm >= f * 0.999999), _LETTERS[-1])
    whole, _, part = f"{ohm / factor:.3f}".rstrip("0").partition(".")
    return f"{whole}{letter}{part}"


def build_series(block: Block, faults: Faults) -> Series | None:
    """The series of a family block, or None where its range cannot be read; faults are added."""
    read = TomlTable(block, SeriesTable, faults, beside=KEYS)
    if block.table.get("kind") != "resistor":
        read.fault(NO_CHOICE, "only resistors are made in series", 'write kind = "resistor", or rows', "kind")
    fields = {"code": "{code}"}
    key_pattern, number_pattern = (filled_pattern(read, key, fields) for key in ("key_pattern", "number_pattern"))
    for key, pattern in (("key_pattern", key_pattern), ("number_pattern", number_pattern)):
        if "{code}" not in pattern:
            read.fault(UNKNOWN_FIELD, f"{key} has no field for the value", "write {code} in it", key)
    numbers = read.values.series
    for name in numbers:
        if name not in preferred.SERIES:
            read.unknown(NO_CHOICE, "the series", name, tuple(preferred.SERIES), "series", name)
    shared = {key: value for key, value in block.table.items() if key in KEYS}
    model = build_part(block, shared | {"key": key_pattern, "number": number_pattern}, block.name, faults)
    lowest, highest = _quantity(read, "from", "ohm"), _quantity(read, "to", "ohm")
    tolerance = _quantity(read, "tolerance", "%")
    if lowest is None or highest is None or tolerance is None:
        return None
    if not numbers or not set(numbers) <= preferred.SERIES.keys():
        return None
    return Series(model, key_pattern, number_pattern, numbers, lowest, highest, tolerance)


def _quantity(read: TomlTable[SeriesTable], key: str, unit: str) -> float | None:
    text = read.table.get(key)
    if not is_text(text) or not text:
        return None
    try:
        return quantity.parse(text, unit)
    except FieldError as error:
        read.fault(WRONG_VALUE, error.found, error.wanted, key)
        return None

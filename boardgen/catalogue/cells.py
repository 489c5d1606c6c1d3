"""Typed reading of the keys of one block; what is wrong becomes a fault and reads as empty."""

from __future__ import annotations

from collections.abc import Collection
from typing import TypeGuard

from boardgen.catalogue.blocks import Block
from boardgen.catalogue.faults import Faults
from boardgen.model.figure import STANDINGS, Standing
from boardgen.tables.shown import shown

_TEXT = "wanted is a text of one line in quotes"


class Cells:
    """The keys of a block's table, or of one row of a family, under the name they are reported by."""

    def __init__(self, block: Block, table: dict[str, object], name: str, faults: Faults) -> None:
        self.block = block
        self.table = table
        self.name = name
        self.faults = faults

    def fault(self, identity: str, found: str, wanted: str, *words: str) -> None:
        """A fault at these words of the block."""
        self.faults.add(identity, self.block.place(*words, name=self.name), found, wanted)

    def unknown(self, identity: str, what: str, word: str, allowed: Collection[str], *words: str) -> None:
        """A word that is not one of the allowed."""
        self.faults.unknown(identity, self.block.place(*words, name=self.name), what, word, allowed)

    def only(self, allowed: Collection[str]) -> None:
        """Every key of the table must be one of these."""
        for key in self.table:
            if key not in allowed:
                self.unknown("K002 unknown key", "the key", key, allowed, key)

    def text(self, key: str, *, needed: bool = False) -> str:
        """A text; empty where it is absent."""
        value = self.table.get(key, "")
        if not is_text(value):
            self.fault("K003 wrong type", f"{key} is {shown(value)}", _TEXT, key)
            return ""
        if needed and not value:
            self.fault("K004 absent key", f"{key} is absent", f'write {key} = "..."')
        return value

    def choice(self, key: str, allowed: Collection[str], default: str | None = None) -> str:
        """One of the allowed words; needed where there is no default."""
        value = self.text(key, needed=default is None) or default or ""
        if value and value not in allowed:
            self.unknown("K005 not a choice", f"the {key}", value, allowed, key)
        return value

    def standing(self) -> Standing:
        """The standing of the block."""
        return as_standing(self.choice("standing", STANDINGS))

    def texts(self, key: str) -> dict[str, str]:
        """A table of texts; texts that are empty count as absent."""
        value = self.table.get(key, {})
        if isinstance(value, dict) and all(is_text(item) for item in (*value, *value.values())):
            return {name: item for name, item in value.items() if item}
        self.fault("K003 wrong type", f"{key} is not a table of texts", f'write {key} = {{ name = "..." }}', key)
        return {}

    def lines(self, key: str) -> tuple[str, ...]:
        """A list of texts, or one text."""
        value = self.table.get(key, [])
        if is_text(value):
            return (value,) if value else ()
        if isinstance(value, list) and all(is_text(item) for item in value):
            return tuple(value)
        self.fault("K003 wrong type", f"{key} is not a list of texts", f'write {key} = ["..."]', key)
        return ()

    def numbers(self, key: str, count: Collection[int], least: float = 0) -> list[float]:
        """A number, or a list of so many numbers from `least` up; empty where it is absent or wrong."""
        value = self.table.get(key)
        if value is None:
            return []
        listed = value if isinstance(value, list) else [value]
        numbers = [float(item) for item in listed if is_number(item) and item >= least]
        if len(numbers) == len(listed) and len(numbers) in count:
            return numbers
        wanted = f"wanted are {' or '.join(map(str, count))} numbers in millimetres"
        self.fault("K003 wrong type", f"{key} is {shown(value)}", wanted, key)
        return []


def is_text(value: object) -> TypeGuard[str]:
    """Whether it is a text of one line."""
    return isinstance(value, str) and value.isprintable()


def is_number(value: object) -> TypeGuard[float]:
    """Whether it is a finite number of a size a board part can have."""
    return isinstance(value, int | float) and not isinstance(value, bool) and -10_000 < value < 10_000


def as_standing(word: str) -> Standing:
    """The word as a standing; the weakest where it is none, its fault having been reported."""
    return next((standing for standing in STANDINGS if standing == word), "assumed")

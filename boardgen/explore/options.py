"""The choices that are weighed: keys of the specification with the values that each may have."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import product
from typing import Final

from msgspec import Struct

from boardgen.model.problem import InputError, Place, Problem
from boardgen.request import Request
from boardgen.sizing.preference import preferred
from boardgen.sizing.relay import usable_part
from boardgen.sizing.transformer import ranked_windings

MOST_PARTS = 2
"""So many other cores and relays are weighed unasked, those that suit best."""


class Key(Struct, frozen=True):
    """A key of the specification and the table that it stands in."""

    table: str
    name: str

    @property
    def dotted(self) -> str:
        """As the command line names it."""
        return f"{self.table}.{self.name}"


class Override(Struct, frozen=True):
    """A value, as text, in the place of the specification's own."""

    key: Key
    value: str


Overrides = tuple[Override, ...]


class Option(Struct, frozen=True):
    """A key, and values for it as text."""

    key: Key
    values: tuple[str, ...]


CIRCUIT: Final = (
    (Key("switching", "relays_in_series"), ("1", "2")),
    (Key("switching", "braid_breakers"), ("all", "antennas", "output", "none")),
    (Key("switching", "idle"), ("terminated", "open")),
    (Key("switching", "termination"), ("split", "single")),
    (Key("switching", "extra_turns"), ("0", "1")),
    (Key("switching", "compensation"), ("where it helps", "none")),
    (Key("switching", "bus_braid"), ("bonded", "floating")),
)
"""What is weighed of every board unasked."""
FEED: Final = (Key("switching", "feed_arrangement"), ("local rail", "plain", "common-mode choked"))
"""What is weighed beside of a board with a feed."""


def weighed(request: Request, taken: Collection[str]) -> tuple[Option, ...]:
    """What is weighed unasked: what decides the circuit, and the cores and relays that suit best beside those `taken`.

    Parameters
    ----------
    taken : the keys of the parts of the board that the specification makes

    """
    fed = any(strip.feed for strip in request.strips)
    return (*(Option(*each) for each in (*CIRCUIT, *([FEED] if fed else []))), *_parts(request, taken))


def _parts(request: Request, taken: Collection[str]) -> Iterator[Option]:
    """Other cores and relays, where the specification leaves them open."""
    pinned = request.spec.parts.pinned
    if "core" not in pinned:
        ranked = dict.fromkeys(winding.core.key for winding in ranked_windings(request, 0))
        yield Option(Key("parts", "core"), tuple(key for key in ranked if key not in taken)[:MOST_PARTS])
    if "relay" not in pinned:
        usable = [part.key for part in preferred(request, "relay", "relay") if usable_part(request, part)]
        yield Option(Key("parts", "relay"), tuple(key for key in usable if key not in taken)[:MOST_PARTS])


def named(given: Sequence[str]) -> tuple[Option, ...]:
    """The options that are named as KEY=VALUE,VALUE. Raises InputError with every one that is written otherwise."""
    options: list[Option] = []
    problems = []
    for text in given:
        dotted, _, values = text.partition("=")
        found = tuple(dict.fromkeys(value.strip() for value in values.split(",") if value.strip()))
        table, _, name = dotted.partition(".")
        key = Key(table, name)
        if found and name and "." not in name and key not in {option.key for option in options}:
            options.append(Option(key, found))
        else:
            wanted = "wanted is KEY=VALUE,VALUE, each key once, such as switching.relays_in_series=1,2"
            problems.append(Problem("U001 wrong use", "error", Place("command line", key="over"), text, wanted))
    if problems:
        raise InputError(problems)
    return tuple(options)


def combinations(options: Sequence[Option]) -> Iterator[Overrides]:
    """Every combination of the values, and of what the specification has itself, which comes first."""
    for values in product(*((None, *option.values) for option in options)):
        yield tuple(Override(o.key, value) for o, value in zip(options, values, strict=True) if value is not None)

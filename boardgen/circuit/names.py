"""Net names of the whole board, and reference designators by IEEE 315 class letters."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from boardgen.kinds import kind_of
from boardgen.model.part import Part
from boardgen.model.wiring import INNER, OUTER, RESTING, SHARED
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.lines import feed_net, select_net

SERIES_WORD: Mapping[str, str] = {"feed": "blocked ", "braid breaker": "line ", "selector": "", "changeover": ""}
"""How the pair inward of a stage in series is called, after the strip's name."""


class Designators:
    """Hands out the next designator of each class."""

    def __init__(self) -> None:
        self._last: Counter[str] = Counter()

    def next(self, part: Part) -> str:
        """The next free designator for a part of a kind that stands on boards."""
        letters = kind_of(part).letter
        self._last[letters] += 1
        return f"{letters}{self._last[letters]}"


class NetNames:
    """Gives each local net of each strip its name on the board, never one name to two nets."""

    def __init__(self) -> None:
        self._owner: dict[str, tuple[str, str]] = {name: ("", name) for name in SHARED}

    def claim(self, wanted: str, owner: tuple[str, str]) -> str:
        """The wanted name, or with a number behind it where another net has it already."""
        name, number = wanted, 2
        while self._owner.setdefault(name, owner) != owner:
            name, number = f"{wanted} {number}", number + 1
        return name


def stage_names(
    names: NetNames,
    request: Request,
    strip: Strip,
    pair: tuple[str, str],
    inward: tuple[str, str],
    resting: tuple[str, str],
) -> dict[str, str]:
    """The fixed part of a stage's map from local to board names: its pairs and its lines."""
    fixed = {name: name for name in SHARED}
    fixed |= dict(zip(OUTER, pair, strict=True))
    fixed |= dict(zip(INNER, inward, strict=True))
    fixed |= dict(zip(RESTING, resting, strict=True))
    fixed["select"] = names.claim(select_net(strip), ("", select_net(strip)))
    fixed["feed"] = names.claim(feed_net(request, strip), ("", feed_net(request, strip)))
    return fixed


def pair_names(names: NetNames, strip: Strip, word: str) -> tuple[str, str]:
    """Board names of a pair of a strip."""
    return (
        names.claim(f"{strip.name} {word}centre", (strip.label, f"{word}centre")),
        names.claim(f"{strip.name} {word}braid", (strip.label, f"{word}braid")),
    )

"""What of the parts of a board is not certain: figures neither read nor measured, and what to check before ordering."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal

from msgspec import Struct

from boardgen.catalogue.catalogue import Catalogue
from boardgen.kinds import kind_of
from boardgen.kinds.kind import TWO
from boardgen.model.figure import CERTAIN, STANDINGS, Figure, Standing
from boardgen.model.part import Part
from boardgen.spec import quantity

_RECALLED_OR_ASSUMED = STANDINGS[STANDINGS.index("recalled") :]
RUINS_FIRST = ("relay", "gas tube", "terminal", "jack", "stud", "enclosure", "core")
"""Kinds of parts, the most ruinous first: wrong pins, wrong holes, no room in the box, not to be had."""


class ToVerify(Struct, frozen=True):
    """What to check of a part before ordering, in a sentence, and what hangs on it."""

    part: Part
    about: Literal["pin map", "footprint", "part"]
    sentence: str

    @property
    def ruins_the_board(self) -> bool:
        """Whether a wrong part leaves a board that cannot be used: by its pins, its holes, its size or its absence."""
        return bool(self.matter)

    @property
    def matter(self) -> str:
        """What of the part is to be checked, as a noun; "" where nothing of it can ruin a board."""
        return {"pin map": "pins", "footprint": "holes"}.get(self.about) or kind_of(self.part).ruined_by

    def __str__(self) -> str:
        return f"{self.part.name}: {self.sentence}"


def to_verify(parts: Iterable[Part], catalogue: Catalogue) -> tuple[ToVerify, ...]:
    """What to check before ordering, each once: what can ruin the board first, then part by part.

    Of a part its pin map by meter comes before what `checks_of` finds.
    """
    found = {str(check): check for part in parts for check in (*_meter_test(part), *checks_of(part, catalogue))}
    return tuple(sorted(found.values(), key=_rank))


def _rank(check: ToVerify) -> tuple[bool, int]:
    """What can ruin the board by how sure that is, then the rest as it comes."""
    kind = check.part.kind
    place = RUINS_FIRST.index(kind) if kind in RUINS_FIRST else len(RUINS_FIRST)
    return (False, place) if check.ruins_the_board else (True, 0)


def patterns_to_verify(parts: Iterable[Part], catalogue: Catalogue) -> tuple[str, ...]:
    """What a layout rests on and nobody has read: pin maps and hole patterns, each with the parts it is about."""
    found: dict[str, list[str]] = {}
    for part in _distinct(parts):
        for check in (*_meter_test(part), *checks_of(part, catalogue)):
            if check.about != "part":
                found.setdefault(check.sentence, []).append(part.name)
    return tuple(f"{', '.join(names)}: {sentence}" for sentence, names in found.items())


def checks_of(part: Part, catalogue: Catalogue) -> Iterator[ToVerify]:
    """A part's own sentences, then what is unknown, recalled or assumed of it, its pin map and its footprint.

    A part whose pins are alike has no pin map to check, and an own pattern no drawing to check it with.
    """
    yield from (ToVerify(part, "part", sentence) for sentence in part.verify)
    blank = [name for name, figure in kind_of(part).figures.items() if figure.needed and name not in part.figures]
    if blank:
        yield ToVerify(part, "part", f"Not known: {', '.join(blank)}.")
    weak = [name for name, figure in part.figures.items() if figure.standing in _RECALLED_OR_ASSUMED]
    if weak:
        yield ToVerify(part, "part", f"Recalled or assumed, not read: {', '.join(weak)}.")
    footprint = catalogue.footprints.get(part.footprint)
    if footprint is not None and footprint.own_pattern:
        return
    standing = part.attributes.get("pin map")
    if standing in _RECALLED_OR_ASSUMED and not set(part.pins) <= set(TWO):
        yield ToVerify(part, "pin map", f"Pin map {standing}: {part.attributes['pin map source']}.")
    if footprint is not None and footprint.gap:
        yield ToVerify(part, "footprint", f"Footprint {footprint.key}: {footprint.gap}")
    elif footprint is not None and footprint.standing in _RECALLED_OR_ASSUMED:
        yield ToVerify(part, "footprint", f"Footprint {footprint.key} {footprint.standing}: {footprint.source}.")


def _meter_test(part: Part) -> Iterator[ToVerify]:
    if test := part.attributes.get("meter test"):
        yield ToVerify(part, "pin map", f"Prove its pin map with a meter before soldering: {test}.")


class UncertainFigure(Struct, frozen=True):
    """A figure that was neither read nor measured, with the value as text."""

    part: str
    figure: str
    value: str
    standing: Standing
    source: str


def uncertain_figures(parts: Iterable[Part]) -> tuple[UncertainFigure, ...]:
    """Every figure of the parts that was neither read nor measured, the least certain first."""
    found = [
        UncertainFigure(part.name, name, _value(figure), figure.standing, figure.source)
        for part in _distinct(parts)
        for name, figure in part.figures.items()
        if figure.standing not in CERTAIN
    ]
    return tuple(sorted(found, key=lambda row: -STANDINGS.index(row.standing)))


def _distinct(parts: Iterable[Part]) -> Iterable[Part]:
    return {part.key: part for part in parts}.values()


def _value(figure: Figure) -> str:
    text = quantity.format(figure.value, figure.unit)
    if figure.low is None and figure.high is None:
        return text
    return f"{text} ({quantity.format(figure.least, figure.unit)} to {quantity.format(figure.most, figure.unit)})"

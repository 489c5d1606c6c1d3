"""What sizing and every stage start from: the specification with its strips resolved, and what can be bought."""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable, Mapping
from decimal import Decimal
from functools import cached_property

from msgspec import Struct, field

from boardgen.catalogue import Catalogue
from boardgen.catalogue.own_figures import as_measured
from boardgen.model.figure import Figure, Standing, weakest
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.model.transformer import WindingStyle
from boardgen.spec.keys import Spec
from boardgen.spec.lines import SpecText
from boardgen.spec.strip import Strip, strips

LEAST_THAT_DOES = ("gas tube", "suppressor", "fuse", "cable fuse")
"""What guards is the least that does, so that a larger one in hand guards less: it is taken only where it is that."""


class Request(Struct, frozen=True, dict=True):
    """The input of sizing and of every stage.

    `kept` are catalogue keys by role from an earlier build: each is taken again while it still meets the rules.
    `uncompensated` is how their windings lie where prediction found that the match holds without capacitors, else None.
    `measured` are the user's own curves, by key of [measured]: sizing by rule takes what is fitted to them, not the
    curves of cores and chokes themselves.
    `refused` are keys of parts in hand with which the targets are missed by more: they are not preferred.
    `source` is the text that the specification was read from, for the lines of faults; None where it is none of a user.
    """

    spec: Spec
    catalogue: Catalogue
    kept: Mapping[str, str] = field(default_factory=dict)
    uncompensated: WindingStyle | None = None
    measured: Mapping[str, tuple[tuple[float, complex], ...]] = field(default_factory=dict)
    refused: frozenset[str] = frozenset()
    source: SpecText | None = None

    @cached_property
    def strips(self) -> tuple[Strip, ...]:
        """The antennas in order, then the output."""
        return strips(self.spec)

    @cached_property
    def antennas(self) -> tuple[Strip, ...]:
        """The strips with a relay."""
        return tuple(s for s in self.strips if not s.is_output)

    @cached_property
    def output(self) -> Strip:
        """The strip without a relay."""
        return self.strips[-1]

    @cached_property
    def has_earth(self) -> bool:
        """Whether the board has an earth net: where any line has surge protection."""
        return self.spec.protection.surge or any(s.surge for s in self.strips)

    @cached_property
    def in_hand(self) -> Mapping[str, Decimal | None]:
        """How much is in hand by catalogue key, pieces or metres; None for as much as is needed."""
        amounts = {row.part: row.length if row.pieces is None else row.pieces for row in self.spec.in_hand}
        return {key: None if amount is None else Decimal(str(amount)) for key, amount in amounts.items()}

    @cached_property
    def preferred_in_hand(self) -> frozenset[str]:
        """Catalogue keys of parts in hand that are taken before others that do as well."""
        parts = self.catalogue.parts
        keys = {one.part for one in self.spec.in_hand if one.part in parts} - self.refused
        return frozenset(key for key in keys if parts[key].kind not in LEAST_THAT_DOES)

    @property
    def low_side(self) -> bool:
        """Whether the coils are switched on their return."""
        return self.spec.control.drive == "low side"

    @property
    def z0_ohm(self) -> float:
        """The impedance on the board's own side of every transformer."""
        return self.spec.band.impedance


def candidates(request: Request, kind: str, pin: str, order: Callable[[Part], float] | None = None) -> tuple[Part, ...]:
    """Parts of that kind in order of preference, or only the part that [parts] pins for it.

    The part kept from an earlier build comes first, then those with a hole pattern, and of parts that are alike in the
    order those in hand. A pinned part has the figures that the user measured of it.

    Parameters
    ----------
    pin
        The key of [parts] that may pin one, "" where there is none.
    order
        What to prefer less the larger it is, within parts that are alike otherwise; then comes the catalogue's order.

    Raises
    ------
    InputError
        Where the pinned key is unknown or of another kind, or where nothing of the kind is catalogued.

    """
    pinned = getattr(request.spec.parts, pin, None)
    if pinned is None:
        kept = request.kept.get(pin)
        return tuple(
            sorted(
                _of_kind(request, kind),
                key=lambda p: (
                    p.key != kept,
                    not has_pattern(p),
                    order(p) if order else 0,
                    p.key not in request.preferred_in_hand,
                ),
            )
        )
    part = request.catalogue.parts.get(pinned)
    if part is not None and part.kind == kind:
        return (as_measured(part, request.spec, request.measured, request.catalogue),)
    known = [p.key for p in request.catalogue.of_kind(kind)]
    near = difflib.get_close_matches(pinned, known, 1, 0.4)
    found = (
        f'"{pinned}" is not in the catalogue' if part is None else f'"{pinned}" is of the kind {part.kind}, not {kind}'
    )
    hint = f'Did you mean "{near[0]}"?' if near else ""
    wanted = f"wanted is a key of this kind: {', '.join(known[:12])}"
    raise InputError([Problem("V001 pinned part", "error", Place(key=f"parts.{pin}"), found, wanted, hint)])


def pin_of(request: Request, own: str, shared: str) -> str:
    """The key of [parts] to go by: a slot's own where it is pinned, or kept while the shared one is not pinned."""
    pinned = request.spec.parts.pinned
    return own if own in pinned or (own in request.kept and shared not in pinned) else shared


def _of_kind(request: Request, kind: str) -> tuple[Part, ...]:
    found = request.catalogue.of_kind(kind)
    if not found:
        problem = Problem("V002 empty catalogue", "error", Place(key="parts"), f"the catalogue holds no {kind}")
        raise InputError([problem])
    return found


def has_pattern(part: Part) -> bool:
    """Whether the catalogue has a hole pattern for the part."""
    return bool(part.footprint)


def figure_order(name: str) -> Callable[[Part], float]:
    """Orders parts by one figure, those without it last."""
    return lambda part: part.figures[name].value if name in part.figures else math.inf


def needed(part: Part, *names: str) -> tuple[Figure, ...] | None:
    """These figures of a part, or None where any is not known: a part cannot be sized with a blank."""
    figures = tuple(part.figures[name] for name in names if name in part.figures)
    return figures if len(figures) == len(names) else None


def standing_of(*figures: Figure) -> Standing:
    """The standing of a value computed from these figures."""
    return weakest(*(figure.standing for figure in figures))

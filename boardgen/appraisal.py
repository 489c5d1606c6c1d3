"""What a worked-out board does, takes and costs, and in which figures one board is better than another."""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from boardgen.design import Design
from boardgen.model.problem import shortfalls
from boardgen.model.roles import RoleName
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.response import CREDIBLE_DB
from boardgen.rf.verdict import Verdict

CONVERSION = "mode conversion"
PER_TURN_S, PER_WINDING_S = 20.0, 180.0
"""Of winding by hand: a turn through both holes; cutting, scraping and tinning the ends of one winding. Assumed."""
PER_PART_S, PER_JOINT_S = 30.0, 12.0
"""Of soldering by hand: finding, bending and setting a part; one joint. Assumed."""
WINDING_ROLES: Final[tuple[RoleName, RoleName]] = ("turns", "port turns")

EQUAL_SHARE = 0.25
"""Share of a bound below which two predicted figures are equal: half of either side of it is not known."""
LEAST_DB = 0.05
"""Figures in decibels that are closer are equal in any case: no meter of a builder tells them apart. Assumed."""
EQUAL_CONVERSION_DB = 1.0
"""The same for mode conversion, which has no bound."""


class Features(Struct, frozen=True):
    """What a board has: how many ports with a braid breaker and with surge protection; how many lines with a diode
    against a reversed supply, and with a lamp; from where to where it is used.
    """

    breakers: int
    guarded: int
    reverse: int
    lamps: int
    lowest_hz: float
    highest_hz: float


class Appraisal(Struct, frozen=True):
    """What a board does, takes and costs.

    Parameters
    ----------
    verdicts : the targets with their bounds, without what they rest on
    conversion_db : the worst mode conversion in the band, None where there is none
    parts, relays : fitted ones
    size_m : width and height, None where the board is not laid out
    winding_h, soldering_h : hours by hand, at the assumed times above
    longest_m : of the control cable
    board_value : of all parts of one board, in `currency`
    unpriced : lines of the bill that have no price, and count as nothing in `board_value`
    features : what no figure tells of
    missed_rules : the names of the rules that fall short beside the targets, such as "V150 relay voltage"

    """

    verdicts: tuple[Verdict, ...]
    conversion_db: float | None
    parts: int
    relays: int
    size_m: tuple[float, float] | None
    winding_h: float
    soldering_h: float
    longest_m: float
    board_value: Decimal
    currency: str
    unpriced: int
    features: Features
    missed_rules: tuple[str, ...] = ()

    @property
    def area_m2(self) -> float | None:
        """Of the board, None where it is not laid out."""
        return self.size_m[0] * self.size_m[1] if self.size_m else None

    @property
    def handwork_h(self) -> float:
        """Hours of winding and soldering."""
        return self.winding_h + self.soldering_h

    @property
    def falls_short(self) -> bool:
        """Whether a target or a rule is missed."""
        return bool(self.missed_rules) or any(verdict.state == "falls short" for verdict in self.verdicts)


def appraise(design: Design) -> Appraisal:
    """The figures of a design whose targets were judged."""
    fitted = [c for c in design.netlist.components if c.fitted]
    values_of = {(c.role, c.subject): c for c in design.choices.values}
    there = {c.subject.strip for c in fitted if c.part.kind == "core"}
    turns = [
        values_of[role, at].chosen for at in design.choices.windings if at.strip in there for role in WINDING_ROLES
    ]
    conversion = design.prediction.worst_in_band(CONVERSION)
    refs = {c.ref for c in fitted}
    joints = sum(node.ref in refs for net in design.netlist.nets for node in net.nodes)
    bill = design.bill
    return Appraisal(
        verdicts=tuple(replace(verdict, rests_on=()) for verdict in design.prediction.verdicts),
        conversion_db=conversion[0] if conversion else None,
        parts=len(fitted),
        relays=sum(c.part.kind == "relay" for c in fitted),
        size_m=(design.layout.board.width_nm * 1e-9, design.layout.board.height_nm * 1e-9) if design.layout else None,
        winding_h=sum(PER_TURN_S * n + PER_WINDING_S for n in turns) / 3600,
        soldering_h=(PER_PART_S * len(fitted) + PER_JOINT_S * joints) / 3600,
        longest_m=next(c.achieved for c in design.choices.values if c.role == "longest cable"),
        board_value=bill.board_value,
        currency=bill.currency,
        unpriced=len(bill.unpriced),
        features=_features(design),
        missed_rules=_missed_rules(design),
    )


def _missed_rules(design: Design) -> tuple[str, ...]:
    """Each once, in the order of the work."""
    found = (*design.choices.problems, *design.found.size, *design.found.wiring, *design.found.layout)
    return tuple(dict.fromkeys(problem.id for problem in shortfalls(found)))


def _features(design: Design) -> Features:
    spec, strips, lines = design.spec, design.request.strips, len(design.request.antennas)
    return Features(
        breakers=sum(strip.braid_breaker for strip in strips),
        guarded=sum(strip.surge for strip in strips),
        reverse=lines * spec.protection.reverse,
        lamps=lines * spec.control.indicators,
        lowest_hz=spec.band.lowest,
        highest_hz=spec.band.highest,
    )


class Gain(Struct, frozen=True):
    """By how much a figure of one board is better than of another, in the figure's unit; above 0."""

    figure: str
    amount: float
    unit: str


def gained(before: Appraisal, after: Appraisal) -> tuple[Gain, ...]:
    """What is better in the second by more than is not known of it: targets in order, conversion, features.

    What is better than can be credited is no better still.
    """
    return (*_gains(before, after), *_more(before.features, after.features))


def _gains(before: Appraisal, after: Appraisal) -> Iterator[Gain]:
    for one, other in zip(before.verdicts, after.verdicts, strict=True):
        old, new = one.judged.achieved, other.judged.achieved
        if old is None or new is None or one.bound is None or other.bound is None:
            continue
        better = _better(other.judged.quantity, old, new)
        equal = EQUAL_SHARE * max(bound.highest - bound.lowest for bound in (one.bound, other.bound))
        if better > max(equal, LEAST_DB if other.judged.unit == "dB" else 0.0):
            yield Gain(other.judged.target.replace("_", " "), better, other.judged.unit)
    if before.conversion_db is not None and after.conversion_db is not None:
        better = _better(CONVERSION, before.conversion_db, after.conversion_db)
        if better > EQUAL_CONVERSION_DB:
            yield Gain(CONVERSION, better, "dB")


def _better(quantity: str, old: float, new: float) -> float:
    limit = CREDIBLE_DB.get(quantity, math.inf)
    change = min(new, limit) - min(old, limit)
    return change if QUANTITIES[quantity].larger_is_better else -change


def _more(before: Features, after: Features) -> Iterator[Gain]:
    changes = (
        Gain("braid breakers", after.breakers - before.breakers, "ports"),
        Gain("surge protection", after.guarded - before.guarded, "ports"),
        Gain("diodes against a reversed supply", after.reverse - before.reverse, "lines"),
        Gain("lamps", after.lamps - before.lamps, "lines"),
        Gain("a wider band at its lower end", before.lowest_hz - after.lowest_hz, "Hz"),
        Gain("a wider band at its upper end", after.highest_hz - before.highest_hz, "Hz"),
    )
    yield from (change for change in changes if change.amount > 0)

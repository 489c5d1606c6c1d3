"""A wound core: turns, ratio, how the windings lie, and by how much it misses a rule."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from msgspec import Struct

from boardgen.catalogue.own_figures import measured_figure
from boardgen.handbook import two_hole_winding
from boardgen.handbook.two_hole_winding import Hole
from boardgen.handbook.two_hole_winding import Range as FieldRange
from boardgen.kinds.core import LEAD_M
from boardgen.model.figure import Figure
from boardgen.model.part import Part
from boardgen.model.transformer import WindingStyle
from boardgen.sizing import rules
from boardgen.sizing.core import Core
from boardgen.spec.measured_keys import MeasuredTransformer

SOURCE_OF_STRAYS = "field of the wires, laid in the holes at random"
MOST_TURNS = 30
"""More turns on a two-hole core are not wound by hand with pleasure; a stated limit of this program."""
EXTRA_TURNS = 8
"""How many turns above the least are tried for a better ratio."""
NO_RATIO_LOSS_DB = 99.0
"""Return loss given where the turns ratio is exact, so that it stays a number."""
HOLE_TOLERANCE_M = 0.25e-3
"""Core holes may be this much smaller: size tables of two-hole cores (read at second hand)."""


class Way(NamedTuple):
    """How the windings lie, whether capacitors meet their leakage, and the most leakage reactance over Z0 at the top
    of the band.
    """

    style: WindingStyle
    compensated: bool
    leakage_ratio: float


class OwnWinding(Struct, frozen=True):
    """What the user measured of a core wound as `laid`."""

    laid: two_hole_winding.Winding
    leakage: Figure | None
    interwinding: Figure | None


class Winding(Struct, frozen=True):
    """Turns on the board's and the port's side, with the turns each would need, its wire, and how it lies."""

    core: Core
    turns: int
    port_turns: int
    needed: float
    port_needed: float
    wire: Part
    laid: two_hole_winding.Winding
    way: Way
    ratio_return_loss_db: float
    own: OwnWinding | None = None

    @property
    def leakage(self) -> Figure:
        """Leakage in henries: measured, or from a field that is solved when it is first asked for."""
        field = two_hole_winding.leakage(self.laid).henry
        if self.own is None or self.own.leakage is None:
            return _computed(field, "H")
        return _carried(self, self.own.leakage, field, two_hole_winding.leakage(self.own.laid).henry)

    @property
    def interwinding(self) -> Figure:
        """Capacitance between the windings in farads, as that of `leakage`."""
        field = two_hole_winding.capacitance(self.laid)
        if self.own is None or self.own.interwinding is None:
            return _computed(field, "F")
        return _carried(self, self.own.interwinding, field, two_hole_winding.capacitance(self.own.laid))

    @property
    def proximity(self) -> float:
        """Loss of its wires over that of lone ones."""
        return two_hole_winding.leakage(self.laid).proximity

    @property
    def passes(self) -> int:
        """Wires through each hole."""
        return self.turns + self.port_turns

    @property
    def style(self) -> WindingStyle:
        """How the windings lie."""
        return self.laid.style

    def leakage_ohm(self, frequency_hz: float) -> float:
        """Leakage reactance seen from the board's side."""
        return 2 * math.pi * frequency_hz * self.leakage.value

    @property
    def missed_at_least(self) -> float:
        """How far the worst rule but that of the leakage is missed."""
        return max(self._shortages().values())

    @property
    def can_be_wound(self) -> bool:
        """Whether every rule but that of the leakage is met."""
        return self.missed_at_least <= 1 + 1e-9

    def shortages(self, z0_ohm: float, highest_hz: float) -> Mapping[str, float]:
        """How far each rule is missed: 1 or less where it is met."""
        return {**self._shortages(), "leakage": self.leakage_ohm(highest_hz) / (self.way.leakage_ratio * z0_ohm)}

    def _shortages(self) -> Mapping[str, float]:
        insulated_m = self.wire.figures["insulated diameter"].value
        return {
            "turns": max(self.needed / self.turns, self.port_needed / self.port_turns),
            "wire": insulated_m / thickest_that_fits_m(self.core, self.turns + self.port_turns),
            "ratio": rules.RATIO_RETURN_LOSS_DB / self.ratio_return_loss_db,
        }


def wound(
    core: Core,
    wires: tuple[Part, ...],
    z0_ohm: float,
    port_ohm: float,
    ways: tuple[Way, ...],
    extra: int = 0,
    measured: MeasuredTransformer | None = None,
) -> Iterator[Winding]:
    """The fewest turns on this core that meet the rules at the low end, wound in each of these ways.

    Parameters
    ----------
    wires
        In order of preference.
    z0_ohm, port_ohm
        Impedance on the board's and on the port's side.
    extra
        So many turns are wound beyond the fewest.
    measured
        What the user measured of this core.

    """
    needed, port_needed = core.turns_needed(z0_ohm), core.turns_needed(port_ohm)
    turns, port_turns = _turns(needed, port_needed, z0_ohm, port_ohm, extra)
    wire = fitting_wire(wires, core, turns + port_turns)
    bare_m, insulated_m = wire.figures["diameter"].value, wire.figures["insulated diameter"].value
    ratio_db = ratio_return_loss_db(turns, port_turns, z0_ohm, port_ohm)
    hole = Hole(core.length_m, least_hole_m(core), core.hole_spacing_m)
    for way in ways:
        laid = two_hole_winding.Winding(hole, turns, port_turns, bare_m, insulated_m, way.style)
        own = _own(measured, wires, core, laid) if measured else None
        yield Winding(core, turns, port_turns, needed, port_needed, wire, laid, way, ratio_db, own)


def _own(
    measured: MeasuredTransformer, wires: tuple[Part, ...], core: Core, laid: two_hole_winding.Winding
) -> OwnWinding | None:
    """What was measured that is true of a winding which lies so: None for another style, or where nothing was."""
    if measured.turns is None or measured.style != laid.style:
        return None
    port, board = measured.turns.port, measured.turns.board
    wire = fitting_wire(wires, core, port + board)
    bare_m, insulated_m = wire.figures["diameter"].value, wire.figures["insulated diameter"].value
    as_wound = two_hole_winding.Winding(laid.hole, board, port, bare_m, insulated_m, laid.style)
    leakage, interwinding = (
        measured_figure(span, unit) if span else None
        for span, unit in ((measured.leakage, "H"), (measured.interwinding_capacitance, "F"))
    )
    return OwnWinding(as_wound, leakage, interwinding)


def _computed(field: FieldRange, unit: str) -> Figure:
    return Figure(field.middle, unit, "computed", SOURCE_OF_STRAYS, field.low, field.high)


def _carried(winding: Winding, own: Figure, field: FieldRange, field_of_own: FieldRange) -> Figure:
    """A measured figure, carried over to other turns as the field of both windings differs."""
    if winding.own is None or winding.own.laid == winding.laid:
        return own
    share = field.middle / field_of_own.middle
    source = f"measured with {winding.own.laid.other_turns}:{winding.own.laid.turns} turns, carried over by the field"
    return Figure(share * own.value, own.unit, "computed", source, share * own.least, share * own.most)


def _turns(needed: float, port_needed: float, z0_ohm: float, port_ohm: float, extra: int) -> tuple[int, int]:
    """Least turns on both sides whose ratio is near enough, else the best ratio a few turns above the least."""
    least, port_least = (min(MOST_TURNS, _whole(turns) + extra) for turns in (needed, port_needed))
    exact = math.sqrt(port_ohm / z0_ohm)
    pairs = [
        (turns, min(MOST_TURNS, max(port_least, round(turns * exact))))
        for turns in range(least, min(MOST_TURNS, least + EXTRA_TURNS) + 1)
    ]
    losses = {pair: ratio_return_loss_db(pair[0], pair[1], z0_ohm, port_ohm) for pair in pairs}
    near = (pair for pair, loss in losses.items() if loss >= rules.RATIO_RETURN_LOSS_DB)
    return next(near, max(losses, key=losses.__getitem__))


def ratio_return_loss_db(turns: int, port_turns: int, z0_ohm: float, port_ohm: float) -> float:
    """Return loss in dB of an ideal transformer with these turns between these impedances; 99 where it is exact."""
    seen = (port_turns / turns) ** 2 * z0_ohm / port_ohm
    return NO_RATIO_LOSS_DB if seen == 1 else -20 * math.log10(abs((seen - 1) / (seen + 1)))


def _whole(turns: float) -> int:
    """The next whole turn, forgiving rounding noise, and never more than can be wound."""
    return min(MOST_TURNS, max(1, math.ceil(turns - 1e-9)))


def least_hole_m(core: Core) -> float:
    """The smallest hole that the core may come with."""
    return core.part.figures["hole diameter"].value - HOLE_TOLERANCE_M


def thickest_that_fits_m(core: Core, passes: int) -> float:
    """Insulated diameter in metres at which that many passes just fill their share of one hole."""
    return least_hole_m(core) * math.sqrt(rules.WIRE_FILL / passes)


def fitting_wire(wires: tuple[Part, ...], core: Core, passes: int) -> Part:
    """The first wire, in order of preference, that fits; the thinnest where none does."""
    limit_m = thickest_that_fits_m(core, passes)
    fits = (wire for wire in wires if wire.figures["insulated diameter"].value <= limit_m)
    return next(fits, min(wires, key=lambda wire: wire.figures["insulated diameter"].value))


def winding_length_m(core: Core, turns: int) -> float:
    """Wire of a winding with its two leads, metres."""
    return core.mean_turn_m * turns + 2 * LEAD_M

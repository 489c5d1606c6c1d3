"""Capacitance between the bodies of wound parts in neighbouring strips, which stand above the copper."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.handbook.stray import plate_capacitance_f
from boardgen.kinds import KIND
from boardgen.model.copper import Board, PlacedPart
from boardgen.model.figure import Figure
from boardgen.model.netlist import Netlist

FARTHEST_NM = 12_000_000
"""Between bodies further apart some other part or the edge stands, or nothing worth counting is left."""
NEAREST_NM = 300_000
LEAST_F = 1e-15
LOW, HIGH = 0.3, 2.0
"""Of the estimate: round bodies face each other with less, and the field also goes round them."""
SOURCE = "assumed: facing sides of two bodies as plates in air, shared evenly by the ends of their windings"


def between_bodies(board: Board, netlist: Netlist, held: frozenset[str]) -> Iterator[tuple[str, str, Figure]]:
    """Each pair of nets at the windings of two neighbours, with its share of the capacitance between the bodies."""
    found: dict[tuple[str, str], float] = {}
    for one, two, farads in _facing(board, netlist):
        ends = [_ends(netlist, ref, held) for ref in (one, two)]
        share = farads / (len(ends[0]) * len(ends[1]))
        for first in ends[0]:
            for second in ends[1]:
                if first != second:
                    pair = (first, second) if second == "0V" else tuple(sorted((first, second)))
                    pair = pair[::-1] if pair[0] == "0V" else pair
                    found[pair[0], pair[1]] = found.get((pair[0], pair[1]), 0.0) + share
    for (first, second), share in sorted(found.items()):
        value = float(f"{share:.2e}")
        yield first, second, Figure(value, "F", "assumed", SOURCE, LOW * value, HIGH * value)


def _facing(board: Board, netlist: Netlist) -> Iterator[tuple[str, str, float]]:
    """Wound parts of different strips that stand side by side, and the capacitance between them in farads."""
    wound = sorted((s for s in board.parts if KIND[s.kind].is_wound and s.fitted), key=lambda s: s.body)
    strip = {s.ref: netlist.component[s.ref].subject.strip for s in wound}
    for number, one in enumerate(wound):
        for two in wound[number + 1 :]:
            farads = _plates(one, two)
            if strip[one.ref] != strip[two.ref] and farads >= LEAST_F:
                yield one.ref, two.ref, farads


def _plates(one: PlacedPart, two: PlacedPart) -> float:
    gap = two.body[0] - one.body[2]
    along = min(one.body[3], two.body[3]) - max(one.body[1], two.body[1])
    high = min(one.height_nm or 0, two.height_nm or 0)
    if gap > FARTHEST_NM or along <= 0 or high == 0 or two.body[0] < one.body[0]:
        return 0.0
    return plate_capacitance_f(along * high * 1e-18, max(gap, NEAREST_NM) * 1e-9, 1.0)


def _ends(netlist: Netlist, ref: str, held: frozenset[str]) -> tuple[str, ...]:
    return tuple("0V" if net in held else net for net in netlist.joins[ref].values())

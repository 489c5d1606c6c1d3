"""What the laid copper adds: capacitance between nets, and the loop from each port to the output.

Capacitances of the copper come from the field of its two planes (`field_solver`), solved for one piece of a net at a
time within a tile of the raster about it: the charge that a potential of 1 V draws on every other net. Cost: one
solution a piece; equal tiles, such as those of equal strips, are solved once. Bodies of wound parts face each other
above the copper: they are counted as plates in air. The loop is the tracks as they are laid, as coplanar strips.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import combinations

import numpy as np
from msgspec.structs import replace

from boardgen.board.copper_raster import (
    CELL_NM,
    ZERO,
    CellPlace,
    Labels,
    Potential,
    Raster,
    outline,
    raster,
    renumbered,
    shifted,
    tiles,
)
from boardgen.board.field_solver import charges as solved
from boardgen.board.track_ways import Tracks, TrackWay
from boardgen.handbook.coplanar import pair_inductance_h_per_m
from boardgen.handbook.dipole import most_coupling
from boardgen.handbook.stray import plate_capacitance_f
from boardgen.handbook.wire import COPPER_RESISTIVITY_OHM_M
from boardgen.kinds import KIND
from boardgen.model.choice import Subject
from boardgen.model.copper import Board, PlacedPart
from boardgen.model.figure import Figure
from boardgen.model.netlist import Netlist, NetName
from boardgen.model.parasitics import ChokePair, CopperLoop, Parasitics
from boardgen.sizing.rules import COPPER_M
from boardgen.stages.selector import IDLE

LEAST_F = 1e-15
"""Smaller capacitances are left out: 1 fF between two 75 ohm lines is 113 dB at 10 MHz and 103 dB at 30 MHz."""
COPPER_TOLERANCE = 0.25
"""Capacitance of copper is known to this share: up to 0.2 by the size of the cells and the thickness of copper, 0.05 by
the permittivity."""
COPPER_SOURCE = "field of the laid copper, two planes on FR-4"
FARTHEST_NM = 12_000_000
"""Between bodies further apart some other part or the edge stands, or nothing worth counting is left."""
NEAREST_NM = 300_000
"""Bodies nearer than this count as this far apart: windings are not flat."""
BODIES_LOW, BODIES_HIGH = 0.3, 2.0
"""Of the estimate: round bodies face each other with less, and the field also goes round them."""
BODIES_SOURCE = "assumed: facing sides of two bodies as plates in air, shared evenly by the ends of their windings"
TRACKS_APART_M = 1e-3
"""Gap at which tracks beside the bus count: a pair of them runs 2 mm apart and more, and 0V copper lies about it."""
LOOP_LOW, LOOP_HIGH = 0.8, 1.25
"""Of the estimate; it is within a tenth of what the field of the laid copper gives (tests hold it)."""
LOOP_SOURCE = "two coplanar strips as wide and as long as the tracks from port to output"
TRACKS_LOW, TRACKS_HIGH = 0.75, 1.5
"""Of the resistance: copper may be a quarter thinner or thicker, the box hot or cold; 0V beside crowds the current."""
TRACKS_SOURCE = "tracks as laid from port to output, 35 um of copper at 20 degC"
NetPair = tuple[str, str]


def parasitics(board: Board, netlist: Netlist, ac_grounds: frozenset[str]) -> Parasitics:
    """What a board's copper and the bodies of its wound parts add.

    Parameters
    ----------
    board, netlist : the layout and the circuit that it is of
    ac_grounds : nets that a source holds still at radio frequency; they count as 0V

    Returns
    -------
    Capacitances in farads, inductances in henries and resistances in ohms, each with its range and source.

    """
    found: dict[NetPair, float] = {}
    pitch = round(board.layout.pitch_nm / CELL_NM)
    for pair, farads in _copper(raster(board, ac_grounds), pitch):
        found[pair] = found.get(pair, 0.0) + farads
    low, high = 1 - COPPER_TOLERANCE, 1 + COPPER_TOLERANCE
    capacitances = [
        (*pair, Figure(_rounded(f), "F", "computed", COPPER_SOURCE, _rounded(f * low), _rounded(f * high)))
        for pair, f in sorted(found.items())
        if f >= LEAST_F
    ]
    between = _between_bodies(board, netlist, ac_grounds)
    return Parasitics((*capacitances, *between), _loops(board, netlist), _chokes(board, netlist))


def _rounded(farads: float) -> float:
    """Three figures: the last bits of a Fourier transform differ between machines."""
    return float(f"{farads:.2e}")


def signal_coupling_f(board: Board, netlist: Netlist) -> float:
    """About the most capacitance in farads by which the signal of one strip comes into that of another.

    Counted are facing bodies of wound parts, and the copper about the centre of the bus. Copper from strip to strip is
    left out: 0V lies between, so that it mostly adds little. Cost: a field for each sort of strip.
    """
    strip_of = {net.name: net.called.strip for net in netlist.nets if _is_signal(net.called)}
    into: dict[str, float] = dict.fromkeys(strip_of.values(), 0.0)
    for one, two, farads in _facing(board, netlist):
        ends = [_ends(netlist, ref, frozenset()) for ref in (one, two)]
        share = math.prod(sum(net in strip_of for net in nets) / len(nets) for nets in ends)
        for ref in (one, two):
            strip = netlist.component[ref].subject.strip
            into[strip] = max(into.get(strip, 0.0), share * farads)
    bus = frozenset(net for net, strip in strip_of.items() if not strip)
    from_bus: dict[str, float] = {}
    copper = _beside_first(raster(board, frozenset()), board, netlist, bus)
    # seen from the bus alone, a pair has half of its capacitance
    for (one, two), farads in _copper(copper, round(board.layout.pitch_nm / CELL_NM), bus):
        for here, there in ((one, two), (two, one)):
            if here in bus and strip_of.get(there):
                from_bus[strip_of[there]] = from_bus.get(strip_of[there], 0.0) + 2 * farads
    # what comes to the output from the bus is the signal itself
    own = {"", "output"}
    return max((farads + from_bus.get(strip, 0.0) for strip, farads in into.items() if strip not in own), default=0.0)


def _beside_first(copper: Raster, board: Board, netlist: Netlist, bus: frozenset[str]) -> Raster:
    """The same with the bus as 0V, but for where the first strip of each sort stands."""
    first: dict[tuple[tuple[str, Subject], ...], str] = {}
    parts_of: dict[str, list[tuple[str, Subject]]] = {}
    for component in netlist.components:
        anywhere = replace(component.subject, strip="")
        parts_of.setdefault(component.subject.strip, []).append((component.part.key, anywhere))
    for strip, parts in parts_of.items():
        first.setdefault(tuple(parts), strip)
    here = np.zeros(copper.labels.shape[2], bool)
    for strip in first.values():
        bodies = [part.body for part in board.parts if strip and netlist.component[part.ref].subject.strip == strip]
        if bodies:
            left, right = (round(f(body[side] for body in bodies) / CELL_NM) for f, side in ((min, 0), (max, 2)))
            here[left : right + 1] = True
    labels = copper.labels.copy()
    of_bus = np.isin(labels, [number for number, name in enumerate(copper.names, 1) if name in bus])
    labels[of_bus & ~here] = ZERO
    return Raster(copper.names, labels)


def _is_signal(called: NetName) -> bool:
    """Whether it bears the signal: a centre, or what an idle centre rests on."""
    return called.conductor == "centre" or called.after == IDLE[0]


def _copper(copper: Raster, pitch: int, of: frozenset[str] | None = None) -> Iterator[tuple[NetPair, float]]:
    """Each pair of nets, seen from either side with half its capacitance; pairs with 0V whole.

    A net longer than a strip is taken piece by piece, the rest of it at 0 V: the charges of all pieces add up. With
    `of` the pieces of these nets alone are looked at.
    """
    fields = _Fields()
    piece = len(copper.names) + 1
    for number, tile in tiles(copper, piece, pitch):
        if of is not None and copper.names[number - 1] not in of:
            continue
        numbers, alike = renumbered(tile)
        charges = fields.charges(alike, numbers.index(piece))
        for other, coulombs in zip(numbers, charges, strict=True):
            if other == ZERO:
                yield (copper.names[number - 1], "0V"), -coulombs
            elif other not in (number, piece):
                one, two = sorted((copper.names[number - 1], copper.names[other - 1]))
                yield (one, two), -coulombs / 2


class _Fields:
    """The fields of a board's tiles: equal tiles are solved once, and what is about equal copper is a guess."""

    def __init__(self) -> None:
        self._charges: dict[tuple[bytes, tuple[int, ...], int], tuple[float, ...]] = {}
        self._about: dict[tuple[bytes, tuple[int, ...]], tuple[CellPlace, Potential]] = {}

    def charges(self, alike: Labels, own: int) -> tuple[float, ...]:
        """The charges of the nets of a tile in coulombs, 0V first, with net `own` at 1 V."""
        key = (alike.tobytes(), alike.shape, own)
        if key not in self._charges:
            shape, corner = outline(alike == own)
            guess = shifted(*self._about[shape], corner, alike.shape) if shape in self._about else None
            charges, potential = _solved(*key, None if guess is None else guess.tobytes())
            self._charges[key], self._about[shape] = charges, (corner, potential)
        return self._charges[key]


@lru_cache(maxsize=128)
def _solved(cells: bytes, shape: tuple[int, ...], own: int, guess: bytes | None) -> tuple[tuple[float, ...], Potential]:
    """Charges of a tile's nets and potentials of its cells; boards of one design have tiles in common."""
    labels = np.frombuffer(cells, np.int16).reshape(shape)
    about = None if guess is None else np.frombuffer(guess).reshape(shape)
    charges, potential = solved(labels, own, CELL_NM * 1e-9, guess=about)
    potential.flags.writeable = False
    return tuple(charges.tolist()), potential


def _between_bodies(board: Board, netlist: Netlist, ac_grounds: frozenset[str]) -> Iterator[tuple[str, str, Figure]]:
    """Each pair of nets at the windings of two neighbours, with its share of the capacitance between the bodies."""
    found: dict[NetPair, float] = {}
    for one, two, farads in _facing(board, netlist):
        ends = [_ends(netlist, ref, ac_grounds) for ref in (one, two)]
        share = farads / (len(ends[0]) * len(ends[1]))
        for first in ends[0]:
            for second in ends[1]:
                if first != second:
                    pair = (first, second) if second == "0V" else tuple(sorted((first, second)))
                    pair = pair[::-1] if pair[0] == "0V" else pair
                    found[pair[0], pair[1]] = found.get((pair[0], pair[1]), 0.0) + share
    for (first, second), share in sorted(found.items()):
        value = _rounded(share)
        yield first, second, Figure(value, "F", "assumed", BODIES_SOURCE, BODIES_LOW * value, BODIES_HIGH * value)


def _facing(board: Board, netlist: Netlist) -> Iterator[tuple[str, str, float]]:
    """Wound parts of different strips that stand side by side, and the capacitance between them in farads."""
    wound = sorted((p for p in board.parts if KIND[p.kind].is_wound and p.fitted), key=lambda part: part.body)
    strip = {part.ref: netlist.component[part.ref].subject.strip for part in wound}
    for number, one in enumerate(wound):
        for two in wound[number + 1 :]:
            farads = _plates_f(one, two)
            if strip[one.ref] != strip[two.ref] and farads >= LEAST_F:
                yield one.ref, two.ref, farads


def _plates_f(one: PlacedPart, two: PlacedPart) -> float:
    """Capacitance between a body and one to its right, in farads."""
    gap = two.body[0] - one.body[2]
    along = min(one.body[3], two.body[3]) - max(one.body[1], two.body[1])
    high = min(one.height_nm or 0, two.height_nm or 0)
    if gap > FARTHEST_NM or along <= 0 or high == 0 or two.body[0] < one.body[0]:
        return 0.0
    return plate_capacitance_f(along * high * 1e-18, max(gap, NEAREST_NM) * 1e-9, 1.0)


def _ends(netlist: Netlist, ref: str, ac_grounds: frozenset[str]) -> tuple[str, ...]:
    return tuple("0V" if net in ac_grounds else net for net in netlist.pin_nets[ref].values())


def _chokes(board: Board, netlist: Netlist) -> tuple[ChokePair, ...]:
    """Of any two strips the pair of open chokes that is coupled most; all of them stand upright.

    Only those at a centre conductor count: the others meet common mode alone.
    """
    standing = {part.ref: part for part in board.parts}
    found: dict[tuple[str, ...], ChokePair] = {}
    open_ones = [c for c in netlist.components if c.fitted and KIND[c.part.kind].open_core and c.ref in standing]
    centres = {net.name for net in netlist.nets if net.called.conductor == "centre"}
    chokes = [c for c in open_ones if centres.intersection(netlist.pin_nets[c.ref].values())]
    for one, two in combinations(chokes, 2):
        strips = one.subject.strip, two.subject.strip
        volume = max(_volume_m3(standing[c.ref]) for c in (one, two))
        if strips[0] == strips[1] or not volume:
            continue
        apart_m = math.dist(*(_middle_nm(standing[c.ref]) for c in (one, two))) * 1e-9
        henry = min(c.part.figures["inductance"].value for c in (one, two))
        pair = ChokePair((one.ref, two.ref), strips, apart_m, volume, henry, most_coupling(volume, apart_m))
        key = tuple(sorted(strips))
        if key not in found or pair.coupling > found[key].coupling:
            found[key] = pair
    return tuple(found.values())


def _middle_nm(part: PlacedPart) -> tuple[float, float]:
    left, low, right, high = part.body
    return (left + right) / 2, (low + high) / 2


def _volume_m3(part: PlacedPart) -> float:
    """Of a round body that stands upright; 0 where its height is not known."""
    left, low, right, high = part.body
    return math.pi / 4 * (right - left) * (high - low) * (part.height_nm or 0) * 1e-27


def _loops(board: Board, netlist: Netlist) -> Mapping[str, CopperLoop]:
    """By antenna the loop of centre and braid from its port to the output's."""
    bus = board.layout.bus
    fitted = [p.strip for p in netlist.ports if netlist.component[p.ref].fitted]
    if not bus or "output" not in fitted:
        return {}
    rails_m = bus.width_nm * 1e-9, max(min(abs(one - other) for one, other in bus.rows_nm) - bus.width_nm, 1) * 1e-9
    tracks = Tracks(board, netlist)
    return {strip: _loop(tracks.to_output(strip), rails_m) for strip in fitted if strip != "output"}


def _loop(way: TrackWay, rails_m: tuple[float, float]) -> CopperLoop:
    """Of tracks of both conductors; those as wide as the rails of the bus are as far apart as these."""
    wide_m, apart_m = rails_m
    henries = sum(
        length_m / 2 * pair_inductance_h_per_m(width_m, apart_m if width_m == wide_m else TRACKS_APART_M)
        for width_m, length_m in way.length_by_width_m.items()
    )
    # even strips of this width are as long and have the same resistance
    even_m = COPPER_RESISTIVITY_OHM_M * way.length_m / (way.ohm * COPPER_M) if way.ohm else wide_m
    return CopperLoop(
        Figure(henries, "H", "computed", LOOP_SOURCE, LOOP_LOW * henries, LOOP_HIGH * henries),
        Figure(way.ohm, "ohm", "computed", TRACKS_SOURCE, TRACKS_LOW * way.ohm, TRACKS_HIGH * way.ohm),
        even_m,
        apart_m,
    )

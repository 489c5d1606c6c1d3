"""Bounds of the judged figures: a second-order response surface of each in every unknown, sampled.

The board with all unknowns in the middle of their ranges is solved together with boards that have one of them at an end
of its range each. The parabola through these three is what the unknown does to a wave, or to an admittance, at a port
and frequency; the parabolas are added as phasors, those of insertion loss as logarithms, since what lies on the way
through a board multiplies. SAMPLES points drawn evenly from all ranges give the worst figure of
as many boards, and the bound leaves out OUTSIDE of them at each end. Products of two unknowns are left out. A predicted
loss may be off besides by what published measurements have differed from the model of cores, and isolation before
layout by what couplings from strip to strip took from boards that were laid.
Source: G. E. P. Box and K. B. Wilson, response surfaces, 1951 (recalled); held against drawn boards in the tests.
Cost: SCREENED boards in all states, then two boards an unknown in the state in which a judged figure reaches furthest,
at COARSE_POINTS frequencies and the decisive ones; a strip is solved for those alone that have its own unknowns at an
end. The samples are one product of matrices.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property, lru_cache
from math import log10
from typing import Final

import numpy as np
from msgspec import Struct

from boardgen.rf.judge import Judged
from boardgen.rf.network import Network
from boardgen.rf.quantities import QUANTITIES, figure, judged_at, phasor, ports_of, readings
from boardgen.rf.response import Response
from boardgen.rf.solution import Solution
from boardgen.rf.stray_ends import COUPLED_DB, COUPLING_DB
from boardgen.rf.tolerance import START
from boardgen.rf.unknowns import COUPLING_NAME, Unknown, drawn, unknowns
from boardgen.rf.verdict import Bound, RestsOn, Verdict
from boardgen.rf_network.device_models import Array
from boardgen.rf_network.element import COPPER
from boardgen.spec.keys import Spec

COARSE_POINTS: Final = 13
SAMPLES: Final = 1500
OUTSIDE: Final = 0.005
SCREENED: Final = 16
"""Drawn boards that tell in which state a figure reaches furthest."""
DEVIATIONS: Final = 2.58
"""Standard deviations beyond which OUTSIDE of a normal distribution lies."""
ALIKE: Final = 0.02
"""Standard deviations by which two states may differ and reach as far."""
MOST_NAMED: Final = 3
"""Unknowns that a verdict is said to rest on."""
MULTIPLIED: Final = frozenset({"insertion loss"})
"""Quantities of a wave that goes through one section after another."""
CORE_MODEL: Final = "loss by the model of cores"
CHOKES: Final = "coupling of chokes"
LIMITS: Final = np.linspace(0.95, 0.05, 19)
"""Shares of a range that are tried as a limit, the widest first."""


class Point(Struct, frozen=True):
    """A predicted figure: its quantity, the antenna selected, the port, the frequency, and the figure as stated."""

    quantity: str
    selected: str
    port: str
    at_hz: float
    nominal: float


class Surface(Struct, frozen=True, dict=True):
    """A judged quantity over its unknowns, as phasors at some places, each a port at a frequency.

    They are logarithms where a quantity is MULTIPLIED. `everywhere` is (samples, places), that of each sample. `terms`
    are (2 unknowns, places): what each unknown does to it, of first order and then of second, where it lies at
    2 x share - 1 of its range.
    """

    quantity: str
    everywhere: Array
    terms: Array

    @property
    def sign(self) -> int:
        """1 where more is better."""
        return _sign(self.quantity)

    @cached_property
    def worst(self) -> Array:
        """The worst figure of each sample, times the sign."""
        return self._worst(self.everywhere)

    def with_only(self, number: int, low: float, high: float) -> Array:
        """The same, if that unknown lay between these shares of its range alone."""
        unknowns = len(self.terms) // 2
        before = _samples(unknowns)[:, number, None]
        after = (low + high - 1) + (high - low) * before
        moved = (after - before) * self.terms[number] + (after**2 - before**2) * self.terms[unknowns + number]
        return self._worst(self.everywhere + moved)

    def _worst(self, phasors: Array) -> Array:
        waves = np.exp(phasors) if self.quantity in MULTIPLIED else phasors
        result: Array = (self.sign * figure(self.quantity, waves)).min(axis=1)
        return result


class Bounds(Struct, frozen=True, dict=True):
    """The bounds of the figures of one board. What its targets ask for is solved once for all figures.

    `response` is that of the board, with its network; `judged` are its targets.
    """

    spec: Spec
    response: Response
    judged: tuple[Judged, ...]

    @cached_property
    def unknowns(self) -> tuple[Unknown, ...]:
        """All that is not known of the board to a number."""
        return unknowns(self.response.network)

    @cached_property
    def verdicts(self) -> tuple[Verdict, ...]:
        """Every judged target with its bound, and what it rests on where it holds as stated alone."""
        states = dict.fromkeys(self._states[one.target] for one in self.judged if one.at_hz is not None)
        surfaces = {target: surface for selected in states for target, surface in self._surfaces(selected)}
        return tuple(_verdict(self.spec, self.response, one, surfaces, self.unknowns) for one in self.judged)

    def of(self, points: Sequence[Point]) -> tuple[Bound, ...]:
        """The bound of each figure, at its port and frequency alone."""
        found: dict[Point, Bound] = {}
        for selected in dict.fromkeys(p.selected for p in points):
            own = [p for p in points if p.selected == selected]
            frequencies = self._with_edges(selected)
            if not np.isin([p.at_hz for p in own], frequencies).all():
                frequencies = np.unique([p.at_hz for p in own])
            solution = self._solved(selected, frequencies)
            columns = np.searchsorted(frequencies, [p.at_hz for p in own]).tolist()
            phasors = [_added(solution, p.quantity, p.port)[:, n : n + 1] for p, n in zip(own, columns, strict=True)]
            everywhere, terms = _sampled(phasors, len(self.unknowns))
            for n, p in enumerate(own):
                surface = Surface(p.quantity, everywhere[:, n : n + 1], terms[:, n : n + 1])
                found[p] = _bound(self.response, p, surface)
        return tuple(found[p] for p in points)

    def _surfaces(self, selected: str) -> Iterator[tuple[str, Surface]]:
        """Of targets whose worst figure is found in that state, each with its name; at all ports of that state."""
        network, points = self.response.network, self._with_edges(selected)
        solution, own = self._solved(selected, points), np.isin(points, self._frequencies(selected))
        for one in self._judged_in(selected):
            inside = own & (points <= _limit_hz(self.spec, one) * (1 + 1e-12))
            at_ports = [
                _added(solution, one.quantity, port)[:, inside] for port in _ports(network, one.quantity, selected)
            ]
            yield one.target, Surface(one.quantity, *_sampled(at_ports, len(self.unknowns)))

    def _judged_in(self, selected: str) -> list[Judged]:
        return [one for one in self.judged if self._states.get(one.target) == selected]

    @cached_property
    def _states(self) -> dict[str, str]:
        """By target the state in which its bound is looked at: the one in which drawn boards reach furthest.

        It need not be the state that is worst as stated, for more is unknown of a long way through the board.
        """
        judged = [one for one in self.judged if one.at_hz is not None]
        screened = self._screened({one.quantity: _limit_hz(self.spec, one) for one in judged}) if judged else {}
        chosen: dict[str, str] = {}
        for one in judged:
            # what is solved for one target serves the next
            alike = _reaching_furthest(screened[one.quantity])
            chosen[one.target] = next((state for state in chosen.values() if state in alike), alike[0])
        return chosen

    def _screened(self, limits_hz: Mapping[str, float]) -> dict[str, dict[str, Array]]:
        """By quantity and state the worst figure of each of SCREENED boards, times the sign, up to these limits."""
        network, lowest = self.response.network, self.spec.band.lowest
        points = np.unique([*np.geomspace(lowest, max(limits_hz.values()), COARSE_POINTS), *limits_hz.values()])
        draws = drawn(self.unknowns, np.random.default_rng(START).random((SCREENED, len(self.unknowns))))
        found: dict[str, dict[str, Array]] = {name: {} for name in limits_hz}
        for one in readings(network, network.blocks(points, draws, SCREENED), limits_hz):
            if judged_at(network, one.quantity, one.port):
                inside = points <= limits_hz[one.quantity] * (1 + 1e-12)
                each = (_sign(one.quantity) * one.values[:, inside]).min(axis=1)
                of_states = found[one.quantity]
                of_states[one.selected] = np.minimum(of_states.get(one.selected, np.full(SCREENED, np.inf)), each)
        return found

    def _frequencies(self, selected: str) -> Array:
        """Those at which the targets of a state are looked at, none where it has none."""
        judged = self._judged_in(selected)
        if not judged:
            return np.empty(0)
        limits = [_limit_hz(self.spec, one) for one in judged]
        coarse = np.geomspace(self.spec.band.lowest, max(limits), COARSE_POINTS)
        return np.unique([*coarse, *limits, *(one.at_hz or 0.0 for one in judged)])

    def _with_edges(self, selected: str) -> Array:
        """These, and where they are any the band's edges and every target's limit, which are asked for as well."""
        own = self._frequencies(selected)
        limits = [self.spec.band.lowest, self.spec.band.highest, *(_limit_hz(self.spec, one) for one in self.judged)]
        return np.unique([*own, *limits]) if own.size else own

    def _solved(self, selected: str, points: Array) -> Solution:
        """A board with every unknown in the middle of its range, then two of each, at the ends of its range alone."""
        key = selected, points.tobytes()
        if key not in self._solutions:
            every, network = self.unknowns, self.response.network
            shares = np.full((2 * len(every) + 1, len(every)), 0.5)
            for number in range(len(every)):
                shares[2 * number + 1 : 2 * number + 3, number] = 0.0, 1.0
            operated = network.operated(selected)
            blocks = network.state(operated, points, drawn(every, shares), len(shares))
            self._solutions[key] = network.solve(operated, blocks)
        return self._solutions[key]

    @cached_property
    def _solutions(self) -> dict[tuple[str, bytes], Solution]:
        return {}


def _sign(quantity: str) -> int:
    """1 where more is better."""
    return 1 if QUANTITIES[quantity].larger_is_better else -1


def _limit_hz(spec: Spec, judged: Judged) -> float:
    """Up to where a target asks for its figure within the band."""
    return min(spec.band.highest, judged.to_hz or spec.band.highest)


def _added(solution: Solution, quantity: str, port: str) -> Array:
    """What the parabolas of a quantity are added as at a port, (boards, points), complex."""
    wave = phasor(solution, quantity, port)
    return np.log(np.abs(wave)).astype(complex) if quantity in MULTIPLIED else wave


def _reaching_furthest(worst: Mapping[str, Array]) -> list[str]:
    """The states in which drawn boards reach about as far as in any, the furthest first.

    `worst` are the worst figures of the boards in each, times the sign.
    """
    reach = {state: float(each.mean() - DEVIATIONS * each.std()) for state, each in worst.items()}
    furthest = min(reach, key=lambda state: reach[state])
    alike = reach[furthest] + ALIKE * float(worst[furthest].std())
    return sorted((state for state in reach if reach[state] <= alike), key=lambda state: reach[state])


def _verdict(
    spec: Spec, response: Response, judged: Judged, surfaces: Mapping[str, Surface], every: Sequence[Unknown]
) -> Verdict:
    if judged.target not in surfaces:
        return Verdict(judged, "not judged")
    surface = surfaces[judged.target]
    at = Point(judged.quantity, judged.selected, judged.port, judged.at_hz or 0.0, judged.achieved or 0.0)
    bound = _bound(response, at, surface, (spec.band.lowest, _limit_hz(spec, judged)))
    if judged.state == "falls short":
        return Verdict(judged, "falls short", bound)
    if (bound.lowest >= judged.wanted) if surface.sign > 0 else (bound.highest <= judged.wanted):
        return Verdict(judged, "met", bound)
    wanted = surface.sign * judged.wanted
    if np.quantile(surface.worst, OUTSIDE) >= wanted:
        rest = _on_what_widens(judged.quantity, response.network, bound, judged.wanted)
        return Verdict(judged, "met as stated", bound, (rest,))
    return Verdict(judged, "met as stated", bound, tuple(_rests_on(surface, every, wanted)))


@lru_cache(8)
def _samples(unknowns: int) -> Array:
    """Points drawn evenly from all ranges, each from -1 to 1, and their squares: (samples, 2 unknowns)."""
    at = 2 * np.random.default_rng(START).random((SAMPLES, unknowns)) - 1
    return np.hstack([at, at**2])


def _sampled(at_ports: Sequence[Array], unknowns: int) -> tuple[Array, Array]:
    """Phasors of the samples, (samples, places), and the terms of the parabolas, (2 unknowns, places).

    `at_ports` are those of the solved boards at some ports, each (boards, points), or (1, points) where nothing moves
    it.
    """
    boards = 2 * unknowns + 1
    phasors = np.concatenate([np.broadcast_to(p, (boards, p.shape[1])) for p in at_ports], axis=1)
    middle, low, high = phasors[0], phasors[1::2], phasors[2::2]
    terms = np.ascontiguousarray(np.concatenate([(high - low) / 2, (high + low) / 2 - middle]))
    # a product of real numbers takes a third of one with complex ones
    moved: Array = (_samples(unknowns) @ terms.view(float)).view(complex)
    return middle + moved, terms


def _ports(network: Network, quantity: str, selected: str) -> Iterator[str]:
    for name, port in ports_of(network, selected):
        if name == quantity and judged_at(network, name, port):
            yield port


def _bound(response: Response, of: Point, surface: Surface, over_hz: tuple[float, float] | None = None) -> Bound:
    """The middle of the samples, widened to the figure as stated, and by what a model of cores may be off.

    Isolation of a laid board is lowered by what open chokes couple at most: those of the two strips at that place; and
    with `over_hz`, which makes it a bound over a band, to what those of any two leave there by themselves. Insertion
    loss is then widened to the most at any frequency of that band, for most of it may be lost in cores at another.
    """
    low, high = np.sort(surface.sign * np.quantile(surface.worst, (OUTSIDE, 1 - OUTSIDE))).tolist()
    if of.quantity == "insertion loss":
        off = of.nominal * response.loss_bound(response.at(of.at_hz))
        most = response.most_lost(*over_hz) if over_hz else of.nominal + off
        return Bound(max(0.0, min(low, of.nominal - off)), of.nominal, max(high, most))
    if of.quantity == "isolation" and not response.network.couplings:
        # before layout nothing couples strip to strip
        off = max(COUPLING_DB, of.nominal - COUPLED_DB)
        return Bound(min(low, of.nominal - off), of.nominal, max(high, of.nominal))
    least = min(low, of.nominal)
    if of.quantity == "isolation":
        least = _with_chokes(response.network, of, least, over_hz[0] if over_hz else None)
    return Bound(max(0.0, least), of.nominal, max(high, of.nominal))


def _with_chokes(network: Network, of: Point, least_db: float, lowest_hz: float | None) -> float:
    ohm = network.port_ohm[of.port]
    there = [pair.leaves_db(of.at_hz, ohm) for pair in network.chokes if {of.port, of.selected} == set(pair.strips)]
    shares = sum(10 ** (-each_db / 20) for each_db in (least_db, *there))
    anywhere = [pair.leaves_db(lowest_hz, ohm) for pair in network.chokes] if lowest_hz else []
    return min(-20 * log10(shares), *anywhere) if anywhere else -20 * log10(shares)


def _rests_on(surface: Surface, every: Sequence[Unknown], wanted: float) -> Iterator[RestsOn]:
    """The unknowns that move the figure most, each with the limit that keeps the target."""
    spread, at = surface.worst - surface.worst.mean(), _samples(len(every))[:, : len(every)]
    pulls = spread @ (at - at.mean(axis=0))
    for number in np.argsort(-np.abs(pulls), kind="stable")[:MOST_NAMED].tolist():
        at_most = bool(pulls[number] < 0)

        def ends(tried: int, at_most: bool = at_most) -> tuple[float, float]:
            share = float(LIMITS[tried])
            return (0.0, share) if at_most else (1 - share, 1.0)

        def fails(tried: int, number: int = number) -> bool:
            return bool(np.quantile(surface.with_only(number, *ends(tried)), OUTSIDE) < wanted)

        # the narrower its range, the better: the first that does not fail
        widest = bisect_left(range(LIMITS.size), True, key=lambda tried: not fails(tried))
        keeps = every[number].at(ends(widest)[1 if at_most else 0]) if widest < LIMITS.size else None
        yield RestsOn(every[number], keeps, at_most)


def _on_what_widens(quantity: str, network: Network, bound: Bound, wanted: float) -> RestsOn:
    """What a figure rests on that holds wherever the unknowns lie: what its bound is widened by besides."""
    if quantity == "insertion loss":
        return _on_core_model(network, bound, wanted)
    return _on_chokes(network, bound, wanted) if network.couplings else _on_layout(bound, wanted)


def _on_layout(bound: Bound, wanted: float) -> RestsOn:
    """An isolation before layout, where nothing couples strips yet, rests on how much of it that will take."""
    taken = Unknown(
        name=COUPLING_NAME, part="", refs=(COPPER,), places=(), least=(), most=(), value=0.0,
        low=0.0, high=bound.nominal - bound.lowest, unit="dB", assumed=True,
    )  # fmt: skip
    return RestsOn(taken, bound.nominal - wanted, at_most=True)


def _on_core_model(network: Network, bound: Bound, wanted: float) -> RestsOn:
    """A loss that holds wherever the unknowns lie rests on the model of what is lost in cores, as on large ones."""
    core = next(e for e in network.elements if e.law == "transformer")
    model = Unknown(
        name=CORE_MODEL, part=network.parts[core.ref], refs=(core.ref,), places=(), least=(), most=(), value=1.0,
        low=bound.lowest / bound.nominal, high=bound.highest / bound.nominal, unit="1", assumed=True,
    )  # fmt: skip
    return RestsOn(model, wanted / bound.nominal, at_most=True)


def _on_chokes(network: Network, bound: Bound, wanted: float) -> RestsOn:
    """An isolation that holds wherever the unknowns lie rests on the chokes that are coupled most."""
    pair = max(network.chokes, key=lambda one: one.coupling)
    coupling = Unknown(
        name=CHOKES, part=network.parts[pair.refs[0]], refs=pair.refs, places=(), least=(), most=(), value=0.0,
        low=0.0, high=pair.coupling, unit="1", assumed=True,
    )  # fmt: skip
    return RestsOn(coupling, pair.coupling * 10 ** ((bound.lowest - wanted) / 20), at_most=True)

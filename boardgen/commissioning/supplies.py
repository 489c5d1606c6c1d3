"""Volts and amperes with a bench supply joined to a line of the board."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from boardgen.commissioning.bench import Bench, pin_node
from boardgen.commissioning.points import shown
from boardgen.commissioning.readings import Reading, Unit
from boardgen.direct_current.elements import Curve, Element, Resistor, VoltageSource
from boardgen.direct_current.network import Network
from boardgen.direct_current.solution import Solution
from boardgen.direct_current.solve import solve
from boardgen.kinds.direct_current import GRADES, Grade
from boardgen.model.selection import ControlLine, Selection
from boardgen.spec.strip import Strip
from boardgen.stages.line_nets import feed_line_net, select_net

SUPPLY = "bench supply"
LEAST_LIMIT_A = 0.2
"""The current limit of the bench supply, unless a feed takes more than half of it."""
INSIDE_OHM, BEYOND_OHM = 1e-3, 1e7
"""A supply below its limit, and at it: steep enough that its current hardly grows."""


def limiter(a: str, b: str, limit_a: float) -> Curve:
    """What stands between the source of a bench supply and its plus."""
    knee_v = limit_a * INSIDE_OHM
    far_v = 100.0
    points = ((-knee_v, -limit_a), (knee_v, limit_a), (knee_v + far_v, limit_a + far_v / BEYOND_OHM))
    return Curve("current limit", a, b, points)


class PoweredTest(Struct, frozen=True):
    """A supply of `volt` from `plus` to `minus`, a load of `load_ohm` at a port, and what is then read.

    `joined` says where the supply goes, `loaded` what stands at the port. `line` is the line of relays that it is on,
    None for a feed line; `selection` is what it selects.
    """

    volt: float
    plus: str
    minus: str
    joined: str
    loaded: str
    line: ControlLine | None
    selection: Selection
    port: str = ""
    load_ohm: float = math.inf
    relays: tuple[str, ...] = ()
    only: frozenset[str] | None = None
    limit_a: float = LEAST_LIMIT_A

    def network(self, bench: Bench, grade: Grade = "middle") -> Network:
        """The board on the supply, its relays still at rest."""
        source = VoltageSource(SUPPLY, "#supply", self.minus, self.volt)
        more: list[Element] = [source, limiter("#supply", self.plus, self.limit_a)]
        if math.isfinite(self.load_ohm):
            more.append(Resistor("load", *self._ends(), self.load_ohm))
        return bench.network(frozenset(), grade, more, self.only)

    @property
    def live(self) -> str:
        """Which line is live, and how it is loaded."""
        if self.line is None:
            return f"feed line, {self.loaded}"
        return "select line" if self.line.selects else f"line {self.line.net}"

    def _ends(self) -> tuple[str, str]:
        return pin_node(self.port, "centre"), pin_node(self.port, "braid")

    def values(self, bench: Bench, solution: Solution) -> dict[str, tuple[Unit, str, float]]:
        """Unit, where it is read, and value, by name."""
        found: dict[str, tuple[Unit, str, float]] = {
            f"supply current, {self.live}": ("A", "in the supply's lead", -solution.current(SUPPLY)),
        }
        for ref in self.relays:
            nets, pins = bench.netlist.pin_nets[ref], bench.netlist.component[ref].part.pins
            where = f"{ref} pins {pins['coil +']} (+) and {pins['coil -']}"
            found[f"volts at the coil of {ref}"] = ("V", where, _volts(solution, nets["coil +"], nets["coil -"]))
        if self.port:
            where = f"{self.port} centre (+) and braid"
            found[f"volts at {self.port}, {self.loaded}"] = ("V", where, _volts(solution, *self._ends()))
        return found

    def expected(self, bench: Bench) -> tuple[Reading, ...]:
        """Every reading with its range over the tolerances of the parts."""
        columns = [self.values(bench, solve(self.network(bench, grade))) for grade in GRADES]
        found = []
        for name, (unit, where, middle) in columns[1].items():
            values = [column[name][2] for column in columns]
            found.append(Reading(name, where, self.selection, unit, min(values), middle, max(values), self.limit_a))
        return tuple(found)


def _volts(solution: Solution, a: str, b: str) -> float:
    """Volts between two points; 0 where nothing joins them, as a meter's own resistance would make it."""
    island = solution.network.island
    return solution.volts(a, b) if island[a] == island[b] else 0.0


def bench_volts(bench: Bench) -> float:
    """The middle of what the specification calls its supply, to a tenth of a volt."""
    supply = bench.request.spec.control.supply
    return round((supply.low + supply.high) / 2, 1)


def powered_tests(bench: Bench, strip: Strip) -> tuple[PoweredTest, ...]:
    """The supply on each line of the port's relays, then on its feed line where that is another."""
    return tuple(_tests(bench, strip))


def _tests(bench: Bench, strip: Strip) -> Iterator[PoweredTest]:
    only = frozenset({strip.label})
    limit_a = max(LEAST_LIMIT_A, 2 * strip.feed.current if strip.feed else 0.0)
    zero, volt = bench.pin_of("0V"), bench_volts(bench)
    port = next(p.ref for p in bench.netlist.ports if p.strip == strip.label)
    feed_net = feed_line_net(bench.request, strip) if strip.feed else ""
    for line in bench.lines_of(strip.label):
        pin = bench.pin_of(line.net, strip.label)
        if pin and zero:
            other = bench.pin_of("coil supply") if bench.request.low_side else zero
            plus, minus = (other or zero, pin) if bench.request.low_side else (pin, zero)
            selection = bench.netlist.worked_by(line)
            yield PoweredTest(
                volt, pin_node(*plus), pin_node(*minus), _joined(bench, plus, minus), "no load", line, selection,
                port if line.net == feed_net else "", relays=tuple(r for r in line.relays if r in selection.operated),
                only=only, limit_a=limit_a,
            )  # fmt: skip
    feed_pin = bench.pin_of(feed_net, strip.label) if feed_net else None
    if strip.feed and feed_pin and zero and feed_net != select_net(strip):
        ends = (pin_node(*feed_pin), pin_node(*zero), _joined(bench, feed_pin, zero))
        ohm = strip.feed.voltage / strip.feed.current
        feed = (None, bench.netlist.select(None), port)
        yield PoweredTest(volt, *ends, "no load", *feed, only=only, limit_a=limit_a)
        yield PoweredTest(volt, *ends, "loaded", *feed, ohm, only=only, limit_a=limit_a)


def _joined(bench: Bench, plus: tuple[str, str], minus: tuple[str, str]) -> str:
    return f"+ to {shown(bench, plus)}, minus to {shown(bench, minus)}"

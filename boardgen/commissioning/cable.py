"""The board at the end of its control cable: what the source end measures, whole and with a fault of the cable."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct

from boardgen.commissioning.bench import Bench, pin_node
from boardgen.commissioning.supplies import SUPPLY, bench_volts
from boardgen.direct_current.elements import OPEN, Element, Resistor, VoltageSource
from boardgen.direct_current.network import Network
from boardgen.direct_current.solve import solve
from boardgen.handbook import data_cable
from boardgen.sizing.cable import ohm_per_m
from boardgen.spec.strip import Strip
from boardgen.stages.line_nets import select_net
from boardgen.stages.lines import lines

WET_OHM = 10e3
"""A wet terminal: an assumed figure."""
ROOM_C = 20.0
OTHER_RETURNS = "other conductors 0V"
"""All 0V conductors but one, for faults of a single one."""


class FarEnd(Struct, frozen=True):
    """With one antenna selected from the source: amperes drawn there, volts at the board's terminal, relays pulled in.

    The volts are below zero where the terminal is negative. `others` are antennas whose relays pull in though nobody
    selected them.
    """

    supply_a: float
    terminal_v: float
    coil_v: float
    pulled_in: bool
    others: tuple[str, ...]


class CableFault(Struct, frozen=True):
    """What is wrong with the cable, and the elements that stand in the place of the whole ones."""

    name: str
    change: tuple[Element, ...]


class CableBench(Struct, frozen=True, dict=True):
    """The cable with the board at its end, at 20 degC, feeds off, at the middle of the supply."""

    bench: Bench

    def elements(self, only: frozenset[str]) -> tuple[Element, ...]:
        """A conductor for every common line and those of some antennas; of several returns one, the others as one."""
        bench, control = self.bench, self.bench.request.spec.control
        ohm = data_cable.at_temperature(ohm_per_m(control.cable), ROOM_C) * control.length
        found: dict[str, Element] = {}
        for line in lines(bench.request):
            pin = bench.pin_of(line.net, line.strip) if line.fitted and line.strip in (*only, *bench.always) else None
            if pin:
                found[line.net] = Resistor(conductor(line.net), source(line.net), pin_node(*pin), ohm)
        if control.returns > 1:
            others = ohm / (control.returns - 1)
            found[OTHER_RETURNS] = Resistor(OTHER_RETURNS, *found["0V"].ends, others)
        return tuple(found.values())

    def far_end(self, strip: Strip, other: Strip | None = None, change: Sequence[Element] = ()) -> FarEnd:
        """What is measured with that antenna selected; `other` is one whose relays may pull in by a fault."""
        bench, select = self.bench, select_net(strip)
        only = frozenset(s.label for s in (strip, other) if s)
        low_side = bench.request.low_side
        if (strip.label, only) not in self._whole:
            self._whole[strip.label, only] = self._network(select, only)
        solution = solve(self._whole[strip.label, only].changed(change))
        island = solution.network.island

        def volts(a: str, b: str) -> float:
            return solution.volts(a, b) if island[a] == island[b] else 0.0

        coils = {
            ref: volts(j["coil +"], j["coil -"])
            for label in only
            for ref in bench.relays[label]
            for j in [bench.netlist.pin_nets[ref]]
        }
        operated = {
            label: all(
                coils[r] >= bench.netlist.component[r].part.figures["must operate"].most for r in bench.relays[label]
            )
            for label in sorted(only)
        }
        return FarEnd(
            -solution.current(SUPPLY),
            volts("coil supply" if low_side else select, select if low_side else "0V"),
            min(coils[ref] for ref in bench.relays[strip.label]),
            operated[strip.label],
            tuple(label for label, on in operated.items() if on and label != strip.label),
        )

    @cached_property
    def _whole(self) -> dict[tuple[str, frozenset[str]], Network]:
        """The networks without a fault that were asked for, by the antenna selected and those that stand in full."""
        return {}

    def _network(self, select: str, only: frozenset[str]) -> Network:
        bench, low_side = self.bench, self.bench.request.low_side
        plus = source("coil supply") if low_side else source(select)
        more: list[Element] = [*self.elements(only), VoltageSource(SUPPLY, plus, source("0V"), bench_volts(bench))]
        if low_side:
            more.append(Resistor("selector", source(select), source("0V"), 0.0))
        return bench.network(frozenset(), "middle", more, only)

    def faults(self, strip: Strip, other: Strip | None) -> tuple[CableFault, ...]:
        """What is easily done wrong with the conductors of that antenna."""
        whole = {e.name: e for e in self.elements(frozenset(s.label for s in (strip, other) if s))}
        own, zero = whole[conductor(select_net(strip))], whole[conductor("0V")]
        returns = [whole[name] for name in (zero.name, OTHER_RETURNS) if name in whole]
        found = [
            CableFault(f"select conductor of {strip.label} open", (_open(own),)),
            CableFault("all 0V conductors open", tuple(map(_open, returns))),
            CableFault(f"select conductor of {strip.label} crossed with one 0V conductor", _crossed(own, zero)),
            CableFault(
                f"wet terminal: 10 kohm from the select line of {strip.label} to 0V",
                (Resistor("wet", own.ends[1], zero.ends[1], WET_OHM),),
            ),
            CableFault(
                f"select conductor of {strip.label} touches 0V", (Resistor("touch", own.ends[1], zero.ends[1], 1e-3),)
            ),
        ]
        if other is not None:
            second = whole[conductor(select_net(other))]
            found.append(
                CableFault(f"select conductors of {strip.label} and {other.label} crossed", _crossed(own, second))
            )
            touch = Resistor("touch", own.ends[1], second.ends[1], 1e-3)
            found.append(CableFault(f"select conductors of {strip.label} and {other.label} touch", (touch,)))
        supply = whole.get(conductor("coil supply"))
        if supply is not None:
            found.append(CableFault("coil supply conductor open", (_open(supply),)))
        return tuple(found)


def conductor(net: str) -> str:
    """The element of a line's conductor."""
    return f"conductor {net}"


def source(net: str) -> str:
    """The source end of a line."""
    return f"#source {net}"


def _open(element: Element) -> Element:
    return Resistor(element.name, *element.ends, OPEN)


def _crossed(one: Element, other: Element) -> tuple[Element, Element]:
    """Both conductors at each other's terminal."""
    if not (isinstance(one, Resistor) and isinstance(other, Resistor)):
        raise TypeError("only conductors cross")
    return Resistor(one.name, one.a, other.b, one.ohm), Resistor(other.name, other.a, one.b, other.ohm)

"""Everything that is read of one port, expected and under a fault."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.diode_readings import driven, ohm_of, with_meter
from boardgen.commissioning.ohmmeter import Ohmmeter
from boardgen.commissioning.points import Probe, board_probes, strip_probes
from boardgen.commissioning.readings import Reading, each_way, resistances
from boardgen.commissioning.supplies import PoweredTest, powered_tests
from boardgen.direct_current.elements import OPEN, Element, Resistor
from boardgen.direct_current.network import Network
from boardgen.direct_current.solution import Solution
from boardgen.direct_current.solve import solve
from boardgen.kinds.direct_current import Grade
from boardgen.kinds.fault import Fault
from boardgen.model.selection import ControlLine, Selection, SelectionState
from boardgen.spec.strip import Strip

ENDS: Final[tuple[Grade, Grade]] = ("low", "high")


class Change(Struct, frozen=True):
    """A reading that comes out wrong: what is expected, and what is read instead.

    `ends` are its range over the tolerances of the parts, where that was asked for.
    """

    expected: Reading
    found: float
    ends: tuple[float, float] | None = None


class StripReadings(Struct, frozen=True, dict=True):
    """The readings of one antenna and of the board with it; of the output, those of the board alone.

    A port that is through at rest has no relay: it is read with nothing selected only. `whole` says that all other
    ports stand in full beside it, so that a fault of any part can be planted.
    """

    bench: Bench
    strip: Strip
    whole: bool = False

    @cached_property
    def only(self) -> frozenset[str] | None:
        """The port that stands in full in every network of this test, None for all."""
        return None if self.whole else frozenset({self.strip.label})

    @cached_property
    def probes(self) -> tuple[Probe, ...]:
        """Where resistances are read."""
        board = board_probes(self.bench)
        found = board if self.strip.is_output else (*strip_probes(self.bench, self.strip), *board)
        return tuple(way for probe in found for way in each_way(self.bench, probe, self.only))

    @cached_property
    def at_rest(self) -> Selection:
        """Nothing live."""
        return self.bench.netlist.select(None)

    @cached_property
    def lines(self) -> tuple[ControlLine, ...]:
        """The lines with which resistances are read: the port's own, and those of the output's stages."""
        output = () if self.strip.is_output else self.bench.lines_of(self.bench.request.output.label)
        return (*self.bench.lines_of(self.strip.label), *output)

    @cached_property
    def states(self) -> dict[Selection, tuple[Probe, ...]]:
        """What is read with nothing live, then with each line, where points with a feed across them are left out."""
        worked = tuple(p for p in self.probes if p.when_selected and not p.live)
        return {self.at_rest: self.probes} | {self.bench.netlist.worked_by(line): worked for line in self.lines}

    @cached_property
    def powered(self) -> tuple[PoweredTest, ...]:
        """What is read with a supply on the port's own lines."""
        return powered_tests(self.bench, self.strip)

    @cached_property
    def ohms(self) -> dict[Selection, tuple[Reading, ...]]:
        """Expected resistances by state."""
        return {state: resistances(self.bench, probes, state, self.only) for state, probes in self.states.items()}

    @cached_property
    def volts(self) -> tuple[tuple[Reading, ...], ...]:
        """Expected readings of each powered test."""
        return tuple(test.expected(self.bench) for test in self.powered)

    def under(self, fault: Fault, *, ranged: bool = False) -> tuple[Change, ...]:
        """The readings that this fault changes so much that a person would see it, resistances first.

        `ranged` gives resistances that no diode lies between their range.
        """
        stuck: set[str] = set()
        late: list[Change] = []
        for test, expected, whole in self._whole:
            if not disturbs(whole, fault.change):
                continue
            solution = solve(whole.network.changed(fault.change))
            values = test.values(self.bench, solution)
            late += [Change(r, values[r.name][2]) for r in expected if r.differs(values[r.name][2])]
            stuck |= {ref for ref in test.relays if not self.pulls_in(ref, solution)}
        found: list[Change] = []
        for state in self.states:
            operated = state.operated - stuck
            read = self._read(state, operated, fault.change)
            changed = [n for n, r in enumerate(self.ohms[state]) if r.differs(read[n])]
            low, high = (
                self._meter(state, operated, grade).read(fault.change) if ranged and changed else read for grade in ENDS
            )
            for n in changed:
                ends = (low[n], high[n]) if ranged and not self.states[state][n].through_diode else None
                found.append(Change(self.ohms[state][n], read[n], ends))
        return (*found, *late)

    @cached_property
    def _whole(self) -> tuple[tuple[PoweredTest, tuple[Reading, ...], Solution], ...]:
        """Each powered test on the whole board, those of the output's stages too, and what it must read."""
        own = [(replace(t, only=self.only), volts) for t, volts in zip(self.powered, self.volts, strict=True)]
        if not self.strip.is_output:
            # this port's faults are planted in these networks too, so that it stands in full in them
            shared = (replace(t, only=self.only) for t in powered_tests(self.bench, self.bench.request.output))
            own += [(test, test.expected(self.bench)) for test in shared if test.line is not None]
        return tuple((test, expected, solve(test.network(self.bench))) for test, expected in own)

    @cached_property
    def _meters(self) -> dict[tuple[Selection, SelectionState, Grade], Ohmmeter]:
        return {}

    def _read(self, state: Selection, operated: SelectionState, change: Sequence[Element]) -> list[float]:
        """Ohms of every probe of the state with that change, on a usual meter where it drives a diode."""
        straight = self._meter(state, operated).read(change)
        return [
            self._through_diode(p, change) if p.through_diode else ohm
            for p, ohm in zip(self.states[state], straight, strict=True)
        ]

    def _through_diode(self, probe: Probe, change: Sequence[Element]) -> float:
        """Ohms that a usual meter shows; as without the change where that does nothing to what the meter drives."""
        tips, only = (probe.a, probe.b), self.only if probe.strip else None
        if (tips, only) not in self._driven:
            network = with_meter(self.bench, tips, only)
            self._driven[tips, only] = network, driven(network, tips)
        network, whole = self._driven[tips, only]
        if whole is None or disturbs(whole, change):
            whole = driven(network.changed(change), tips)
        return ohm_of(whole, tips)

    @cached_property
    def _driven(self) -> dict[tuple[tuple[str, str], frozenset[str] | None], tuple[Network, Solution | None]]:
        return {}

    def _meter(self, state: Selection, operated: SelectionState, grade: Grade = "middle") -> Ohmmeter:
        if (state, operated, grade) not in self._meters:
            pairs = tuple((p.a, p.b) for p in self.states[state])
            network = self.bench.network(operated, grade, only=self.only)
            self._meters[state, operated, grade] = Ohmmeter(network, pairs)
        return self._meters[state, operated, grade]

    def pulls_in(self, ref: str, solution: Solution) -> bool:
        """Whether the coil has what it must operate at, and the right way round."""
        pin_nets, island = self.bench.netlist.pin_nets[ref], solution.network.island
        plus, minus = pin_nets["coil +"], pin_nets["coil -"]
        if island[plus] != island[minus]:
            return False
        return solution.volts(plus, minus) >= self.bench.netlist.component[ref].part.figures["must operate"].most


QUIET_V, QUIET_A = 1e-6, 1e-8


def disturbs(whole: Solution, change: Sequence[Element]) -> bool:
    """Whether a change can alter any voltage: not where it joins points that are equal, or makes worse
    what carries nothing.
    """
    network = whole.network
    for element in change:
        a, b = element.ends
        if network.island[a] != network.island[b] or abs(whole.volts(a, b)) > QUIET_V:
            return True
        old = network.element.get(element.name)
        if old is not None and abs(whole.current(old.name)) > QUIET_A:
            return True
        # what carries nothing may still be all that holds a point at its voltage
        if old is not None and isinstance(element, Resistor) and element.ohm == OPEN:
            return True
    return False

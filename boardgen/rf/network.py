"""The network of a board, solved for its ports with any relays operated, all frequencies at once.

It is cut into strips, which meet only at a few shared nets (the bus, 0V). Each strip in each state of its own relays is
reduced once to its port and the shared nets (block elimination, boardgen.rf_network.block); a state of the board then
takes only a small matrix of the shared nets. Strips that are equal in every value are reduced once for all.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from boardgen.catalogue import Permeability
from boardgen.model.choices import Choices
from boardgen.model.netlist import Netlist, Port
from boardgen.model.parasitics import ChokePair, Parasitics
from boardgen.model.part import Part
from boardgen.model.selection import AT_REST, Selection, SelectionState
from boardgen.request import Request
from boardgen.rf.coupling import Coupled, Coupling, coupled
from boardgen.rf.curves import complex_permeability, with_measured
from boardgen.rf.elements import NO_LOOPS, Elements
from boardgen.rf.model_coverage import large_cores
from boardgen.rf.parasitic_elements import Added, added
from boardgen.rf.solution import Solution
from boardgen.rf.strip_blocks import Pattern, Strip, as_strip, pattern_of, shared_nets, shared_tree, ties
from boardgen.rf_network.block import Shape, one_object, reduced
from boardgen.rf_network.device_models import Array
from boardgen.rf_network.element import Element
from boardgen.rf_network.terminated_block import TerminatedBlock, terminated

Draws = Mapping[tuple[int, str], Array]
"""Values that stand for a parameter, one for each copy of the board, by position of the element and name."""
NOMINAL: Draws = {}
COUPLINGS = (-1, "scale")
"""Where draws have the factor of all couplings between strips."""
STATED = np.ones(1)
StripState = tuple[str, SelectionState]
"""A strip, "" for the board's own block, and which of its own relays are operated."""


@dataclass(frozen=True)
class Blocks(Mapping[StripState, TerminatedBlock]):
    """Strips in their states, reduced and with their ports ended in their loads, and what couples them."""

    strips: Mapping[StripState, TerminatedBlock]
    coupled: Coupled | None

    def __getitem__(self, key: StripState) -> TerminatedBlock:
        return self.strips[key]

    def __iter__(self) -> Iterator[StripState]:
        return iter(self.strips)

    def __len__(self) -> int:
        return len(self.strips)


class Network(Struct, frozen=True, dict=True):
    """Everything that is solved. `strips` holds each owner's block in every state; the board's own is under "".

    `selections` are the ways to work the board. `couplings` join two strips; their effect on each strip alone is
    among the elements. `chokes` of two strips bound isolation, and are no part of what is solved. `parts` has the
    part's key of each designator.
    """

    elements: tuple[Element, ...]
    ports: tuple[Port, ...]
    shared: tuple[str, ...]
    strips: Mapping[StripState, Strip]
    selections: tuple[Selection, ...]
    permeability: Mapping[str, Permeability]
    port_ohm: Mapping[str, float]
    common_mode_ohm: float
    large_cores: tuple[Part, ...] = ()
    couplings: tuple[Coupling, ...] = ()
    chokes: tuple[ChokePair, ...] = ()
    parts: Mapping[str, str] = {}

    @cached_property
    def antennas(self) -> tuple[str, ...]:
        """The fitted antennas, in order."""
        return tuple(p.strip for p in self.ports if p.strip != "output")

    @cached_property
    def breakers(self) -> frozenset[str]:
        """The strips with a braid breaker."""
        return frozenset(e.owner for e in self.elements if e.law == "transformer")

    def operated(self, antenna: str | None) -> SelectionState:
        """The relays that are operated while that antenna is selected, None for none, and no stage's line is live."""
        return self._operated[antenna]

    @cached_property
    def _operated(self) -> dict[str | None, SelectionState]:
        return {one.antenna: one.operated for one in self.selections if not one.live}

    @cached_property
    def relays(self) -> dict[str, frozenset[str]]:
        """The relays of each owner."""
        found: dict[str, frozenset[str]] = {}
        for owner, operated in self.strips:
            found[owner] = found.get(owner, frozenset()) | operated
        return found

    def own(self, owner: str, operated: SelectionState) -> StripState:
        """The owner's strip in a state of the whole board."""
        return owner, operated & self.relays[owner]

    def blocks(self, frequency_hz: Array, draws: Draws = NOMINAL, boards: int = 1) -> Blocks:
        """Every strip in every state, reduced and with its port ended in its load.

        Parameters
        ----------
        frequency_hz : (points,) Hz
        draws : (boards,) values in the place of a parameter's, by position of the element and name
        boards : how many copies of the board are solved together

        """
        return self._coupled(self._reduced(self.strips, frequency_hz, draws, boards), frequency_hz, draws)

    def state(self, operated: SelectionState, frequency_hz: Array, draws: Draws = NOMINAL, boards: int = 1) -> Blocks:
        """The same for one state of the board alone."""
        wanted = {key: self.strips[key] for owner in self.owners for key in [self.own(owner, operated)]}
        return self._coupled(self._reduced(wanted, frequency_hz, draws, boards), frequency_hz, draws)

    def with_draws(
        self, blocks: Blocks, strip: str, operated: SelectionState, frequency_hz: Array, draws: Draws, boards: int
    ) -> Blocks:
        """The blocks of one board, but those of several for one strip, whose values alone are drawn."""
        key = self.own(strip, operated)
        block = self._reduced({key: self.strips[key]}, frequency_hz, draws, boards)[key]
        coupled = blocks.coupled and blocks.coupled.with_strip(key, block)
        return Blocks({**blocks.strips, key: block}, coupled)

    def _reduced(
        self, strips: Mapping[StripState, Strip], frequency_hz: Array, draws: Draws, boards: int
    ) -> dict[StripState, TerminatedBlock]:
        omega = 2 * np.pi * frequency_hz
        materials = {e.material for e in self.elements if e.material}
        mu = {name: complex_permeability(self.permeability[name], frequency_hz) for name in materials}
        groups: dict[Shape, dict[tuple[object, ...], list[StripState]]] = {}
        for key, strip in strips.items():
            alike = groups.setdefault(strip.shape, {})
            alike.setdefault(self._signature(strip, draws), []).append(key)
        found: dict[StripState, TerminatedBlock] = {}
        for shape, alike in groups.items():
            firsts = [strips[keys[0]] for keys in alike.values()]
            copies = [self._copies(strip, draws, boards) for strip in firsts]
            whole = reduced(shape, self._values(shape, firsts, copies, draws), omega, mu, sum(c.count for c in copies))
            start = 0
            for strip, own, keys in zip(firsts, copies, alike.values(), strict=True):
                matrix = whole[:, :, start : start + own.count]
                start += own.count
                one = self._terminated(strip, matrix)
                one = one if own.of_board is None else one.copied(own.of_board)
                found |= {key: replace(one, probes=strips[key].probes) for key in keys}
        return found

    def _coupled(self, strips: Mapping[StripState, TerminatedBlock], frequency_hz: Array, draws: Draws) -> Blocks:
        scale = draws.get(COUPLINGS, STATED)
        return Blocks(strips, coupled(self.couplings, strips, self.relays, 2 * np.pi * frequency_hz, scale))

    def solve(self, operated: SelectionState, blocks: Blocks) -> Solution:
        """The ports of the board with those relays operated, from blocks of that state at least."""
        strips = {owner: blocks[self.own(owner, operated)] for owner in self.owners}
        return Solution(self.ports, strips, operated, blocks.coupled)

    @cached_property
    def owners(self) -> tuple[str, ...]:
        """The board's own block, where there is one, and every strip."""
        return tuple(dict.fromkeys(owner for owner, _ in self.strips))

    def _signature(self, strip: Strip, draws: Draws) -> tuple[object, ...]:
        """Blocks of one shape and one signature are equal in every board."""
        values: list[object] = [self.port_ohm.get(strip.owner), strip.own, strip.port]
        for at in strip.elements:
            for p in self.elements[at].parameters:
                drawn = draws.get((at, p.name)) if draws else None
                values.append(p.value if drawn is None else drawn.tobytes())
        return tuple(values)

    def _copies(self, strip: Strip, draws: Draws, boards: int) -> _Copies:
        """Which boards differ from the first one in this strip."""
        differs = np.zeros(boards, bool)
        for at in strip.elements if draws else ():
            for p in self.elements[at].parameters:
                if (drawn := draws.get((at, p.name))) is not None:
                    differs |= drawn != drawn[0]
        unlike = np.flatnonzero(differs)
        if unlike.size == boards - 1:
            return _Copies(np.arange(boards), None)
        of_board = np.zeros(boards, int)
        of_board[unlike] = np.arange(1, unlike.size + 1)
        return _Copies(np.array([0, *unlike]), of_board)

    def _values(
        self, shape: Shape, strips: Sequence[Strip], copies: Sequence[_Copies], draws: Draws
    ) -> list[dict[str, Array]]:
        """The parameters of each group of slots by name, (slots, copies, 1), strip by strip."""
        ends = list(accumulate(own.count for own in copies))
        values = []
        for group in shape.groups:
            first = self.elements[strips[0].elements[group.slots[0]]]
            found = {p.name: np.empty((len(group.slots), ends[-1], 1)) for p in first.parameters}
            for row, slot in enumerate(group.slots):
                for strip, own, end in zip(strips, copies, ends, strict=True):
                    at = strip.elements[slot]
                    for p in self.elements[at].parameters:
                        drawn = draws.get((at, p.name)) if draws else None
                        place = found[p.name][row, end - own.count : end, 0]
                        place[:] = p.value if drawn is None else drawn[own.boards]
            values.append(found)
        return values

    def _terminated(self, strip: Strip, matrix: Array) -> TerminatedBlock:
        loads = (self.port_ohm.get(strip.owner, np.inf), self.common_mode_ohm)
        return terminated(matrix, strip.own, strip.port, loads)


class _Copies(Struct, frozen=True):
    """The boards for which a strip is reduced, and for each board which of these it is; None where each is its own."""

    boards: Array
    of_board: Array | None

    @property
    def count(self) -> int:
        return int(self.boards.size)


def network(
    request: Request,
    choices: Choices,
    netlist: Netlist,
    common_mode_ohm: float | None = None,
    parasitics: Parasitics | None = None,
) -> Network:
    """The network of a board.

    Parameters
    ----------
    netlist : its fitted parts and ports
    common_mode_ohm : what each port's common mode is ended in, from braid to 0V, ohm; the band's impedance by default
    parasitics : what its layout adds; none by default

    Raises
    ------
    KeyError
        Where a part lacks a figure that its kind needs.

    """
    maker = Elements(request, choices, netlist, parasitics.loops if parasitics else NO_LOOPS)
    ports = tuple(p for p in netlist.ports if netlist.component[p.ref].fitted)
    fixed = maker.fixed()
    states = _own_states(netlist, [p.strip for p in ports])
    moving = {(strip, on): maker.contacts(strip, on) for strip, some in states.items() for on in some}
    moved = [e for some in moving.values() for e in some]
    layout = added(parasitics, (*fixed, *moved), ports) if parasitics else Added()
    fixed = (*fixed, *layout.elements)
    elements = (*fixed, *moved)
    shared = shared_nets(elements, ports)
    tree = shared_tree(shared, netlist.braid_of)
    band, tables = request.spec.band, with_measured(request.catalogue.permeability, request.measured)
    middle_hz = (band.lowest * band.highest) ** 0.5
    by_strip = {p.strip: p for p in ports}
    strips: dict[StripState, Strip] = {}
    alike: dict[Pattern, Strip] = {}
    tied = ties(elements, middle_hz, tables)
    still: dict[str, dict[int, Element]] = {}
    for at, element in enumerate(fixed):
        still.setdefault(element.owner, {})[at] = element
    starts = accumulate((len(some) for some in moving.values()), initial=len(fixed))
    moved_from = dict(zip(moving, starts, strict=False))
    for owner in dict.fromkeys([*(e.owner for e in elements), *by_strip]):
        probes = layout.probes(owner)
        for on in states.get(owner, (AT_REST,)):
            chosen = still.get(owner, {}) | dict(enumerate(moving.get((owner, on), ()), moved_from.get((owner, on), 0)))
            port = by_strip.get(owner)
            pattern = pattern_of(port, chosen.values(), shared, probes)
            if pattern not in alike:
                strip = as_strip(owner, port, chosen, tree, [tie for at in chosen for tie in tied[at]], probes)
                alike[pattern] = replace(strip, shape=one_object(strip.shape))
            strips[owner, on] = replace(alike[pattern], owner=owner, elements=tuple(chosen), probes=probes)
    loads = {s.label: s.impedance for s in request.strips}
    ohm = band.impedance if common_mode_ohm is None else common_mode_ohm
    own_loads = {p.strip: loads[p.strip] for p in ports}
    large = large_cores(request, netlist)
    chokes = parasitics.chokes if parasitics else ()
    parts = {c.ref: c.part.key for c in netlist.components if c.fitted}
    across = (layout.couplings, chokes)
    return Network(elements, ports, shared, strips, netlist.selections, tables, own_loads, ohm, large, *across, parts)


def _own_states(netlist: Netlist, strips: Sequence[str]) -> dict[str, tuple[SelectionState, ...]]:
    """Which of its own relays may be operated together in each strip, none of them first."""
    refs = {c.ref: c.subject.strip for c in netlist.of_kind("relay") if c.fitted}
    return {
        strip: tuple(
            dict.fromkeys(
                frozenset(ref for ref in selection.operated if refs[ref] == strip) for selection in netlist.selections
            )
        )
        for strip in strips
    }

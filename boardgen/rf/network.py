"""The network of a board, solved for its ports in any selection state, all frequencies at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from boardgen.catalogue import Permeability
from boardgen.model.choices import Choices
from boardgen.model.netlist import Netlist, Port
from boardgen.model.part import Part
from boardgen.model.strays import Strays
from boardgen.rf.block import Shape, reduced
from boardgen.rf.closed import Closed, closed
from boardgen.rf.coupling import Coupling
from boardgen.rf.curves import complex_permeability, with_measured
from boardgen.rf.element import Element
from boardgen.rf.elements import NO_RUNS, Elements
from boardgen.rf.large_core import large_cores
from boardgen.rf.laws import Array, Values
from boardgen.rf.layout import Added, added
from boardgen.rf.parts import Strip, as_strip, shared_nets
from boardgen.rf.solution import Solution
from boardgen.sizing.request import Request

Draws = Mapping[tuple[int, str], Array]
"""Values that stand for a parameter, one for each copy of the board, by position of the element and name."""
NOMINAL: Draws = {}


@dataclass(frozen=True)
class Network:
    """Everything that is solved. `strips` holds each owner's block idle and selected; the board's own is under "".

    `couplings` join two strips; their effect on each strip alone is among the elements.
    """

    elements: tuple[Element, ...]
    ports: tuple[Port, ...]
    shared: tuple[str, ...]
    strips: Mapping[tuple[str, bool], Strip]
    permeability: Mapping[str, Permeability]
    port_ohm: Mapping[str, float]
    common_mode_ohm: float
    large_cores: tuple[Part, ...] = ()
    couplings: tuple[Coupling, ...] = ()

    @cached_property
    def antennas(self) -> tuple[str, ...]:
        """The fitted antennas, in order."""
        return tuple(p.strip for p in self.ports if p.strip != "output")

    @cached_property
    def breakers(self) -> frozenset[str]:
        """The strips with a braid breaker."""
        return frozenset(e.owner for e in self.elements if e.law == "transformer")

    def blocks(self, frequency_hz: Array, draws: Draws = NOMINAL, boards: int = 1) -> Mapping[tuple[str, bool], Closed]:
        """Every strip idle and selected, reduced and with its port ended in its load."""
        return self._reduced(self.strips, frequency_hz, draws, boards)

    def state(
        self, selected: str | None, frequency_hz: Array, draws: Draws = NOMINAL, boards: int = 1
    ) -> Mapping[tuple[str, bool], Closed]:
        """The same for one selection state alone."""
        wanted = {key: strip for key, strip in self.strips.items() if key[1] == (key[0] == selected)}
        return self._reduced(wanted, frequency_hz, draws, boards)

    def _reduced(
        self, strips: Mapping[tuple[str, bool], Strip], frequency_hz: Array, draws: Draws, boards: int
    ) -> Mapping[tuple[str, bool], Closed]:
        omega = 2 * np.pi * frequency_hz
        materials = {e.material for e in self.elements if e.material}
        mu = {name: complex_permeability(self.permeability[name], frequency_hz) for name in materials}
        groups: dict[Shape, dict[tuple[object, ...], list[tuple[str, bool]]]] = {}
        for key, strip in strips.items():
            alike = groups.setdefault(strip.shape, {})
            alike.setdefault(self._signature(strip, draws), []).append(key)
        found: dict[tuple[str, bool], Closed] = {}
        for shape, alike in groups.items():
            firsts = [strips[keys[0]] for keys in alike.values()]
            matrices = reduced(shape, self._values(firsts, draws, boards), omega, mu, len(firsts) * boards)
            for number, keys in enumerate(alike.values()):
                own = matrices[:, :, number * boards : (number + 1) * boards]
                for key in keys:
                    found[key] = self._closed(strips[key], own, omega)
        return found

    def solve(self, selected: str | None, blocks: Mapping[tuple[str, bool], Closed]) -> Solution:
        """The ports of the board with that antenna selected, or none."""
        strips = {o: blocks[o, o == selected] for o in self.owners}
        return Solution(self.ports, strips, selected, self.couplings)

    @cached_property
    def owners(self) -> tuple[str, ...]:
        """The board's own block, where there is one, and every strip."""
        return tuple(dict.fromkeys(owner for owner, _ in self.strips))

    def _signature(self, strip: Strip, draws: Draws) -> tuple[object, ...]:
        """Blocks of one signature are equal in every board."""
        if any((at, p.name) in draws for at in strip.elements for p in self.elements[at].parameters):
            return (strip.owner, strip.elements)
        load = self.port_ohm.get(strip.owner)
        return (load, *(p.value for at in strip.elements for p in self.elements[at].parameters))

    def _values(self, strips: list[Strip], draws: Draws, boards: int) -> tuple[Values, ...]:
        """For each slot its parameters by name, one row for each copy: strip by strip, board by board."""
        ones = np.ones(boards)
        values = []
        for place in zip(*(strip.elements for strip in strips), strict=True):
            rows: dict[str, list[Array]] = {}
            for at in place:
                for p in self.elements[at].parameters:
                    drawn = draws.get((at, p.name)) if draws else None
                    rows.setdefault(p.name, []).append(p.value * ones if drawn is None else drawn)
            values.append({name: np.concatenate(row)[:, None] for name, row in rows.items()})
        return tuple(values)

    def _closed(self, strip: Strip, matrix: Array, omega: Array) -> Closed:
        loads = (self.port_ohm.get(strip.owner, np.inf), self.common_mode_ohm)
        return replace(closed(matrix, strip.own, strip.port, loads), probes=strip.probes, omega=omega)


def network(
    request: Request,
    choices: Choices,
    netlist: Netlist,
    common_mode_ohm: float | None = None,
    strays: Strays | None = None,
) -> Network:
    """The network of a board. Each common-mode port is ended in `common_mode_ohm`, by default the band's impedance.

    `strays` are what its layout adds.
    """
    maker = Elements(request, choices, netlist, strays.runs if strays else NO_RUNS)
    ports = tuple(p for p in netlist.ports if netlist.component[p.ref].fitted)
    antennas = [p.strip for p in ports if p.strip != "output"]
    fixed = maker.fixed()
    moving = {(s, on): maker.contacts(s, on) for s in antennas for on in (False, True)}
    moved = [e for some in moving.values() for e in some]
    layout = added(strays, (*fixed, *moved), ports) if strays else Added()
    fixed = (*fixed, *layout.elements)
    elements = (*fixed, *moved)
    shared = shared_nets(elements, ports)
    band, tables = request.spec.band, with_measured(request.catalogue.permeability, request.measured)
    middle_hz = (band.lowest * band.highest) ** 0.5
    by_strip = {p.strip: p for p in ports}
    strips: dict[tuple[str, bool], Strip] = {}
    shapes: dict[Shape, Shape] = {}
    for owner in dict.fromkeys([*(e.owner for e in elements), *by_strip]):
        for on in (False, True) if owner in antennas else (False,):
            start = len(fixed)
            chosen = {n: e for n, e in enumerate(fixed) if e.owner == owner}
            for key, some in moving.items():
                if key == (owner, on):
                    chosen |= {start + n: e for n, e in enumerate(some)}
                start += len(some)
            strip = as_strip(owner, by_strip.get(owner), chosen, shared, middle_hz, tables, layout.probes(owner))
            # one object a shape, so that looking it up compares nothing
            strips[owner, on] = replace(strip, shape=shapes.setdefault(strip.shape, strip.shape))
    loads = {s.label: s.impedance for s in request.strips}
    ohm = band.impedance if common_mode_ohm is None else common_mode_ohm
    own_loads = {p.strip: loads[p.strip] for p in ports}
    large = large_cores(request, netlist)
    return Network(elements, ports, shared, strips, tables, own_loads, ohm, large, layout.couplings)

"""Everything that is predicted of one board, worked out from its own netlist."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.circuit.rules.direct_current import nothing_floats
from boardgen.model.choices import Choices
from boardgen.model.netlist import Netlist
from boardgen.model.parasitics import Parasitics
from boardgen.model.problem import Place, Problem
from boardgen.request import Request
from boardgen.rf.assumed_parasitics import assumed_parasitics
from boardgen.rf.attenuation import Attenuation, attenuations
from boardgen.rf.bounds import Bounds
from boardgen.rf.clamp_on import Choke, clamp_on
from boardgen.rf.feed_path import FeedPath, feed_paths
from boardgen.rf.grid import grid, within
from boardgen.rf.judge import Judged, judge, judged_curves, worst
from boardgen.rf.model_coverage import large_core_warnings, unmodelled
from boardgen.rf.network import Network, network
from boardgen.rf.outside_filter import OutsideFilter, outside_filters
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.receive_path import PathPoint, path_points
from boardgen.rf.response import Response, predict
from boardgen.rf.sensitivity import Limit, limits
from boardgen.rf.spice_netlist import spice_netlist
from boardgen.rf.strong_signals import Product, StrongSignal, cautions, products, strong_signals
from boardgen.rf.target_report import falls_short
from boardgen.rf.temperature import OverTemperature, over_temperature
from boardgen.rf.tolerance import Tolerance, tolerance
from boardgen.rf.verdict import Verdict
from boardgen.rf_network.device_models import Array
from boardgen.sizing.size import size
from boardgen.stages.braid_breaker import BOARD_END, PORT_END
from boardgen.stages.braid_breaker import NAME as BRAID_BREAKER
from boardgen.stages.lines import ac_ground_nets

FILE_POINTS = 101
ISOLATION = "isolation"
NEXT_TO_NOTHING = 1e-6
"""Share of a capacitor that is as good as none, and leaves the network its shape."""
FIRST = ""
"""Stands for the first antenna where a state is chosen; no label is empty."""


class Prediction(Struct, frozen=True, dict=True):
    """One board predicted; every step is worked out when it is first asked for.

    `parasitics` are what its layout adds; without them they are assumed.
    """

    request: Request
    choices: Choices
    netlist: Netlist
    parasitics: Parasitics | None = None

    @cached_property
    def network(self) -> Network:
        """The network that is solved."""
        added = self.parasitics
        if added is None:
            added = assumed_parasitics(self.netlist, ac_ground_nets(self.request))
        return network(self.request, self.choices, self.netlist, parasitics=added)

    @cached_property
    def response(self) -> Response:
        """Every quantity over the band and beyond."""
        return predict(self.request.spec, self.network)

    @cached_property
    def without_compensation(self) -> Response | None:
        """The return loss without the capacitors at the transformers; None where there are none."""
        at_transformers = {
            c.ref
            for c in self.netlist.of_kind("capacitor")
            if c.fitted and c.subject.stage == BRAID_BREAKER and c.subject.slot in (PORT_END, BOARD_END)
        }
        if not at_transformers:
            return None
        elements = tuple(
            replace(element, parameters=tuple(replace(p, value=p.value * NEXT_TO_NOTHING) for p in element.parameters))
            if element.ref in at_transformers
            else element
            for element in self.network.elements
        )
        bare = replace(self.network, elements=elements)
        return predict(self.request.spec, bare, self.response.frequency_hz, {"return loss"})

    @cached_property
    def judged(self) -> tuple[Judged, ...]:
        """The targets against the response."""
        return judge(self.request.spec, self.response)

    @cached_property
    def bounds(self) -> Bounds:
        """How far every figure may be off."""
        return Bounds(self.request.spec, self.response, self.judged)

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """The targets with their bounds."""
        return self.bounds.verdicts

    @cached_property
    def limits(self) -> tuple[Limit, ...]:
        """What limits each judged figure."""
        return limits(self.request.spec, self.network, [j for j in self.judged if j.achieved is not None])

    @cached_property
    def feeds(self) -> tuple[FeedPath, ...]:
        """Resistance and drop of each feed."""
        return feed_paths(self.request, self.netlist)

    @cached_property
    def path(self) -> tuple[PathPoint, ...]:
        """The way to the receiver and the noise floor; empty where no cable is named."""
        return path_points(self.request.spec, self.response, self.request.measured.get("cable"))

    @cached_property
    def clamp_on(self) -> tuple[Choke, ...]:
        """Cores on the coax beside the braid breaker; empty where no cable is named."""
        return clamp_on(self.request, self.response)

    @cached_property
    def attenuations(self) -> tuple[Attenuation, ...]:
        """Every set of steps of the attenuator; empty without one."""
        return attenuations(self.request.spec, self.network, self.netlist)

    @cached_property
    def strong_signals(self) -> tuple[StrongSignal, ...]:
        """What each transmitter of the specification does to the board and its amplifier."""
        return strong_signals(self.request, self.choices, self.response)

    @cached_property
    def third_order(self) -> tuple[Product, ...]:
        """Their products in the amplifier that fall into the band."""
        return products(self.request.spec, self.response, self.strong_signals)

    @cached_property
    def outside_filters(self) -> tuple[OutsideFilter, ...]:
        """Filters behind the board that would hold transmitters outside of its band."""
        return outside_filters(self.request, self.strong_signals)

    @cached_property
    def islands(self) -> tuple[tuple[str, str], ...]:
        """Nets that float at DC, with their sentences."""
        return tuple(nothing_floats(self.request, self.netlist))

    @cached_property
    def isolation_by_relays(self) -> Mapping[int, float]:
        """Worst isolation by the parts alone with one relay and with two in series, dB, as sized anew for each.

        Empty where two cannot be had or nothing is idle.
        """
        if self.request.spec.switching.rest is not None:
            return {}
        found = {}
        for count in (1, 2):
            switching = self.request.spec.switching.model_copy(update={"relays_in_series": count})
            request = replace(self.request, spec=self.request.spec.model_copy(update={"switching": switching}))
            choices = size(request)
            other = Prediction(request, choices, freeze(request, compose(request, choices)))
            response = predict(request.spec, other.network, quantities={ISOLATION})
            judged = next(one for one in judge(request.spec, response) if one.quantity == ISOLATION)
            if judged.achieved is None:
                return {}
            found[count] = judged.achieved
        return found

    @cached_property
    def over_temperature(self) -> OverTemperature | None:
        """The judged figures in the coldest and the hottest surroundings; None without a core."""
        catalogue = self.request.catalogue
        material_of = {c.part.key: c.part.attributes["material"] for c in self.netlist.of_kind("core")}
        return over_temperature(self.request.spec, self.network, catalogue.permeability, material_of)

    @cached_property
    def problems(self) -> tuple[Problem, ...]:
        """Each target that is not met, in one paragraph with numbers, and what the models do not know."""
        short = {one.target for one in self.judged if one.state == "falls short"}
        missed = (
            Problem(
                "R001 target", "shortfall", Place(key=f"targets.{one.judged.target}"), falls_short(one, self.netlist)
            )
            for one in (self.limits if short else ())
            if one.judged.target in short
        )
        found = self.over_temperature
        colder_or_hotter = (
            Problem(
                "R008 temperature",
                "warning",
                Place(key=f"targets.{one.target}"),
                f"{one.target.replace('_', ' ')} holds at 25 degC and not with the cores at {celsius:g} degC",
                "",
                "More turns or another core leave room for it; the table over temperature has the figures.",
            )
            for one in self.judged
            if found is not None and (celsius := found.misses(one)) is not None
        )
        unknown = unmodelled(self.netlist, self.network.elements, ac_ground_nets(self.request))
        large = large_core_warnings(self.request, self.netlist)
        return (*missed, *colder_or_hotter, *large, *unknown, *cautions(self.strong_signals, self.third_order))

    def drawn(self, boards: int, *, strays: bool = False) -> Tolerance:
        """So many boards with their parts drawn."""
        return tolerance(self.request.spec, self.network, boards, strays=strays)

    def antenna(self, selected: str | None) -> str | None:
        """The antenna that is selected: the first for FIRST, none for None."""
        return self.network.antennas[0] if selected == FIRST else selected

    def s_matrix(
        self, selected: str | None = FIRST, live: tuple[str, ...] = ()
    ) -> tuple[Array, Array, tuple[str, ...]]:
        """Frequencies, S (points, n, n) with every terminal referred to the band's impedance, and its terminals.

        `live` are lines of stages that are live beside the antenna's.
        """
        ohm = self.request.spec.band.impedance
        same = replace(self.network, port_ohm=dict.fromkeys(self.network.port_ohm, ohm), common_mode_ohm=ohm)
        points = grid(self.request.spec, same, FILE_POINTS)
        operated = self.netlist.select(self.antenna(selected), live).operated
        solution = same.solve(operated, same.state(operated, points))
        names = tuple(f"{strip} {mode}" for strip, mode in solution.terminals)
        return points, solution.matrix()[0], names

    def spice_netlist(self, selected: str | None = FIRST, live: tuple[str, ...] = ()) -> str:
        """The network in that state for a general circuit simulator; lines end in a newline."""
        points = self.response.frequency_hz
        sweep = f"lin {FILE_POINTS} {float(points[0])!r} {float(points[-1])!r}"
        return spice_netlist(
            self.network, self.netlist.select(self.antenna(selected), live), self.request.spec.title, sweep
        )

    def worst_in_band(self, quantity: str) -> tuple[float, float] | None:
        """The worst figure of a quantity anywhere in the band, the split at its worst, and its frequency in Hz."""
        band, points = self.request.spec.band, self.response.frequency_hz
        inside = within(points, band.lowest, band.highest)
        larger = QUANTITIES[quantity].larger_is_better
        found = [worst(QUANTITIES[quantity], curve) for curve in judged_curves(self.response, QUANTITIES[quantity])]
        if not found:
            return None
        whole = np.min(found, axis=0) if larger else np.max(found, axis=0)
        at = int(np.argmin(np.where(inside, whole, np.inf)) if larger else np.argmax(np.where(inside, whole, -np.inf)))
        return float(whole[at]), float(points[at])

    def worst(self, quantity: str, frequency_hz: float) -> tuple[float, str, str] | None:
        """The worst figure of a quantity near a frequency, as targets judge it; the antenna selected, and the port."""
        at, asked = self.response.at(frequency_hz), QUANTITIES[quantity]
        curves = judged_curves(self.response, asked)
        if not curves:
            return None
        values = [float(worst(asked, curve)[at]) for curve in curves]
        number = int(np.argmin(values) if asked.larger_is_better else np.argmax(values))
        return values[number], curves[number].selected, curves[number].port

    def figure(self, quantity: str, selected: str, port: str, frequency_hz: float) -> float:
        """A quantity at one port near a frequency with that antenna selected, as targets are judged."""
        curve = self.response.by_place[quantity, selected, port]
        return float(worst(QUANTITIES[quantity], curve)[self.response.at(frequency_hz)])

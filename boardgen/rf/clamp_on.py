"""Cores on the coax of an antenna, by complex permeability, beside the braid breaker that the board has for it.

A choke is its winding with a capacitance across it; so many alike in series are so many times that. In series with the
braid breaker both add as phasors: a choke that is still inductive may cancel a part of a capacitive breaker.
"""

from __future__ import annotations

import math
from itertools import product

import numpy as np
from msgspec import Struct

from boardgen.handbook import ring_core
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M
from boardgen.model.part import Part
from boardgen.request import Request
from boardgen.rf.curves import complex_permeability
from boardgen.rf.grid import within
from boardgen.rf.response import Response
from boardgen.rf_network.device_models import Array

CAPACITANCE_F = (2e-12, 5e-12, 10e-12)
"""Across several turns of coax on a ring, least, typical and most: assumed; a bead on a straight coax has none."""
SCALE = (0.75, 1.0, 1.25)
"""Permeability over its table: the makers' 20 to 25 % (recalled)."""
MOST_TURNS = 8
"""So many turns of coax are wound on one ring; more are rarely seen: assumed."""
HELPS = 1.1
"""A choke beside a braid breaker helps where both together have so many times its ohms: assumed."""


class Span(Struct, frozen=True):
    """A figure with the least and the most that permeability and capacitance may make of it."""

    value: float
    low: float
    high: float


class Choke(Struct, frozen=True):
    """So many turns of the coax on one core.

    Parameters
    ----------
    least_ohm : its common-mode impedance where that is least in the band
    equal : so many in series have at every frequency of the band what the breaker has; None where there is no breaker
    hinders_hz, helps_hz : first and last frequency at which one beside the breaker makes less, or a tenth more of it

    """

    part: Part
    turns: int
    mass_kg: float
    least_ohm: Span
    equal: Span | None
    hinders_hz: tuple[float, float] | None
    helps_hz: tuple[float, float] | None


def clamp_on(request: Request, response: Response) -> tuple[Choke, ...]:
    """The catalogue's cores that the main coax goes through, each with the turns that make most of it.

    Empty where no cable is named or its jacket is not known; all antennas are taken to have that coax.

    Source: boardgen.handbook.ring_core; the tables of permeability name their own.
    """
    cable = request.spec.feeder.cable
    jackets = [
        part.figures["outer diameter"].value
        for part in request.catalogue.of_kind("cable")
        if part.attributes.get("feeder") == cable and "outer diameter" in part.figures
    ]
    if cable is None or not jackets:
        return ()
    band = request.spec.band
    points = response.frequency_hz[within(response.frequency_hz, band.lowest, band.highest)]
    breaker = _breaker_ohm(response, points)
    found = [
        max((_choke(request, part, n, points, breaker) for n in turns), key=lambda one: one.least_ohm.low)
        for part in request.catalogue.of_kind("clamp-on core")
        if _is_known(request, part, points) and (turns := _turns(part, jackets[0]))
    ]
    return tuple(found)


def _turns(core: Part, cable_m: float) -> range:
    """Each that the hole takes; a bead is slipped over once."""
    fitting = ring_core.turns_in_hole(core.figures["inner diameter"].value, cable_m)
    return range(1, min(fitting, 1 if core.attributes["form"] == "bead" else MOST_TURNS) + 1)


def _is_known(request: Request, core: Part, points: Array) -> bool:
    table = request.catalogue.permeability.get(core.attributes["material"])
    return table is not None and table.frequencies_hz[0] <= points[0] and points[-1] <= table.frequencies_hz[-1]


def _breaker_ohm(response: Response, points: Array) -> Array | None:
    """Impedance from the braid of the selected antenna to 0V whose breaker has least; None where no antenna has one."""
    network = response.network
    antennas = [antenna for antenna in network.antennas if antenna in network.breakers]
    if not antennas:
        return None
    blocks = network.blocks(points)
    of: list[Array] = [network.solve(network.operated(a), blocks).input_ohm((a, "common"))[0] for a in antennas]
    return min(of, key=lambda ohm: float(np.abs(ohm).min()))


def _choke(request: Request, core: Part, turns: int, points: Array, breaker: Array | None) -> Choke:
    sizes = [core.figures[name].value for name in ("outer diameter", "inner diameter", "height")]
    table = request.catalogue.permeability[core.attributes["material"]]
    henry = MAGNETIC_CONSTANT_H_PER_M * ring_core.path_constant_m(*sizes) * turns**2
    wound = 2j * np.pi * points * henry * complex_permeability(table, points)
    farads = CAPACITANCE_F if turns > 1 else (0.0,) * 3
    nominal = _across(wound * SCALE[1], points, farads[1])
    corners = [_across(wound * s, points, c) for s, c in product((SCALE[0], SCALE[2]), (farads[0], farads[2]))]
    least = [float(np.abs(ohm).min()) for ohm in (nominal, *corners)]
    equal, hinders, helps = None, None, None
    if breaker is not None:
        counts = [math.ceil(float((np.abs(breaker) / np.abs(ohm)).max()) - 1e-9) for ohm in (nominal, *corners)]
        equal = Span(counts[0], min(counts), max(counts))
        share = np.abs(breaker + nominal) / np.abs(breaker)
        hinders, helps = _where(points, share < 1), _where(points, share >= HELPS)
    return Choke(
        core, turns, ring_core.mass_kg(*sizes), Span(least[0], min(least), max(least)), equal, hinders, helps
    )  # fmt: skip


def _across(ohm: Array, points: Array, farad: float) -> Array:
    """With that capacitance across it."""
    result: Array = ohm / (1 + 2j * np.pi * points * farad * ohm)
    return result


def _where(points: Array, true: Array) -> tuple[float, float] | None:
    """The first and last frequency at which it holds."""
    held = points[true]
    return (float(held[0]), float(held[-1])) if held.size else None

"""What a practitioner asks of a board, read off its solutions."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Final

import numpy as np
from msgspec import Struct

from boardgen.rf.network import Blocks, Network
from boardgen.rf.solution import Solution
from boardgen.rf_network.device_models import Array

OUTPUT: Final = "output"


class Quantity(Struct, frozen=True):
    """A quantity: its unit, the target that judges it ("" for none), which way is better, and what it means."""

    name: str
    unit: str
    target: str
    larger_is_better: bool
    meaning: str


QUANTITIES: Final[Mapping[str, Quantity]] = {
    q.name: q
    for q in (
        Quantity("insertion loss", "dB", "insertion_loss", False, "selected antenna to output, both matched"),
        Quantity("return loss", "dB", "return_loss", True, "at a port of the selected path, the other end matched"),
        Quantity("isolation", "dB", "isolation", True, "idle antenna, differential, to the output"),
        Quantity("idle common mode", "dB", "", True, "common mode on an idle coax to the output, differential"),
        Quantity("common-mode impedance", "ohm", "common_mode", True, "from a coax braid to 0V"),
        Quantity("mode conversion", "dB", "", True, "common mode on the selected coax to the output, differential"),
    )
}
"""By name, in the order in which they are shown."""


class Reading(Struct, frozen=True):
    """One quantity at one port with one antenna selected; `values` is (boards, points)."""

    quantity: str
    selected: str
    port: str
    values: Array


def readings(
    network: Network, blocks: Blocks, quantities: Collection[str] = QUANTITIES, states: Collection[str] = ()
) -> Iterator[Reading]:
    """These quantities in selection states.

    Parameters
    ----------
    blocks : every strip in every state, as `Network.blocks` reduces them at some frequencies
    quantities : names out of QUANTITIES
    states : the antennas that are selected, one a state; every one by default

    Returns
    -------
    Readings whose values are (boards, points); equal ones share one array.

    """
    known: dict[tuple[object, ...], Array] = {}
    for selected in states or network.antennas:
        solution = network.solve(network.operated(selected), blocks)
        # where nothing couples strips, those that are one block read the same, in every state of the same blocks; told
        # by identity this saves a tenth of `response` for 16 antennas, and half of a refinement that tries many boards
        state = selected if blocks.coupled else tuple(sorted(id(block.shared) for block in solution.strips.values()))
        for name, port in ports_of(network, selected):
            if name in quantities:
                key = (name, state, port if blocks.coupled else id(solution.strips[port].transfer))
                if key not in known:
                    known[key] = read(solution, name, port)
                yield Reading(name, selected, port, known[key])


def ports_of(network: Network, selected: str) -> Iterator[tuple[str, str]]:
    """Each quantity with the ports at which it is read in that state."""
    idle = [a for a in network.antennas if a != selected]
    yield "insertion loss", selected
    yield "return loss", selected
    yield "return loss", OUTPUT
    for port in idle:
        yield "isolation", port
        yield "idle common mode", port
    for port in (selected, OUTPUT):
        yield "common-mode impedance", port
    yield "mode conversion", selected


def judged_at(network: Network, quantity: str, port: str) -> bool:
    """Whether a target judges the quantity there: a braid that nothing breaks is bonded on purpose."""
    return quantity != "common-mode impedance" or port in network.breakers


def read(solution: Solution, quantity: str, port: str) -> Array:
    """One quantity at a port: (boards, points), dB or ohm as QUANTITIES has it."""
    return figure(quantity, phasor(solution, quantity, port))


def phasor(solution: Solution, quantity: str, port: str) -> Array:
    """What a quantity is the magnitude of, (boards, points): an S parameter, or the siemens from a braid to 0V."""
    if quantity == "return loss":
        return solution.s((port, "differential"), (port, "differential"))
    if quantity == "common-mode impedance":
        return 1 / solution.input_ohm((port, "common"))
    mode = "common" if quantity in ("idle common mode", "mode conversion") else "differential"
    return solution.s((OUTPUT, "differential"), (port, mode))  # type: ignore[arg-type]


def figure(quantity: str, phasors: Array) -> Array:
    """The quantity of such phasors, dB or ohm."""
    if quantity == "common-mode impedance":
        result: Array = 1 / np.maximum(np.abs(phasors), 1e-20)
        return result
    return loss_db(phasors)


def loss_db(wave: Array) -> Array:
    """How far a wave lies below one, in dB; 400 where it is nothing."""
    return -20 * np.log10(np.maximum(np.abs(wave), 1e-20))

"""Capacitance, inductance and resistance of the copper of a board not laid out yet, by the number of its antennas.

Read off boards of this program's own layout, two to eight antennas in a row, 75 ohm: their copper as its field and its
coplanar strips give it. Sizing of compensation and the prediction before layout take the same figures.
"""

from __future__ import annotations

from typing import Final

from msgspec.structs import replace

from boardgen.kinds.kind import assumed
from boardgen.model.figure import Figure
from boardgen.model.parasitics import CopperLoop

_LAID: Final = "as on boards of the two-layer layout, until the board itself is laid out"
PORT_COPPER: Final = assumed(2e-12, "F", 1e-12, 3.5e-12, f"each conductor of an antenna's port to 0V, {_LAID}")
PORT_PAIR: Final = assumed(0.65e-12, "F", 0.3e-12, 1.2e-12, f"from centre to braid of a port, {_LAID}")
LONG_COPPER: Final = assumed(2.6e-12, "F", 1e-12, 5e-12, f"each conductor of the output or a feed to 0V, {_LAID}")
STRIP_COPPER: Final = assumed(1e-12, "F", 0.4e-12, 1.8e-12, f"each conductor at a relay's contact to 0V, {_LAID}")
STRIP_PAIR: Final = assumed(0.3e-12, "F", 0.15e-12, 0.6e-12, f"from pole to pole of a relay, {_LAID}")
_RUN: Final = assumed(124e-9, "H", 99e-9, 160e-9, f"loop of copper from a port to the output, {_LAID}")
_RUN_STEP_H: Final = 8.6e-9
"""How much longer the loop is from each antenna further away."""
_ATTENUATOR_STEP_H: Final = 50e-9
"""How much longer each step of an attenuator makes it, 41 to 62 nH on laid boards."""
_TRACKS: Final = assumed(0.22, "ohm", 0.13, 0.35, f"tracks from a port to the output and back, {_LAID}")
_TRACKS_STEP_OHM: Final = 10e-3
_ATTENUATOR_STEP_OHM: Final = 75e-3
_TRACKS_WIDTH_M: Final = 0.8e-3
"""Of even tracks that would be as long and have that resistance."""
_TRACKS_GAP_M: Final = 0.4e-3
_BUS: Final = assumed(2e-12, "F", 1e-12, 4e-12, f"each conductor of the bus to 0V, {_LAID}")
_BUS_STEP_F: Final = 1.8e-12
_BETWEEN: Final = assumed(1e-12, "F", 0.5e-12, 2e-12, f"from centre to braid of the bus, {_LAID}")
_BETWEEN_STEP_F: Final = 0.6e-12


def run_copper(antennas_beyond: int, attenuator_steps: int) -> Figure:
    """Loop inductance of centre and braid from an antenna's port to the output's, with so many antennas between."""
    return _with(_RUN, antennas_beyond * _RUN_STEP_H + attenuator_steps * _ATTENUATOR_STEP_H)


def copper_loop(antennas_beyond: int, attenuator_steps: int) -> CopperLoop:
    """The same loop with its resistance."""
    ohm = _with(_TRACKS, antennas_beyond * _TRACKS_STEP_OHM + attenuator_steps * _ATTENUATOR_STEP_OHM)
    return CopperLoop(run_copper(antennas_beyond, attenuator_steps), ohm, _TRACKS_WIDTH_M, _TRACKS_GAP_M)


def bus_to_0v(antennas: int) -> Figure:
    """Capacitance of each conductor of the bus to 0V."""
    return _with(_BUS, antennas * _BUS_STEP_F)


def bus_between(antennas: int) -> Figure:
    """Capacitance between the conductors of the bus."""
    return _with(_BETWEEN, antennas * _BETWEEN_STEP_F)


def _with(figure: Figure, more: float) -> Figure:
    """A figure that is larger by so much, its range with it."""
    share = 1 + more / figure.value
    return replace(figure, value=share * figure.value, low=share * figure.least, high=share * figure.most)

"""What a layout adds to the circuit, as plain values."""

from __future__ import annotations

import math
from collections.abc import Mapping

from msgspec import Struct

from boardgen.model.figure import Figure


class CopperLoop(Struct, frozen=True):
    """The loop of centre and braid from an antenna's port to the output's.

    `inductance` in henries; `resistance` of both conductors together to direct current at 20 degC, in ohms. At radio
    frequencies the copper counts as two strips `width_m` wide and `gap_m` apart in one plane.
    """

    inductance: Figure
    resistance: Figure
    width_m: float
    gap_m: float


class ChokePair(Struct, frozen=True):
    """Two open chokes of different strips: designators, how far apart their axes stand, and their coupling at most.

    `volume_m3` is that of the larger body, `inductance_h` the smaller of both.
    """

    refs: tuple[str, str]
    strips: tuple[str, str]
    apart_m: float
    volume_m3: float
    inductance_h: float
    coupling: float

    def leaves_db(self, frequency_hz: float, impedance_ohm: float) -> float:
        """Isolation that they leave by themselves where each lies across a line of that impedance.

        The current V/(w L) of one induces k V in the other, which drives k V/(w L) into line and load in parallel.
        """
        share = self.coupling * impedance_ohm / 2 / (2 * math.pi * frequency_hz * self.inductance_h)
        return -20 * math.log10(share)


class Parasitics(Struct, frozen=True):
    """Capacitances between two nets in farads, by antenna the loop of its copper, and open chokes side by side.

    Nets that a source holds are all called 0V. `chokes` has of any two strips the pair that is coupled most.
    """

    capacitances: tuple[tuple[str, str, Figure], ...]
    loops: Mapping[str, CopperLoop]
    chokes: tuple[ChokePair, ...] = ()

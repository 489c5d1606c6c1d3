"""What a layout adds to the circuit, as plain values."""

from __future__ import annotations

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


class Parasitics(Struct, frozen=True):
    """Capacitances between two nets in farads, and by antenna the loop of its copper.

    Nets that a source holds are all called 0V.
    """

    capacitances: tuple[tuple[str, str, Figure], ...]
    loops: Mapping[str, CopperLoop]

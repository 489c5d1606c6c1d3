"""What a layout adds to the circuit, as plain values."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.model.figure import Figure


class Parasitics(Struct, frozen=True):
    """Capacitances between two nets in farads, and by antenna the loop inductance of its copper in henries.

    The loop is that of centre and braid from the antenna's port to the output's. Nets that a source holds are all
    called 0V.
    """

    capacitances: tuple[tuple[str, str, Figure], ...]
    loop_inductances: Mapping[str, Figure]

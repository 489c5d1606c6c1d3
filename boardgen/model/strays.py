"""What a layout adds to the circuit, as plain values."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.model.figure import Figure


class Strays(Struct, frozen=True):
    """Capacitances between two nets in farads, and for each antenna the henries of its run of copper to the output.

    Nets that a source holds are all called 0V.
    """

    capacitances: tuple[tuple[str, str, Figure], ...]
    runs: Mapping[str, Figure]

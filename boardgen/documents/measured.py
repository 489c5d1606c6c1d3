"""What sweeps of a built board say, in words and rows: inside or outside its band, and the likeliest fault."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from boardgen.documents.verdicts import number
from boardgen.formats.csv_text import csv_bytes, harmless
from boardgen.measuring.explain import Excuse
from boardgen.measuring.overlay import Curve
from boardgen.measuring.plan import Planned
from boardgen.measuring.suspects import Found
from boardgen.spec import quantity
from boardgen.spec.keys import Spec

COLUMNS: Final = (
    "file", "selected", "to", "from", "frequency_hz", "measured_db", "predicted_db", "band_low_db", "band_high_db",
)  # fmt: skip


class Measured(Struct, frozen=True):
    """All curves of the sweeps, what they say of the board, and what of the set-up would explain them.

    `unswept` are the sweeps that tell nearly everything and were not made.
    """

    spec: Spec
    curves: tuple[Curve, ...]
    found: Found
    excuses: tuple[Excuse, ...] = ()
    unswept: tuple[Planned, ...] = ()

    @property
    def falls_short(self) -> bool:
        """Whether something is wrong, or a curve lies outside its band."""
        return not self.found.is_sound or not all(curve.inside for curve in self.curves)


def rows(curves: Sequence[Curve]) -> list[tuple[str, str]]:
    """Each curve in words, where it lies farthest out, or nearest to the end of its band."""
    return [(curve.title, _words(curve)) for curve in curves]


def _words(curve: Curve) -> str:
    at = int(abs(curve.frequency_hz - curve.at_hz).argmin())
    low, high = sorted((float(curve.low_db[at]), float(curve.high_db[at])))
    state = "inside" if curve.inside else f"outside by {number(curve.outside_db, 'dB')}"
    found, where = number(float(curve.measured_db[at]), "dB"), quantity.format(curve.at_hz, "Hz", 3)
    return f"{state}: {found} at {where}, predicted {number(low, 'dB')} to {number(high, 'dB')}"


def verdict(measured: Measured) -> list[str]:
    """What all sweeps together say."""
    found = measured.found
    lines = [f"distance from a sound board: {found.distance:.1f} times what boards and instrument differ by"]
    if found.is_sound:
        lines.append("as sound as built boards are, as far as these sweeps show")
        if not all(curve.inside for curve in measured.curves):
            lines.append("single points outside a band: one board in twenty has some")
        if measured.unswept:
            lines.append(f"not swept yet: {'; '.join(sweep.title for sweep in measured.unswept)}")
        return lines
    lines += [f"{excuse.words} explains it: measure anew, or give {excuse.option}" for excuse in measured.excuses]
    explaining = [suspect for suspect in found.suspects if suspect.explains]
    if not explaining:
        nearest = found.suspects[0]
        return [*lines, f"no single fault explains it; nearest ({nearest.distance:.1f}) is {nearest.title}"]
    lines += [f"{n}. {suspect.title} ({suspect.distance:.1f})" for n, suspect in enumerate(explaining, 1)]
    if found.next:
        where, hertz = " to ".join(found.next.ports), quantity.format(found.next.at_hz, "Hz", 3)
        lines.append(
            f"tell the first two apart: {where} with {found.next.selected} selected, "
            f"{number(found.next.differs_db, 'dB')} between them at {hertz}"
        )
    return lines


def measured_csv(curves: Sequence[Curve]) -> bytes:
    """Every point of every curve."""
    return csv_bytes(
        COLUMNS,
        [
            (
                harmless(c.sweep.file), harmless(c.sweep.selected), harmless(c.to), harmless(c.source),
                f"{hertz:.6g}", f"{measured:.4f}", f"{stated:.4f}", f"{low:.4f}", f"{high:.4f}",
            )
            for c in curves
            for hertz, measured, stated, low, high in zip(
                c.frequency_hz, c.measured_db, c.stated_db, c.low_db, c.high_db, strict=True
            )
        ],
    )  # fmt: skip

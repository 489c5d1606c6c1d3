"""What sweeps and ohms of a built board say, in words and rows: inside or outside, and the likeliest fault."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from boardgen.commissioning.readings import OPEN_OHM
from boardgen.documents.readings_words import value
from boardgen.documents.verdicts import number
from boardgen.formats.csv_text import csv_bytes, harmless
from boardgen.measuring.explain import Excuse
from boardgen.measuring.ohms import OPEN, MeterReading, OhmRow, Point
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

    `unswept` are the sweeps that tell nearly everything and were not made; `read` is what a meter read.
    """

    spec: Spec
    curves: tuple[Curve, ...]
    found: Found
    excuses: tuple[Excuse, ...] = ()
    unswept: tuple[Planned, ...] = ()
    read: tuple[MeterReading, ...] = ()

    @property
    def falls_short(self) -> bool:
        """Whether something is wrong, or a curve lies outside its band."""
        return not self.found.is_sound or not all(curve.inside for curve in self.curves)


def rows(curves: Sequence[Curve]) -> list[tuple[str, str]]:
    """Each curve in words, where it lies farthest out, or nearest to the end of its band."""
    return [(curve.title, _words(curve)) for curve in curves]


def rows_of_ohms(read: Sequence[MeterReading]) -> list[tuple[str, str]]:
    """Each reading that lies outside in words."""
    return [(one.point.title, _words_of_ohms(one)) for one in read if not one.inside]


def _words_of_ohms(one: MeterReading) -> str:
    expected = one.point.reading
    low, high = value(expected, expected.low), value(expected, expected.high)
    wanted = low if low == high else f"{low} to {high}"
    return f"outside: {value(expected, one.ohm)}, predicted {wanted}"


def _words(curve: Curve) -> str:
    at = int(abs(curve.frequency_hz - curve.at_hz).argmin())
    low, high = sorted((float(curve.low_db[at]), float(curve.high_db[at])))
    state = "inside" if curve.inside else f"outside by {number(curve.outside_db, 'dB')}"
    found, where = number(float(curve.measured_db[at]), "dB"), quantity.format(curve.at_hz, "Hz", 3)
    return f"{state}: {found} at {where}, predicted {number(low, 'dB')} to {number(high, 'dB')}"


def verdict(measured: Measured) -> list[str]:
    """What all sweeps and readings together say."""
    found, read = measured.found, measured.read
    lines = []
    if read:
        inside = sum(one.inside for one in read)
        lines.append(f"{inside} of {len(read)} readings of a meter inside their limits")
    if measured.curves:
        lines.append(f"distance from a sound board: {found.distance:.1f} times what boards and instrument differ by")
    if found.is_sound:
        what = " and ".join((*(["sweeps"] if measured.curves else []), *(["readings"] if read else [])))
        lines.append(f"as sound as built boards are, as far as these {what} show")
        if not all(curve.inside for curve in measured.curves):
            lines.append("single points outside a band: one board in twenty has some")
        if measured.unswept:
            lines.append(f"not swept yet: {'; '.join(sweep.title for sweep in measured.unswept)}")
        return lines
    lines += [f"{excuse.words} explains it: measure anew, or give {excuse.option}" for excuse in measured.excuses]
    explaining = [suspect for suspect in found.suspects if suspect.explains]
    if not explaining:
        nearest = found.suspects[0]
        away = f" ({nearest.distance:.1f})" if measured.curves else ""
        return [*lines, f"no single fault explains it; nearest{away} is {nearest.title}"]
    for n, suspect in enumerate(explaining, 1):
        lines.append(f"{n}. {suspect.title}" + (f" ({suspect.distance:.1f})" if measured.curves else ""))
    if isinstance(found.next, Point):
        lines.append(f"tell the first two apart by a meter: {found.next.title}")
    elif found.next:
        where, hertz = " to ".join(found.next.ports), quantity.format(found.next.at_hz, "Hz", 3)
        lines.append(
            f"tell the first two apart: {where} with {found.next.selected} selected, "
            f"{number(found.next.differs_db, 'dB')} between them at {hertz}"
        )
    return lines


def ohms_csv(points: Sequence[Point], read: Sequence[MeterReading] = ()) -> bytes:
    """The table of ohms, with what was measured; blank where it was not: to be filled in, and given to `measured`."""
    found = {one.point.key: one for one in read}
    lines = []
    for point in points:
        one, expected = found.get(point.key), point.reading
        said = (_plain(one.ohm), "inside" if one.inside else "outside") if one else ("", "")
        words = (point.port, expected.name, *point.key)
        lines.append((*map(harmless, words), *map(_plain, (expected.middle, expected.low, expected.high)), *said))
    return csv_bytes(OhmRow.__struct_fields__, lines)


def _plain(ohm: float) -> str:
    return OPEN if ohm > OPEN_OHM else f"{ohm:.4g}" if ohm < 1000 else f"{ohm:.0f}"


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

"""Complex permeability of core materials, from tables of frequency_hz,mu_real,mu_imag."""

from __future__ import annotations

import math
from bisect import bisect_left
from pathlib import Path

from msgspec import Struct

from boardgen.catalogue.faults import Faults
from boardgen.model.figure import STANDINGS, Standing
from boardgen.model.problem import Place

_HEADER = "frequency_hz,mu_real,mu_imag"


class Permeability(Struct, frozen=True):
    """Relative permeability mu' - j mu'' of a material at rising frequencies, and its initial value."""

    material: str
    initial: float
    frequencies_hz: tuple[float, ...]
    values: tuple[complex, ...]
    source: str
    standing: Standing

    def at(self, frequency_hz: float) -> complex:
        """The value mu' - j mu'' at that frequency, linear over log f between the points of the table.

        Raises ValueError outside the table.
        """
        self._inside(frequency_hz)
        above = bisect_left(self.frequencies_hz, frequency_hz)
        if self.frequencies_hz[above] == frequency_hz:
            return self.values[above]
        low_hz, high_hz = self.frequencies_hz[above - 1 : above + 1]
        share = math.log(frequency_hz / low_hz) / math.log(high_hz / low_hz)
        return self.values[above - 1] * (1 - share) + self.values[above] * share

    def points_between(self, low_hz: float, high_hz: float) -> tuple[float, ...]:
        """Both ends of the band and every frequency of the table between them, rising.

        Raises ValueError where the table does not cover the band, or the band runs downwards.
        """
        self._inside(low_hz)
        self._inside(high_hz)
        if low_hz > high_hz:
            message = f"a band from {low_hz:g} Hz to {high_hz:g} Hz runs downwards"
            raise ValueError(message)
        within = (f for f in self.frequencies_hz if low_hz < f < high_hz)
        return tuple(dict.fromkeys((low_hz, *within, high_hz)))

    def _inside(self, frequency_hz: float) -> None:
        first, last = self.frequencies_hz[0], self.frequencies_hz[-1]
        if not first <= frequency_hz <= last:
            message = f"{frequency_hz:g} Hz is outside the table of mix {self.material}, {first:g} Hz to {last:g} Hz"
            raise ValueError(message)


def read_permeability(folder: Path, faults: Faults) -> dict[str, Permeability]:
    """The tables of folder/permeability, by material: one file each, named after it."""
    tables = (_read(path, faults) for path in sorted((folder / "permeability").glob("*.csv")))
    return {table.material: table for table in tables if table is not None}


def _read(path: Path, faults: Faults) -> Permeability | None:
    file = path.as_posix()
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        faults.add("K001 unreadable file", Place(file), f"the file cannot be read: {error}", "wanted is UTF-8 text")
        return None
    notes = dict(line[1:].strip().partition(": ")[::2] for line in lines if line.startswith("#"))
    rows = [(number, line) for number, line in enumerate(lines, 1) if line.strip() and not line.startswith("#")]
    if not rows or rows[0][1].replace(" ", "") != _HEADER:
        place = Place(file, rows[0][0] if rows else None)
        faults.add("K020 permeability", place, "the table has no heading", f"wanted is {_HEADER}")
        return None
    points = _points(rows[1:], file, faults)
    initial, standing = _number(notes.get("initial", "")), notes.get("standing", "")
    if initial is None or initial < 1:
        faults.add("K020 permeability", Place(file), "no initial permeability", 'wanted is a line "# initial: 2500"')
    if "source" not in notes:
        faults.add("K020 permeability", Place(file), "no source", 'wanted is a line "# source: ..."')
    known = next((one for one in STANDINGS if one == standing), None)
    if known is None:
        faults.unknown("K005 not a choice", Place(file, key="standing"), "the standing", standing, STANDINGS)
    if points is None or initial is None or known is None or "source" not in notes:
        return None
    frequencies_hz, values = zip(*points, strict=True)
    return Permeability(path.stem, initial, frequencies_hz, values, notes["source"], known)


def _points(rows: list[tuple[int, str]], file: str, faults: Faults) -> list[tuple[float, complex]] | None:
    points: list[tuple[float, complex]] = []
    for line, row in rows:
        numbers = [_number(cell) for cell in row.split(",")]
        if len(numbers) != 3 or None in numbers:
            faults.add("K020 permeability", Place(file, line), "the row is not three numbers", f"wanted is {_HEADER}")
            return None
        frequency_hz, real, imaginary = (number for number in numbers if number is not None)
        if frequency_hz <= (points[-1][0] if points else 0):
            faults.add("K020 permeability", Place(file, line), "the frequencies do not rise from above zero")
            return None
        points.append((frequency_hz, complex(real, -imaginary)))
    if len(points) < 2:
        faults.add("K020 permeability", Place(file), "the table has fewer than two rows")
        return None
    return points


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) else None

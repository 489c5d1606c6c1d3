"""Complex permeability of core materials, from tables of frequency_hz,mu_real,mu_imag."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any

from msgspec import Struct

from boardgen.model.figure import STANDINGS, Standing
from boardgen.model.problem import Place
from boardgen.tables.column import column
from boardgen.tables.csv_table import CsvKind, CsvTable, read_table
from boardgen.tables.fault import Faults
from boardgen.tables.text_file import read_text_file
from boardgen.tables.toml_table import NO_CHOICE, UNREADABLE

MOST_PER_K = 0.013
"""Of permeability, where nothing is known of a material's: the most of the mixes whose makers' coefficient was read."""
REFERENCE_C = 25.0
"""Where tables of permeability hold, degrees Celsius."""
LEAST_LEFT = 0.2
"""Share of permeability that a straight line leaves at least, however cold."""
_OVER_TEMPERATURE = "# over temperature: -20 0.66, 25 1, 70 1.6"
_KIND = CsvKind("K020 permeability", strict=True, comments=True)


class PermeabilityRow(Struct, frozen=True):
    """Relative permeability mu' - j mu'' at a frequency; mu'' is written positive, as makers do."""

    frequency_hz: Annotated[float, column("rising, above zero", "Hz", above=0)]
    mu_real: Annotated[float, column("mu'")]
    mu_imag: Annotated[float, column("mu''")]

    @property
    def value(self) -> complex:
        """Mu' - j mu''."""
        return complex(self.mu_real, -self.mu_imag)


class Permeability(Struct, frozen=True):
    """Relative permeability mu' - j mu'' of a material at rising frequencies, and its initial value."""

    material: str
    initial: float
    frequencies_hz: tuple[float, ...]
    values: tuple[complex, ...]
    source: str
    standing: Standing
    over_temperature: tuple[tuple[float, float], ...] = ()
    """Degrees Celsius, rising, with the initial permeability over that at 25 degC; empty where it is not known."""
    temperature_source: str = ""

    def factor_at(self, celsius: float) -> float:
        """Initial permeability over that at 25 degC: along straight lines between the known points and beyond them.

        Where none are known, what a material changes by at most.
        """
        if not self.over_temperature:
            return max(LEAST_LEFT, 1 + MOST_PER_K * (celsius - REFERENCE_C))
        points = self.over_temperature
        above = min(max(bisect_left(points, (celsius, 0.0)), 1), len(points) - 1)
        (low_c, low), (high_c, high) = points[above - 1 : above + 1]
        return max(LEAST_LEFT, low + (high - low) * (celsius - low_c) / (high_c - low_c))

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
    """The tables of folder/permeability, by material: one file each, named after it; faults are added."""
    tables = (_read(path, faults) for path in sorted((folder / "permeability").glob("*.csv")))
    return {table.material: table for table in tables if table is not None}


def _read(path: Path, faults: Faults) -> Permeability | None:
    file = path.as_posix()
    try:
        text = read_text_file(path)
    except (OSError, UnicodeDecodeError) as error:
        faults.add(UNREADABLE, Place(file), f"the file cannot be read: {error}", "wanted is UTF-8 text")
        return None
    before = len(faults)
    table = read_table(text, file, PermeabilityRow, _KIND, faults=faults)
    if len(faults) == before:
        check_rising([(line, row.frequency_hz) for line, row in table.rows], table)
    initial, standing, source = _number(table.notes.get("initial", "")), _standing(table), table.notes.get("source")
    if initial is None or initial < 1:
        table.table_fault(None, "no initial permeability", 'wanted is a line "# initial: 2500"')
    if source is None:
        table.table_fault(None, "no source", 'wanted is a line "# source: ..."')
    over_temperature = _over_temperature(table)
    if initial is None or source is None or standing is None or len(faults) > before:
        return None
    frequencies_hz = tuple(row.frequency_hz for _, row in table.rows)
    values = tuple(row.value for _, row in table.rows)
    about = table.notes.get("temperature", "")
    return Permeability(path.stem, initial, frequencies_hz, values, source, standing, over_temperature, about)


def _over_temperature(table: CsvTable[PermeabilityRow]) -> tuple[tuple[float, float], ...]:
    """Two or more points of rising temperature, all above zero and 1 at 25 degC; nothing where none stand."""
    written = table.notes.get("over temperature")
    if written is None:
        return ()
    pairs = [[_number(number) for number in point.split()] for point in written.split(",")]
    points = tuple((p[0], p[1]) for p in pairs if len(p) == 2 and p[0] is not None and p[1] is not None and p[1] > 0)
    rising = all(low < high for (low, _), (high, _) in pairwise(points))
    if len(points) < len(pairs) or len(points) < 2 or not rising or (REFERENCE_C, 1.0) not in points:
        found = f"{written!r} is no permeability over temperature"
        table.table_fault(None, found, f'wanted are degC with the share of that at 25 degC: "{_OVER_TEMPERATURE}"')
        return ()
    return points


def check_rising(points: Sequence[tuple[int, float]], table: CsvTable[Any]) -> None:
    """Names every frequency that does not rise, and a table of fewer than two; `points` are lines and frequencies."""
    before_hz = 0.0
    for line, frequency_hz in points:
        if not before_hz < frequency_hz < math.inf:
            table.row_fault(line, "the frequencies do not rise from above zero", "wanted are rising ones")
        before_hz = frequency_hz
    if len(points) < 2:
        table.table_fault(None, f"it holds {len(points)} points", "wanted are two or more")


def _standing(table: CsvTable[PermeabilityRow]) -> Standing | None:
    written = table.notes.get("standing", "")
    found = next((standing for standing in STANDINGS if standing == written), None)
    if found is None:
        place = Place(table.file_name, key="standing")
        table.faults.unknown(NO_CHOICE, place, "the standing", written, STANDINGS)
    return found


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) else None

"""A user's own measurements over frequency: permeability, impedance, attenuation or isolation, as table or one-port."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Annotated

from msgspec import Struct

from boardgen.catalogue.permeability import PermeabilityRow, check_rising
from boardgen.tables.column import column
from boardgen.tables.csv_table import CsvKind, CsvTable, read_table
from boardgen.tables.fault import FieldError
from boardgen.tables.text_file import read_text_file

Curve = tuple[tuple[float, complex], ...]
"""Rising frequencies in Hz, each with mu' - j mu'', an impedance in ohm, dB in 100 m, or dB."""
Frequency = Annotated[float, column("rising, above zero", "Hz", above=0)]
_ID = "S031 measurement"
_Point = tuple[int, float, complex]
"""Line, frequency in Hz and value."""
_FACTORS = {"HZ": 1.0, "KHZ": 1e3, "MHZ": 1e6, "GHZ": 1e9}


class ImpedanceRow(Struct, frozen=True):
    """Impedance of a choke."""

    frequency_hz: Frequency
    ohm_real: Annotated[float, column("resistance", "ohm")]
    ohm_imag: Annotated[float, column("reactance", "ohm")]

    @property
    def value(self) -> complex:
        """R + j X, in ohm."""
        return complex(self.ohm_real, self.ohm_imag)


class AttenuationRow(Struct, frozen=True):
    """Attenuation of a coax."""

    frequency_hz: Frequency
    db_per_100m: Annotated[float, column("attenuation", "dB in 100 m")]

    @property
    def value(self) -> complex:
        """Attenuation in dB in 100 m, as a real number."""
        return complex(self.db_per_100m)


class IsolationRow(Struct, frozen=True):
    """Isolation of an open contact."""

    frequency_hz: Frequency
    isolation_db: Annotated[float, column("isolation", "dB")]

    @property
    def value(self) -> complex:
        """Isolation in dB, as a real number."""
        return complex(self.isolation_db)


MeasuredRow = PermeabilityRow | ImpedanceRow | AttenuationRow | IsolationRow
LAYOUTS: Mapping[str, type[MeasuredRow]] = {
    "core": PermeabilityRow,
    "choke": ImpedanceRow,
    "cable": AttenuationRow,
    "relay.isolation": IsolationRow,
    "relay.coil_isolation": IsolationRow,
}
"""The rows of a table, by the key under [measured]."""
LOSSES: Mapping[str, str] = {
    "core": "mu_imag is above zero",
    "choke": "ohm_real is above zero",
    "cable": "db_per_100m is above zero",
    "relay.isolation": "isolation_db is above zero",
    "relay.coil_isolation": "isolation_db is above zero",
}
OVER_THE_BAND = frozenset({"core", "choke", "cable"})
"""Curves that are taken as they are; from others a figure is fitted, which holds beyond them."""


def read_measurement(path: Path, key: str, lowest_hz: float, highest_hz: float) -> Curve:
    """The curve under [measured] `key`; one that is taken as it is must cover the band.

    Parameters
    ----------
    path
        A table of the layout of `key`, or for a choke a one-port file (Touchstone version 1, S parameters).
    key
        One of LAYOUTS.
    lowest_hz, highest_hz
        The band.

    Raises
    ------
    InputError
        With file, line and key of every fault where it cannot be used.

    """
    kind = CsvKind(_ID, strict=True, comments=True, key=f"measured.{key}")
    table: CsvTable[MeasuredRow] = CsvTable(kind, str(path))
    columns = ",".join(LAYOUTS[key].__struct_fields__)
    one_port = path.suffix.lower() == ".s1p"
    try:
        text = read_text_file(path)
    except (OSError, UnicodeDecodeError) as error:
        table.table_fault(None, f"the file cannot be read: {error}", "wanted is UTF-8 text")
        table.faults.raise_any()
    if one_port and key != "choke":
        table.table_fault(None, "a one-port file holds an impedance", f"wanted is a table of {columns}")
        table.faults.raise_any()
    if one_port:
        points = list(_one_port(text, table))
    else:
        table = read_table(text, str(path), LAYOUTS[key], kind)
        points = [(line, row.frequency_hz, row.value) for line, row in table.rows]
    table.faults.raise_any()
    check_rising([(line, frequency_hz) for line, frequency_hz, _ in points], table)
    for line, _, value in points:
        if not _passive(value, key):
            table.row_fault(line, "a value has no loss at all, or gains", LOSSES[key])
    if key in OVER_THE_BAND and points and (points[0][1] > lowest_hz or points[-1][1] < highest_hz):
        found = f"it covers {points[0][1]:g} Hz to {points[-1][1]:g} Hz"
        table.table_fault(None, found, f"the band is {lowest_hz:g} Hz to {highest_hz:g} Hz")
    table.faults.raise_any()
    return tuple((frequency_hz, value) for _, frequency_hz, value in points)


def _passive(value: complex, key: str) -> bool:
    return math.isfinite(abs(value)) and (value != 0 and value.imag <= 0 if key == "core" else value.real > 0)


def _one_port(text: str, table: CsvTable[MeasuredRow]) -> Iterator[_Point]:
    """Impedance from the reflection of one port; lines that cannot be read become faults of the table."""
    factor, form, ohm = 1e9, "MA", 50.0
    for number, line in enumerate((raw.split("!")[0].strip() for raw in text.splitlines()), 1):
        try:
            if line.startswith("#"):
                words = line[1:].upper().split()
                factor = next((_FACTORS[w] for w in words if w in _FACTORS), factor)
                form = next((w for w in words if w in ("RI", "MA", "DB")), form)
                if "R" in words:
                    ohm = _numbers(words[words.index("R") + 1 :][:1], 1)[0]
                if "S" not in words and set(words) & {"Y", "Z", "H", "G"}:
                    raise _wrong("it holds no S parameters")
            elif line:
                frequency, first, second = _numbers(line.split(), 3)
                s = _reflection(form, first, second)
                if s == 1:
                    raise _wrong("a reflection of 1 is no impedance")
                yield number, frequency * factor, ohm * (1 + s) / (1 - s)
        except FieldError as error:
            table.row_fault(number, error.found, error.wanted)


def _numbers(words: Sequence[str], count: int) -> list[float]:
    try:
        found = [float(word) for word in words]
    except ValueError as error:
        raise _wrong(str(error)) from None
    if len(found) != count:
        why = f"{len(found)} numbers instead of {count}"
        raise _wrong(why)
    return found


def _wrong(why: str) -> FieldError:
    return FieldError(
        found=f"the measurement cannot be read ({why})", wanted="wanted is Touchstone version 1, S of one port"
    )


def _reflection(form: str, first: float, second: float) -> complex:
    if form == "RI":
        return complex(first, second)
    size = first if form == "MA" else 10 ** (min(first, 200.0) / 20)
    return complex(size * math.cos(math.radians(second)), size * math.sin(math.radians(second)))

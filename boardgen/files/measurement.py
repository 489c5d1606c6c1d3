"""A user's own measurements: permeability, impedance or attenuation over frequency, as a table or one-port file."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from pathlib import Path

from boardgen.files.plain_file import read_plain_file
from boardgen.model.problem import InputError, Place, Problem

Curve = tuple[tuple[float, complex], ...]
"""Rising frequencies in Hz, each with mu' - j mu'' with an impedance in ohm, or with dB in 100 m."""
HEADINGS: Mapping[str, str] = {
    "core": "frequency_hz,mu_real,mu_imag",
    "choke": "frequency_hz,ohm_real,ohm_imag",
    "cable": "frequency_hz,db_per_100m",
}
LOSSES: Mapping[str, str] = {
    "core": "mu_imag is above zero",
    "choke": "ohm_real is above zero",
    "cable": "db_per_100m is above zero",
}
_Point = tuple[int, float, complex]
"""Line, frequency in Hz and value."""
_FACTORS = {"HZ": 1.0, "KHZ": 1e3, "MHZ": 1e6, "GHZ": 1e9}


def read_measurement(path: Path, key: str, lowest_hz: float, highest_hz: float) -> Curve:
    """The curve under [measured] `key`, which must cover the band. mu_imag is written positive, as makers do.

    Raises InputError with file, line and key where it cannot be used.
    """
    try:
        text = read_plain_file(path).decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise _refused(path, key, f"the file cannot be read: {error}", "wanted is UTF-8 text") from None
    one_port = path.suffix.lower() == ".s1p"
    if one_port and key != "choke":
        raise _refused(path, key, "a one-port file holds an impedance", f"wanted is a table of {HEADINGS[key]}")
    read = _touchstone if one_port else _table
    points: list[_Point] = []
    try:
        points.extend(read(text, key))
    except _ReadingError as error:
        wanted = "wanted is Touchstone version 1, S of one port" if one_port else f"wanted is {HEADINGS[key]}"
        raise _refused(path, key, f"the measurement cannot be read ({error})", wanted, error.line) from None
    before = 0.0
    for line, frequency, value in points:
        if not before < frequency < math.inf:
            raise _refused(path, key, "the frequencies do not rise from above zero", "wanted are rising ones", line)
        if not _passive(value, key):
            raise _refused(path, key, "a value has no loss at all, or gains", LOSSES[key], line)
        before = frequency
    if len(points) < 2:
        raise _refused(path, key, f"it holds {len(points)} points", "wanted are two or more")
    if points[0][1] > lowest_hz or before < highest_hz:
        found = f"it covers {points[0][1]:g} Hz to {before:g} Hz"
        raise _refused(path, key, found, f"the band is {lowest_hz:g} Hz to {highest_hz:g} Hz")
    return tuple((frequency, value) for _, frequency, value in points)


class _ReadingError(Exception):
    """What is wrong in a line, counted from 1."""

    def __init__(self, line: int, why: str) -> None:
        super().__init__(why)
        self.line = line


def _passive(value: complex, key: str) -> bool:
    return math.isfinite(abs(value)) and (value.imag <= 0 if key == "core" else value.real > 0)


def _table(text: str, key: str) -> Iterator[_Point]:
    rows = [(n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip() and not line.startswith("#")]
    if not rows or rows[0][1].replace(" ", "") != HEADINGS[key]:
        raise _ReadingError(rows[0][0] if rows else 1, "it has another heading")
    columns = HEADINGS[key].count(",") + 1
    for number, line in rows[1:]:
        frequency, real, *imaginary = _numbers(number, line.split(","), columns)
        yield number, frequency, complex(real, sum(-i if key == "core" else i for i in imaginary))


def _numbers(number: int, cells: list[str], count: int) -> list[float]:
    try:
        found = [float(cell) for cell in cells]
    except ValueError as error:
        raise _ReadingError(number, str(error)) from None
    if len(found) != count:
        raise _ReadingError(number, f"{len(found)} numbers instead of {count}")
    return found


def _touchstone(text: str, key: str) -> Iterator[_Point]:
    """Impedance from the reflection of one port."""
    factor, form, ohm = 1e9, "MA", 50.0
    for number, line in enumerate((raw.split("!")[0].strip() for raw in text.splitlines()), 1):
        if line.startswith("#"):
            words = line[1:].upper().split()
            factor = next((_FACTORS[w] for w in words if w in _FACTORS), factor)
            form = next((w for w in words if w in ("RI", "MA", "DB")), form)
            if "R" in words:
                ohm = _numbers(number, words[words.index("R") + 1 :][:1], 1)[0]
            if "S" not in words and set(words) & {"Y", "Z", "H", "G"}:
                raise _ReadingError(number, "it holds no S parameters")
        elif line:
            frequency, first, second = _numbers(number, line.split(), 3)
            s = _reflection(form, first, second)
            if s == 1:
                raise _ReadingError(number, "a reflection of 1 is no impedance")
            yield number, frequency * factor, ohm * (1 + s) / (1 - s)


def _reflection(form: str, first: float, second: float) -> complex:
    if form == "RI":
        return complex(first, second)
    size = first if form == "MA" else 10 ** (min(first, 200.0) / 20)
    return complex(size * math.cos(math.radians(second)), size * math.sin(math.radians(second)))


def _refused(path: Path, key: str, found: str, wanted: str, line: int | None = None) -> InputError:
    return InputError([Problem("S031 measurement", "error", Place(str(path), line, f"measured.{key}"), found, wanted)])

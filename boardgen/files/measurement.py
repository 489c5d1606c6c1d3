"""A user's own measurements: complex permeability or impedance over frequency, as a table or a one-port file."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path

from boardgen.model.problem import InputError, Place, Problem

Curve = tuple[tuple[float, complex], ...]
"""Rising frequencies in Hz, each with mu' - j mu'' or with an impedance in ohm."""
HEADINGS: Mapping[str, str] = {
    "core": "frequency_hz,mu_real,mu_imag",
    "choke": "frequency_hz,ohm_real,ohm_imag",
}
_FACTORS = {"HZ": 1.0, "KHZ": 1e3, "MHZ": 1e6, "GHZ": 1e9}


def read_measurement(path: Path, key: str, lowest_hz: float, highest_hz: float) -> Curve:
    """The curve under [measured] `key`, which must cover the band. mu_imag is written positive, as makers do.

    Raises InputError where it cannot be used.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise _refused(path, key, f"the file cannot be read: {error}", "wanted is UTF-8 text") from None
    one_port = path.suffix.lower() == ".s1p"
    if one_port and key != "choke":
        raise _refused(path, key, "a one-port file holds an impedance", f"wanted is a table of {HEADINGS[key]}")
    try:
        curve = _touchstone(text) if one_port else _table(text, key)
    except (ValueError, KeyError, IndexError, ZeroDivisionError) as error:
        wanted = "wanted is Touchstone version 1, S of one port" if one_port else f"wanted is {HEADINGS[key]}"
        raise _refused(path, key, f"the measurement cannot be read ({error})", wanted) from None
    frequencies = [f for f, _ in curve]
    if len(curve) < 2 or frequencies != sorted(set(frequencies)) or frequencies[0] <= 0:
        raise _refused(path, key, "the frequencies do not rise from above zero", "wanted are two points or more")
    if frequencies[0] > lowest_hz or frequencies[-1] < highest_hz:
        found = f"it covers {frequencies[0]:g} Hz to {frequencies[-1]:g} Hz"
        raise _refused(path, key, found, f"the band is {lowest_hz:g} Hz to {highest_hz:g} Hz")
    if any(not _passive(value, key) for _, value in curve):
        raise _refused(path, key, "a value has no loss at all, or gains", "mu_imag and ohm_real are above zero")
    return curve


def _passive(value: complex, key: str) -> bool:
    return math.isfinite(abs(value)) and (value.imag <= 0 if key == "core" else value.real > 0)


def _table(text: str, key: str) -> Curve:
    rows = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    if not rows or rows[0].replace(" ", "") != HEADINGS[key]:
        raise ValueError("it has another heading")
    numbers = [[float(cell) for cell in row.split(",")] for row in rows[1:]]
    sign = -1 if key == "core" else 1
    return tuple((f, complex(real, sign * imaginary)) for f, real, imaginary in numbers)


def _touchstone(text: str) -> Curve:
    """Impedance from the reflection of one port."""
    factor, form, ohm = 1e9, "MA", 50.0
    points = []
    for line in (raw.split("!")[0].strip() for raw in text.splitlines()):
        if line.startswith("#"):
            words = line[1:].upper().split()
            factor = next((_FACTORS[w] for w in words if w in _FACTORS), factor)
            form = next((w for w in words if w in ("RI", "MA", "DB")), form)
            ohm = float(words[words.index("R") + 1]) if "R" in words else ohm
            if "S" not in words and set(words) & {"Y", "Z", "H", "G"}:
                raise ValueError("it holds no S parameters")
        elif line:
            frequency, first, second = (float(word) for word in line.split())
            points.append((frequency * factor, _reflection(form, first, second)))
    return tuple((f, ohm * (1 + s) / (1 - s)) for f, s in points)


def _reflection(form: str, first: float, second: float) -> complex:
    if form == "RI":
        return complex(first, second)
    size = first if form == "MA" else 10 ** (first / 20)
    return complex(size * math.cos(math.radians(second)), size * math.sin(math.radians(second)))


def _refused(path: Path, key: str, found: str, wanted: str) -> InputError:
    return InputError([Problem("S031 measurement", "error", Place(str(path), key=f"measured.{key}"), found, wanted)])

"""Reads S parameters of one or two ports as network analysers write them.

Source: EIA/IBIS Open Forum, Touchstone File Format Specification, revision 1.1 (2002) on option line, formats, order of
two-port data and noise; version 2.0 (2009) on keywords in brackets, of which those for one and two ports are read.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from boardgen.model.problem import InputError, Place, Problem

FACTORS = {"HZ": 1.0, "KHZ": 1e3, "MHZ": 1e6, "GHZ": 1e9}
FORMS = ("RI", "MA", "DB")
OTHERS = ("Y", "Z", "H", "G")
"""Parameters that are none of scattering."""
ORDERS = {"21_12": True, "12_21": False}
"""Of two-port data, and whether it stands column by column."""
NUMBERS = {1: 3, 2: 9}
"""So many numbers a frequency has, by the number of ports."""
MOST_POINTS = 20_000
MOST = 10.0
"""A board without amplifiers gives back no more than it gets; more than this is another format. Our judgement."""
WANTED = "wanted are S parameters of one or two ports as Touchstone, version 1 or 2"


class SParameters(Struct, frozen=True):
    """What a file holds.

    Parameters
    ----------
    frequency_hz : (points,) rising
    s : (points, ports, ports) complex
    reference_ohm : of each port

    """

    frequency_hz: NDArray[np.float64]
    s: NDArray[np.complex128]
    reference_ohm: tuple[float, ...]


def read_touchstone(text: str, file: str, ports: int) -> SParameters:
    """The S parameters in a text.

    Parameters
    ----------
    file : its name, for faults
    ports : one or two, as the ending of the name tells

    Raises
    ------
    InputError
        With the line, where it is something else, breaks off, does not rise, or holds what is no number.

    """
    reader = _Reader(file, ports)
    for number, raw in enumerate(text.lstrip("\ufeff").splitlines(), 1):
        reader.line(number, raw.split("!")[0].strip())
    return reader.finished()


class _Reader:
    """What was read so far of one file."""

    def __init__(self, file: str, ports: int) -> None:
        self.file, self.ports = file, ports
        self.factor, self.form = FACTORS["GHZ"], "MA"
        self.reference = (50.0,) * ports
        self.column_by_column = ports == 2
        self.options_seen = self.version_2 = self.noise = self.references_follow = self.information = False
        self.points: str | None = None
        self.numbers: list[float] = []
        self.rows: list[tuple[int, list[float]]] = []

    def refuse(self, line: int | None, found: str) -> InputError:
        return InputError([Problem("S041 sweep", "error", Place(self.file, line), found, WANTED)])

    def line(self, number: int, text: str) -> None:
        """Takes in one line without its comment."""
        if text.startswith("["):
            self._keyword(number, text)
        elif text.startswith("#"):
            self._options(number, text)
        elif self.information:
            pass
        elif text and self.references_follow:
            self._references(number, text)
        elif text and not self.noise:
            self._data(number, text)

    def _keyword(self, number: int, text: str) -> None:
        """A keyword of version 2."""
        self.version_2 = True
        name, end, rest = text[1:].partition("]")
        if not end:
            raise self.refuse(number, f"{text[:40]} lacks its closing bracket")
        name, rest = " ".join(name.lower().split()), rest.strip()
        match name:
            case "number of ports" if rest != str(self.ports):
                raise self.refuse(number, f"it has {rest} ports, and its name says {self.ports}")
            case "two-port data order":
                if rest not in ORDERS:
                    raise self.refuse(number, f"the order of its data is {rest or 'absent'}, not {' or '.join(ORDERS)}")
                self.column_by_column = ORDERS[rest]
            case "number of frequencies":
                self.points = rest
            case "begin information" | "end information":
                self.information = name.startswith("begin")
            case "reference":
                self.references_follow = not rest
                if rest:
                    self._references(number, rest)
            case "matrix format" if rest.lower() != "full":
                raise self.refuse(number, f"its matrix is {rest.lower()}")
            case "mixed-mode order":
                raise self.refuse(number, "it holds mixed modes")
            case "noise data" | "end":
                self.noise = True

    def _options(self, number: int, text: str) -> None:
        words = text[1:].upper().split()
        if self.options_seen:
            return
        self.options_seen = True
        known = words[: words.index("R")] if "R" in words else words
        if strange := [word for word in known if word not in (*FACTORS, *FORMS, *OTHERS, "S")]:
            raise self.refuse(number, f"its option line says {' '.join(strange)[:40]}, which is not known")
        self.factor = next((FACTORS[word] for word in words if word in FACTORS), self.factor)
        self.form = next((word for word in words if word in FORMS), self.form)
        if "S" not in words and set(words) & set(OTHERS):
            raise self.refuse(number, "it holds no S parameters")
        if "R" in words:
            given = self._floats(number, words[words.index("R") + 1 :])
            self.reference = tuple(given) * (self.ports if len(given) == 1 else 1)
            self._check_reference(number)

    def _references(self, number: int, text: str) -> None:
        self.references_follow = False
        self.reference = tuple(self._floats(number, text.split()))
        self._check_reference(number)

    def _check_reference(self, number: int) -> None:
        if len(self.reference) != self.ports or min(self.reference) <= 0:
            said = " ".join(f"{ohm:g}" for ohm in self.reference) or "absent"
            raise self.refuse(number, f"the reference impedance is {said}")

    def _data(self, number: int, text: str) -> None:
        """Numbers of a frequency, which may go on over lines; two-port noise begins where the frequency falls."""
        if not self.options_seen:
            raise self.refuse(number, "its numbers begin before an option line (#)")
        found = self._floats(number, text.split())
        if self.numbers and len(found) % 2:
            raise self.refuse(number, f"a frequency goes on with {len(found)} numbers, which are no pairs")
        self.numbers += found
        wanted = NUMBERS[self.ports]
        starts_noise = self.ports == 2 and len(self.numbers) == 5 and self.rows and not self.version_2
        if starts_noise and self.numbers[0] <= self.rows[-1][1][0]:
            self.noise, self.numbers = True, []
        elif len(self.numbers) == wanted:
            self.rows.append((number, self.numbers))
            self.numbers = []
        elif len(self.numbers) > wanted:
            raise self.refuse(number, f"a frequency has {len(self.numbers)} numbers, and {wanted} are needed")
        if len(self.rows) > MOST_POINTS:
            raise self.refuse(number, f"it has more than {MOST_POINTS} frequencies")

    def _floats(self, number: int, words: Sequence[str]) -> list[float]:
        try:
            # Python reads 1_0 and the digits of other scripts too
            found = [float(word if word.isascii() and "_" not in word else "") for word in words]
        except ValueError:
            raise self.refuse(number, f'"{" ".join(words)[:40]}" holds what is no number') from None
        if not all(map(math.isfinite, found)):
            raise self.refuse(number, "a number is not finite")
        return found

    def finished(self) -> SParameters:
        """All of it."""
        if self.numbers:
            raise self.refuse(None, "it breaks off within a frequency")
        if len(self.rows) < 2:
            raise self.refuse(None, "it has fewer than two frequencies")
        if self.points not in (None, str(len(self.rows))):
            raise self.refuse(None, f"it has {len(self.rows)} frequencies and says {self.points}")
        frequencies = [row[0] * self.factor for _, row in self.rows]
        for (line, _), before, after in zip(self.rows[1:], frequencies, frequencies[1:], strict=False):
            if after <= before or before < 0 or math.isinf(after):
                raise self.refuse(line, "its frequencies do not rise")
        waves = [list(self._complex(line, row[1:])) for line, row in self.rows]
        s = np.array(waves).reshape(-1, self.ports, self.ports)
        if self.column_by_column:
            s = s.transpose(0, 2, 1)
        return SParameters(np.array(frequencies), s, self.reference)

    def _complex(self, line: int, row: Sequence[float]) -> Iterator[complex]:
        for first, second in zip(row[::2], row[1::2], strict=True):
            if self.form == "RI":
                size = math.hypot(first, second)
            else:
                size = 10 ** (min(first, 100.0) / 20) if self.form == "DB" else first
            if not 0 <= size <= MOST:
                said = f"S parameters are {self.form} by its option line, and one has {first:g} {second:g}"
                raise self.refuse(line, f"{said}, which no board without amplifiers has")
            yield complex(first, second) if self.form == "RI" else cmath.rect(size, math.radians(second))

"""A table of ohms: what a meter should read of the whole board, what it read, and what every fault would make it read.

The table is that of the commissioning sheet, with one cell a row to fill in. The program writes it, and reads it back.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Final

from msgspec import Struct
from msgspec.structs import replace

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.readings import OPEN_OHM, ZERO_OHM, Reading
from boardgen.commissioning.strip_readings import Change, StripReadings
from boardgen.kinds.fault import Fault
from boardgen.spec.values import measure
from boardgen.tables.column import column
from boardgen.tables.csv_table import CsvKind, CsvTable, read_table
from boardgen.tables.fault import FieldError, nearest

_KIND: Final = CsvKind("S046 ohms", strict=True)
OPEN: Final = "open"
_OVERRANGE: Final = (OPEN, "ol", "o.l", "inf")
"""What people write, and meters show, for more than can be read."""
MOST_OHM: Final = 1e12
Key = tuple[str, str]
"""Where and with what live: of all readings of a board one."""


class OhmRow(Struct, frozen=True, kw_only=True):
    """A row of the table. What it says of the prediction is for who fills it in, and is not read."""

    port: Annotated[str, column("the port; blank for the board")] = ""
    reading: Annotated[str, column("what is read")] = ""
    between: Annotated[str, column("where the tips of the meter stand")]
    state: Annotated[str, column("what is selected or live")]
    predicted_ohm: Annotated[str, column("as predicted")] = ""
    low_ohm: Annotated[str, column("least over the tolerances of the parts")] = ""
    high_ohm: Annotated[str, column("most over the tolerances of the parts")] = ""
    measured: Annotated[str, column('what the meter read, such as 1.2, "82 kohm" or open; blank where it was not')] = ""
    verdict: Annotated[str, column("inside or outside, written by the program")] = ""


class Point(Struct, frozen=True):
    """A reading of the board, and of which port it is."""

    port: str
    reading: Reading

    @property
    def key(self) -> Key:
        """What it is found by in the table."""
        return self.reading.where, str(self.reading.selection)

    @property
    def title(self) -> str:
        """What it is."""
        return f"{self.reading.name}, {self.reading.where}, with {self.reading.selection}"


class MeterReading(Struct, frozen=True):
    """What a meter read at a point; infinite for an open circuit."""

    point: Point
    ohm: float

    @property
    def inside(self) -> bool:
        """Whether nobody would tell it from what is expected."""
        return not self.point.reading.differs(self.ohm)


class Meter(Struct, frozen=True):
    """All readings of a board with their points: those of each port, of the output, and of the board with the first."""

    tests: tuple[StripReadings, ...]
    points: tuple[tuple[Point, ...], ...]

    @property
    def all_points(self) -> tuple[Point, ...]:
        """In the order of the table."""
        return tuple(point for points in self.points for point in points)


def meter_of(bench: Bench) -> Meter:
    """Every resistance that the commissioning sheet asks for, each once."""
    ports = (*(strip for strip in bench.request.antennas if strip.fitted), bench.request.output)
    tests = tuple(StripReadings(bench, strip, whole=True) for strip in ports)
    seen: set[Key] = set()
    points = []
    for test in tests:
        own = []
        for selection, readings in test.ohms.items():
            owners = {probe.name: probe.strip for probe in test.states[selection]}
            for reading in readings:
                point = Point(owners[reading.name], reading)
                if point.key not in seen:
                    seen.add(point.key)
                    own.append(point)
        points.append(tuple(own))
    return Meter(tests, tuple(points))


def read_ohms(text: str, file: str, points: Sequence[Point]) -> tuple[MeterReading, ...]:
    """What the table says was measured. Raises InputError with every fault where it is none of this board."""
    table: CsvTable[OhmRow] = read_table(text, file, OhmRow, _KIND)
    known = {point.key: point for point in points}
    found: dict[Key, int] = {}
    result = []
    for line, row in table.rows:
        key = row.between, row.state
        if not row.measured.strip():
            continue
        if key not in known:
            _unknown(table, line, key, known)
        elif key in found:
            table.row_fault(
                line, f"{row.between} with {row.state} is measured on line {found[key]} too", "once is enough"
            )
        else:
            found[key] = line
            try:
                result.append(MeterReading(known[key], _ohm(row.measured)))
            except FieldError as fault:
                table.row_fault(line, fault.found, fault.wanted)
    if not result and not table.problems:
        table.table_fault(1, "no row has a value under measured", "wanted is what the meter read, in one row or more")
    table.faults.raise_any()
    return tuple(result)


def _unknown(table: CsvTable[OhmRow], line: int, key: Key, known: Mapping[Key, Point]) -> None:
    where, state = key
    states = [other for at, other in known if at == where]
    if states:
        table.row_fault(line, f'"{where}" is not read with {state}', f"wanted is {'; or '.join(states)}")
    else:
        near = nearest(where, [at for at, _ in known])
        hint = f', such as "{near}"' if near else ""
        table.row_fault(
            line, f'"{where}" is between no points of this board', f"wanted is a row of its own table{hint}"
        )


def _ohm(text: str) -> float:
    said = text.strip()
    if said.casefold() in _OVERRANGE:
        return math.inf
    try:
        return float(measure("ohm", 0.0, MOST_OHM)(said if said[-1].isalpha() else f"{said} ohm"))
    except FieldError as error:
        found = f'measured is "{said}": {error.found}'
        raise FieldError(found, f"wanted is 1.2, 82 kohm or {OPEN}") from None


def under_faults(meter: Meter, faults: Sequence[Fault], keys: frozenset[Key]) -> tuple[dict[Key, Reading], ...]:
    """Of each fault what those points read with it planted alone, where a person would see them change."""
    found: list[dict[Key, Reading]] = [{} for _ in faults]
    for test, points in zip(meter.tests, meter.points, strict=True):
        own = {point.key: point.reading for point in points if point.key in keys}
        if not own:
            continue
        for changed, fault in zip(found, faults, strict=True):
            for change in test.under(fault, ranged=True):
                key = change.expected.where, str(change.expected.selection)
                if change.expected.unit == "ohm" and own.get(key) == change.expected:
                    changed[key] = _read_instead(change)
    return tuple(found)


def _read_instead(change: Change) -> Reading:
    """What is read instead; through a diode with the share by which meters spread what is expected there."""
    expected, ohm = change.expected, change.found
    if change.ends:
        low, high = change.ends
        return replace(expected, low=low, middle=ohm, high=high)
    least, most = (
        end / expected.middle if end < math.inf and 0 < expected.middle < math.inf else 1.0
        for end in (expected.low, expected.high)
    )
    return replace(expected, low=ohm * least, middle=ohm, high=ohm * most)


def unexplained(read: Sequence[MeterReading], changed: Mapping[Key, Reading]) -> float:
    """How far the readings are from a fault that makes them so: a tenfold or more is 1 a reading, 0 explains all."""
    return math.fsum(_decades(one, changed.get(one.point.key, one.point.reading)) for one in read)


def _decades(one: MeterReading, expected: Reading) -> float:
    if not expected.differs(one.ohm):
        return 0.0
    found, wanted = (min(max(ohm, ZERO_OHM), OPEN_OHM) for ohm in (one.ohm, expected.middle))
    # what differs lies off, however little
    return min(1.0, max(abs(math.log10(found / wanted)), 0.01))


def telling(points: Sequence[Point], first: Mapping[Key, Reading], other: Mapping[Key, Reading]) -> Iterator[Point]:
    """The points where a person would tell two faults apart, those that differ most first."""
    apart = []
    for point in points:
        one, two = (changed.get(point.key, point.reading) for changed in (first, other))
        if one.differs(two.middle) and two.differs(one.middle):
            apart.append((-_decades(MeterReading(point, one.middle), two), point))
    yield from (point for _, point in sorted(apart, key=lambda pair: pair[0]))

"""What `measured` says: every curve against its band, and the likeliest fault."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from boardgen.commissioning.readings import OPEN_OHM
from boardgen.documents import measured as words_of
from boardgen.documents.json.document import Record, says
from boardgen.documents.measured import Measured as Found
from boardgen.measuring.ohms import MeterReading
from boardgen.measuring.overlay import Curve


class Compared(Record, frozen=True):
    """An S parameter of a sweep against the band of built boards."""

    file: str
    selected: Annotated[str, says('The antenna that is selected, "" for none.')]
    to: str
    source: str
    points: int
    outside_db: Annotated[float, says("How far the worst point lies beyond the band; 0 where none does.")]
    at_hz: float


class Metered(Record, frozen=True):
    """A reading of a meter against its limits."""

    between: str
    state: Annotated[str, says("What is selected or live.")]
    ohm: Annotated[float | None, says("null for an open circuit.")]
    low_ohm: float | None
    high_ohm: float | None
    inside: bool


class Likely(Record, frozen=True):
    """Faults that nothing measured tells apart."""

    faults: tuple[str, ...]
    distance: Annotated[float, says("From what was measured, in units of what boards and instrument differ by.")]
    unexplained: Annotated[
        float, says("Decades by which readings of a meter lie off, at most one each; 0 explains all.")
    ]
    explains: bool


class Measured(Record, frozen=True, tag_field="schema", tag="boardgen measured 1"):
    """A built board against its prediction."""

    title: str
    curves: tuple[Compared, ...]
    readings: tuple[Metered, ...]
    distance: Annotated[float, says("From a sound board, in units of what boards and instrument differ by.")]
    sound: bool
    suspects: Annotated[tuple[Likely, ...], says("The nearest first; empty for a sound board.")]
    verdict: tuple[str, ...]
    folder: str
    files: tuple[str, ...]


def measured_document(found: Found, folder: str, files: Sequence[str]) -> Measured:
    """The document of what was measured."""
    return Measured(
        title=found.spec.title,
        curves=tuple(map(_compared, found.curves)),
        readings=tuple(map(_metered, found.read)),
        distance=found.found.distance,
        sound=found.found.is_sound,
        suspects=tuple(
            Likely(
                tuple(f"{', '.join(f.refs)}: {f.name}" for f in one.faults), one.distance, one.unexplained, one.explains
            )
            for one in found.found.suspects
        ),
        verdict=tuple(words_of.verdict(found)),
        folder=folder,
        files=tuple(files),
    )


def _compared(curve: Curve) -> Compared:
    return Compared(
        file=curve.sweep.file,
        selected=curve.sweep.selected,
        to=curve.to,
        source=curve.source,
        points=curve.frequency_hz.size,
        outside_db=curve.outside_db,
        at_hz=curve.at_hz,
    )


def _metered(one: MeterReading) -> Metered:
    expected = one.point.reading
    ohm, low, high = (each if each <= OPEN_OHM else None for each in (one.ohm, expected.low, expected.high))
    return Metered(*one.point.key, ohm, low, high, one.inside)

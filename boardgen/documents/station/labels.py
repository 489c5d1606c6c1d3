"""station-labels.svg: a label for each end of each cable of a station, and one for each conductor at the source."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.documents.pictures.labels import CAUTION, COLUMNS, TOP, WIDE_MM, Label, flag, label_sheets, sentence
from boardgen.documents.station.source import Source
from boardgen.documents.station.tables import source_end
from boardgen.station.consistency import split
from boardgen.station.faults import place_text

LABELS = "station-labels.svg"
NOT_ETHERNET = "no network cable"


def station_labels(source: Source) -> str:
    """Every cable in the order of the boxes: feeder, control cables, antennas; then the conductors, box by box."""
    rows: list[list[Label]] = []
    for box in source.plan.box:
        rows += [_feeder(source, box.name), *_control(source, box.name), *_antennas(source, box.name)]
    for box in source.plan.box:
        found = list(_conductors(source, box.name))
        rows += [found[n : n + COLUMNS] for n in range(0, len(found), COLUMNS)]
    return label_sheets(source.plan.title, rows, source.set_as.paper, TOP)


def _feeder(source: Source, box: str) -> list[Label]:
    far = f"at the feeder selector, port {box}" if source.station.selector else "at the receiver"
    return [flag(f"{box}: feeder", end) for end in (f"at the box {box}", far)]


def _control(source: Source, box: str) -> Iterator[list[Label]]:
    """Each control cable of a box at both its ends; several are numbered."""
    numbers = sorted({c.place.cable for c in source.station.cables[box].conductors})
    for number in numbers:
        several = f" {number} of {len(numbers)}" if len(numbers) > 1 else ""
        yield [
            flag(f"{box}: control cable{several}", end, NOT_ETHERNET) for end in (f"at the box {box}", "at the source")
        ]


def _antennas(source: Source, box: str) -> Iterator[list[Label]]:
    """The coax of each antenna that is fitted, with the volts on it and what they work."""
    for antenna in source.specs[box].antenna:
        if antenna.fitted:
            remotes = [r.name for r in source.plan.remote if split(r.antenna) == (box, antenna.label)]
            volts = f"{antenna.feed.voltage:g} V on this coax: {CAUTION}" if antenna.feed else ""
            far = f"at the antenna{f', {remotes[0]}' if remotes else ''}"
            yield [flag(f"{box}: {antenna.label}", end, volts) for end in (f"at the box {box}", far)]


def _conductors(source: Source, box: str) -> Iterator[Label]:
    """What each conductor that is used is joined to at the source."""
    wide = round(WIDE_MM / COLUMNS, 2)
    for conductor in source.station.cables[box].conductors:
        if conductor.net:
            lines = (
                *sentence(f"{box}: {conductor.what}", wide - 5.0),
                *sentence(f"{place_text(conductor)}, to {source_end(source.design, conductor)}", wide - 5.0, soft=True),
            )
            yield Label(wide, lines)

"""The path budget of each direction: losses, external noise, rise of the noise floor."""

from __future__ import annotations

from boardgen.documents.identity import at, named, several
from boardgen.documents.page.blocks import Column, Group, Items, Section, Table
from boardgen.documents.station.source import Source
from boardgen.documents.text import Value, in_row
from boardgen.documents.verdicts import number
from boardgen.rf.receive_path import PathPoint
from boardgen.spec import quantity
from boardgen.station.budget import Path


def section(source: Source) -> Section:
    """A sentence a direction; the figures once for directions that have the same."""
    groups: dict[tuple[object, ...], list[Path]] = {}
    for path in source.design.paths:
        groups.setdefault(tuple(_row(point) for point in path.points), []).append(path)
    tables = tuple(_table(paths) for paths in groups.values() if paths[0].points)
    do = "See whether any direction loses weak signals before you change a cable or add an amplifier."
    said = (Value(named("path", path.direction, "sentence"), path.sentence) for path in source.design.paths)
    return Section("paths", "Path budget", do, (Items(tuple(said)), Group("Figures, predicted", tables)))


HEADINGS = ("Frequency", "Box", "Feeder", "Noise above k T0 B", "Floor rises", "By the losses")


def _table(paths: list[Path]) -> Table:
    rows = [
        tuple(
            Value(several(*(named("path", path.direction, heading, at(point.frequency_hz)) for path in paths)), cell)
            for heading, cell in zip(HEADINGS, _row(point), strict=True)
        )
        for point in paths[0].points
    ]
    return Table(in_row(p.direction for p in paths), tuple(Column(name, "number") for name in HEADINGS), rows)


def _row(point: PathPoint) -> tuple[str, ...]:
    return (
        quantity.format(point.frequency_hz, "Hz"),
        number(point.loss_db("board"), "dB"),
        number(point.coax_db, "dB"),
        number(point.external_db, "dB"),
        number(point.whole_db, "dB"),
        number(point.rise_db, "dB"),
    )

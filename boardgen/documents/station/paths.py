"""The path budget of each direction: losses, external noise, rise of the noise floor."""

from __future__ import annotations

from boardgen.documents.page.blocks import Column, Group, Items, Section, Table
from boardgen.documents.station.source import Source
from boardgen.spec import quantity
from boardgen.station.budget import Path, Point


def section(source: Source) -> Section:
    """A sentence a direction; the figures once for directions that have the same."""
    groups: dict[tuple[object, ...], list[Path]] = {}
    for path in source.design.paths:
        groups.setdefault(tuple(_row(point) for point in path.points), []).append(path)
    tables = tuple(_table(paths) for paths in groups.values())
    do = "See whether any direction loses weak signals before you change a cable or add an amplifier."
    sentences = Items(tuple(path.sentence for path in source.design.paths))
    return Section("paths", "Path budget", do, (sentences, Group("Figures, predicted", tables)))


def _table(paths: list[Path]) -> Table:
    columns = (
        Column("Frequency", "number"), Column("Box", "number"), Column("Feeder", "number"),
        Column("Noise above k T0 B", "number"), Column("Floor rises", "number"),
    )  # fmt: skip
    rows = [_row(point) for point in paths[0].points]
    return Table(", ".join(p.direction for p in paths), columns, rows)


def _row(point: Point) -> tuple[str, ...]:
    return (
        quantity.format(point.frequency_hz, "Hz"),
        f"{point.board_db:.1f} dB",
        "no cable named" if point.feeder_db is None else f"{point.feeder_db:.1f} dB",
        f"{point.external_db:.0f} dB",
        "" if point.rise_db is None else f"{point.rise_db:.1f} dB",
    )

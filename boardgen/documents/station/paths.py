"""The path budget of each direction: losses, external noise, rise of the noise floor."""

from __future__ import annotations

from boardgen.documents.page.blocks import Column, Group, Items, Section, Table
from boardgen.documents.station.source import Source
from boardgen.spec import quantity
from boardgen.station.budget import Path


def section(source: Source) -> Section:
    """A sentence a direction; the figures once for directions that have the same."""
    groups: dict[tuple[object, ...], list[Path]] = {}
    for path in source.design.paths:
        groups.setdefault(path.points, []).append(path)
    tables = tuple(_table(paths) for paths in groups.values())
    do = "See whether any direction loses weak signals before you change a cable or add an amplifier."
    sentences = Items(tuple(path.sentence for path in source.design.paths))
    return Section("paths", "Path budget", do, (sentences, Group("Figures, predicted", tables)))


def _table(paths: list[Path]) -> Table:
    columns = (
        Column("Frequency", "number"), Column("Box", "number"), Column("Feeder", "number"),
        Column("Noise above k T0 B", "number"), Column("Floor rises", "number"),
    )  # fmt: skip
    rows = [
        (
            quantity.format(p.frequency_hz, "Hz"),
            f"{p.board_db:.2f} dB",
            "no cable named" if p.feeder_db is None else f"{p.feeder_db:.2f} dB",
            f"{p.external_db:.0f} dB",
            "" if p.rise_db is None else f"{p.rise_db:.2f} dB",
        )
        for p in paths[0].points
    ]
    return Table(", ".join(p.direction for p in paths), columns, rows)

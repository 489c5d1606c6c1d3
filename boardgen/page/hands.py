"""What hands do on the board: cores to wind and points to touch with a meter, each with the parts it is about."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from boardgen.circuit.windings import WindingRow, winding_rows
from boardgen.commissioning.bench import Bench
from boardgen.commissioning.strip_readings import StripReadings
from boardgen.design import Design
from boardgen.documents.book.meter_picture import meter_picture, touched
from boardgen.documents.book.winding_picture import winding_picture
from boardgen.documents.readings_words import expected, span
from boardgen.documents.text import plain
from boardgen.page.job import View
from boardgen.page.lights import with_lights
from boardgen.page.render import fill
from boardgen.spec import quantity


class Core(Struct, frozen=True):
    """How cores that are alike are wound, in words, and drawn."""

    row: WindingRow
    cut: str
    least: str
    picture: str


class Point(Struct, frozen=True):
    """Two points of the board, the parts they are pins of, and what a meter reads with nothing selected."""

    whose: str
    name: str
    where: str
    refs: tuple[str, ...]
    reading: str


def hands_view(design: Design) -> View:
    """The winding sheet and the points of the meter in short; book and commissioning sheet have all of it."""
    points, picture = tuple(_points(design)), ""
    if design.layout is not None:
        board = design.layout.board
        parts = [part for part in design.netlist.components if touched(part)]
        drawn = meter_picture(board, parts, "the board from the solder side, with the pins that a meter touches")
        picture = with_lights(drawn, board, "bottom", bodies=True, edge_mm=0.0)
    return View("hands", fill("hands.html", cores=tuple(_cores(design)), points=points, picture=picture))


def _cores(design: Design) -> Iterator[Core]:
    for row in winding_rows(design.netlist, design.choices, design.catalogue.permeability):
        wound = design.choices.windings[design.netlist.component[row.refs[0]].subject]
        lengths_m = (row.primary_length_m, row.secondary_length_m)
        cut = " and ".join(quantity.format(length, "m", 3) for length in lengths_m)
        picture = winding_picture(row.primary_turns, row.secondary_turns, wound.style)
        yield Core(row, cut, quantity.format(row.inductance_h, "H", 3), picture)


def _points(design: Design) -> Iterator[Point]:
    """Of each antenna in turn, then of the board itself."""
    bench = Bench(design.request, design.choices, design.netlist)
    tests = [StripReadings(bench, strip) for strip in design.request.antennas if strip.fitted]
    for test in tests:
        yield from _of_strip(test, test.strip.label)
    yield from _of_strip(tests[0], "")


def _of_strip(test: StripReadings, label: str) -> Iterator[Point]:
    for probe, reading in zip(test.probes, test.ohms[test.at_rest], strict=True):
        if probe.strip == label:
            within = span(reading)
            words = plain(expected(reading)) + (f" ({plain(within)})" if within else "")
            yield Point(label or "the board", probe.name, probe.where, probe.refs, words)

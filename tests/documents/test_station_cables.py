"""A box's own book and the station's tables tell one tale of the same cable."""

import pytest

from boardgen.documents.book.cable import section
from boardgen.documents.book.source import Source, StationSide
from boardgen.documents.page.blocks import Table
from boardgen.documents.page.spelling import Spelling
from boardgen.documents.station import tables as station_tables
from tests.station.made_stations import box_design, station

EIGHT = {"conductors": 8, "cables": 2, "returns": 2, "length": "60 m"}


@pytest.mark.parametrize("source", [{}, {"diodes": "boxes"}, {"colours": "T568A"}])
def test_every_conductor_carries_the_same_in_both(source):
    """Number, colour, pair and what it carries; antennas that no direction asks for leave their conductors spare."""
    boxes = [("dune", box_design(4, 2), EIGHT), ("heath", box_design(4), EIGHT)]
    directions = [(f"{name} {n}", f"{name}/way {n}", None) for name, *_ in boxes for n in (2, 1, 4)]
    design = station(boxes, directions, source=source, rest="dune")
    told = station_tables.conductors(design)
    for name, box, _ in boxes:
        side = StationSide(design.station.cables[name].conductors, design.plan.source.colours)
        blocks = section(Source(box, Spelling(), {}, "", side)).blocks
        tables = [b for b in blocks if isinstance(b, Table) and b.columns[0].kind == "tick"]
        ours = [(str(n), *row[1:5]) for n, table in enumerate(tables, 1) for row in table.rows]
        theirs = [row[1:] for row in told if row[0] == name]
        assert len(ours) == len(theirs) == 16
        for mine, (cable, position, pair, colour, carries, *_) in zip(ours, theirs, strict=True):
            assert mine[:4] == (cable, position, colour, pair)
            assert mine[4] == carries or (carries == "spare" and mine[4].startswith("spare"))
        # a line of the board ends at a pin that the netlist has on its net
        ends = [row[5] for table in tables for row in table.rows if row[4].startswith("select")]
        assert all(ends)


def test_a_board_of_a_station_tells_of_no_source_of_its_own():
    """No fuse and no switch: the station has one of each for all boxes."""
    titles = [getattr(b, "title", "") for b in section(Source(box_design(4), Spelling(), {}, "")).blocks]
    assert "A simple manual selector" in titles
    side = StationSide((), "T568B")
    titles = [getattr(b, "title", "") for b in section(Source(box_design(4), Spelling(), {}, "", side)).blocks]
    assert "The other end" in titles
    assert not {"A simple manual selector", "Fuse at the source end"} & set(titles)

"""Strips that would be longer in one row than the board house makes boards stand in two."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

from boardgen.board.layout import Layout, lay_out, two_rows_warning
from boardgen.design import make_design
from boardgen.documents.pictures.board_picture import board_pictures
from boardgen.model.board_house import BoardHouse
from boardgen.model.problem import Problem
from boardgen.request import Request
from boardgen.spec.load import read_text
from boardgen.spec.template import with_ways
from tests.board.boards import CATALOGUE, made

SHORT = replace(CATALOGUE.house, longest_nm=200_000_000)


def too_long(layout: Layout) -> tuple[Problem, ...]:
    """The fault of a board that the house with the short boards does not make either; none of one that it makes."""
    sides = layout.board.width_nm, layout.board.height_nm
    found = tuple(problem for problem in layout.faults if problem.id == "B305 board size")
    assert len(found) == (max(sides) > SHORT.longest_nm)
    return found


@pytest.mark.parametrize("ways", [14, 15, 16])
@pytest.mark.slow
@pytest.mark.parametrize("option", [{"feed": "local rail"}, {"relays_in_series": 2, "idle": "open", "surge": False}])
def test_two_rows_are_joined_and_clean(option: dict[str, object], ways: int) -> None:
    one, netlist, rules = made(option, ways, pour=False)
    two = lay_out(netlist, CATALOGUE.footprints, replace(rules, house=SHORT), pour=ways % 2 == 0)
    assert too_long(two) == two.faults
    assert (one.board.layout.rows, two.board.layout.rows) == (1, 2)
    assert two.board.width_nm < one.board.width_nm < CATALOGUE.house.longest_nm


@pytest.mark.parametrize("house", [CATALOGUE.house, SHORT])
def test_the_layout_says_where_its_bus_runs(house: BoardHouse) -> None:
    """At each height that it names lies copper of that conductor as wide as it says; the header joins the rows."""
    _, netlist, rules = made({"feed": "none"}, 14, pour=False)
    board = lay_out(netlist, CATALOGUE.footprints, replace(rules, house=house), pour=False).board
    bus = board.layout.bus
    assert bus is not None
    assert len(bus.rows_nm) == board.layout.rows
    wide = [track for track in board.tracks if track.width_nm == bus.width_nm]
    level = {(track.net, track.start[1]) for track in wide if track.start[1] == track.end[1]}
    for centre, braid in bus.rows_nm:
        assert level >= {("bus centre", centre), ("bus braid", braid)}
    upright = {track.start[0] for track in wide if track.net == "bus centre" and track.start[0] == track.end[0]}
    assert upright == ({bus.header_nm} if board.layout.rows > 1 else set())


@pytest.mark.slow
@pytest.mark.parametrize("template", ["four-way", "eight-way", "four-way-feeds"])
def test_sixteen_ways_of_a_template_stand_in_one_row_of_less_area(template: str) -> None:
    spec = read_text(with_ways(template, 16))
    one, two = (
        make_design(Request(spec, replace(CATALOGUE, house=house)), laid_out=True) for house in (CATALOGUE.house, SHORT)
    )
    assert one.layout is not None
    assert two.layout is not None
    assert one.layout.board.area_m2 < two.layout.board.area_m2
    assert not one.found.layout
    *faults, problem = two.found.layout
    assert tuple(faults) == too_long(two.layout)
    assert problem == two_rows_warning(two.layout.board, 200_000_000)[0]
    assert problem.severity == "warning"
    assert "200 mm" in problem.found


@pytest.mark.parametrize("entry", ["terminals", "studs"])
def test_a_hand_reaches_the_entry_of_the_upper_row(entry: str) -> None:
    """Terminals take their wires from the side: a wire finds room to bend before the next row's ports."""
    _, netlist, rules = made({"feed": "none", "entry": entry}, 16, pour=False)
    layout = lay_out(netlist, CATALOGUE.footprints, replace(rules, house=SHORT), pour=False)
    assert too_long(layout) == layout.faults
    board = layout.board
    middle = board.height_nm // 2
    ends = [part.body[1] for part in board.parts if part.kind in ("terminal", "stud") and part.body[1] > middle // 2]
    ports = [part.body[3] for part in board.parts if part.kind == "connector" and part.body[3] < board.height_nm * 0.8]
    rows = min(end for end in ends if end > max(ports)) - max(ports)
    assert rows >= (15_000_000 if entry == "terminals" else 0)


def test_the_margins_count_to_the_length_of_a_row() -> None:
    _, netlist, rules = made({"feed": "none"}, 6, pour=False)

    def width_nm(longest_nm: int) -> int:
        house = replace(CATALOGUE.house, longest_nm=longest_nm)
        return lay_out(netlist, CATALOGUE.footprints, replace(rules, house=house), pour=False).board.width_nm

    wide = width_nm(CATALOGUE.house.longest_nm)
    assert width_nm(wide - 1) < wide


@pytest.mark.parametrize(("ways", "above"), [(4, False), (16, True)])
def test_pictures_of_a_long_board_stand_one_above_the_other(ways: int, above: bool) -> None:
    layout, _, _ = made({"feed": "none"}, ways, pour=False)
    picture = board_pictures(layout.board)["board-top.svg"]
    wide, high = (float(side) for side in re.findall(r'viewBox="0 0 (\S+) (\S+)"', picture)[0])
    board = layout.board.width_nm / 1e6, layout.board.height_nm / 1e6
    assert (wide > 2 * board[0], high > 2 * board[1]) == (not above, above)
    assert wide < 3 * high

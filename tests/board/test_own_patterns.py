"""Jacks and connectors of a user's own drawing: the patterns here are invented, of the usual sizes."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from boardgen.board.layout import Layout, lay_out
from boardgen.board.rules import BUS_TRACK_NM, TrackClass, rules
from boardgen.board.strip_cells import more_columns
from boardgen.catalogue import load
from boardgen.catalogue.catalogue import Catalogue
from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.model.netlist import Netlist
from boardgen.model.problem import InputError
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from tests.board.boards import CATALOGUE
from tests.circuit.options import specification

OWN = """
[[footprint]]
key = "jack-8p8c"
description = "modular jack of our own drawing, shield on two posts"
view = "top"
standing = "assumed"
source = "invented"
body_mm = [15.9, 16.0, 13.3]
body_centre_mm = [4.44, -3.5]
hole_mm = 0.9
land_mm = 1.45
pads_mm = [
    ["1", 0, 0], ["2", 1.27, 2.54], ["3", 2.54, 0], ["4", 3.81, 2.54],
    ["5", 5.08, 0], ["6", 6.35, 2.54], ["7", 7.62, 0], ["8", 8.89, 2.54],
    ["S1", -3.0, -3.0, 1.6, 2.4, 2.4], ["S2", 11.89, -3.0, 1.6, 2.4, 2.4],
]

[[footprint]]
key = "f-jack-straight"
description = "F jack of our own drawing, four posts"
view = "top"
standing = "assumed"
source = "invented"
body_mm = [9.4, 9.4, 12]
body_centre_mm = [0, 0]
hole_mm = 1.2
pads_mm = [["1", 0, 0], ["2", 3.5, 3.5], ["3", -3.5, 3.5], ["4", 3.5, -3.5], ["5", -3.5, -3.5]]

[[footprint]]
key = "bnc-jack-right-angle"
description = "BNC jack of our own drawing, wider than the narrowest strip"
view = "top"
standing = "assumed"
source = "invented"
body_mm = [14.5, 14.5, 12]
body_centre_mm = [0, 3.0]
hole_mm = 0.9
pads_mm = [["1", 0, 0], ["2", 2.54, 0], ["3", 5.08, -5.08, 2.0, 3.2, 3.2], ["4", -5.08, -5.08, 2.0, 3.2, 3.2]]
"""


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    folder: Path = tmp_path_factory.mktemp("parts")
    (folder / "own.toml").write_text(OWN, encoding="utf-8")
    return load(folder)


def made_of(catalogue: Catalogue, text: str) -> tuple[Layout, Netlist]:
    request = Request(read_text(text), catalogue)
    choices = size(request)
    netlist = freeze(request, compose(request, choices))
    return lay_out(netlist, catalogue.footprints, rules(choices.values, catalogue.house), pour=False), netlist


@pytest.mark.parametrize("ways", [1, 4, 8, 16])
@pytest.mark.parametrize(
    "option",
    [{"feed": "none"}, {"feed": "local rail", "output_feed": True}, {"drive": "low side", "reverse": False}],
    ids=["bare", "fed", "low"],
)
def test_a_jack_takes_the_lines_of_every_strip(own: Catalogue, ways: int, option: dict[str, object]) -> None:
    """Its lines cross the board beside the bus, one rail for each, and no two jacks stand in each other's way."""
    made, netlist = made_of(own, specification(option | {"entry": "jack"}, ways))
    # sixteen ways with a level track for each line are more than a house makes
    longest = max(made.board.width_nm, made.board.height_nm)
    assert [fault.id for fault in made.faults] == ["B305 board size"] * (longest > own.house.longest_nm)
    joined = [net for jack in netlist.of_kind("jack") for net in netlist.pin_nets[jack.ref].values()]
    selects = {net for net in joined if "select" in net}
    assert len(selects) == ways
    rails = [track for track in made.board.tracks if track.start[1] == track.end[1] and track.width_nm == BUS_TRACK_NM]
    level = {track.net for track in rails} & selects
    assert level == selects


@pytest.mark.parametrize("connector", ["F", "BNC"])
@pytest.mark.parametrize("ways", [1, 6])
def test_connectors_of_other_pads_on_a_board_without_earth(own: Catalogue, connector: str, ways: int) -> None:
    text = specification({"surge": False, "feed": "local rail"}, ways)
    text = text.replace("[[antenna]]", f'[[antenna]]\nconnector = "{connector}"')
    if connector == "BNC":
        text += '\n[parts]\nconnector = "connector-bnc-right-angle"\n'
    made, _ = made_of(own, text)
    assert made.faults == ()


def test_surge_copper_needs_two_pads_in_line(own: Catalogue) -> None:
    text = specification({}, 2).replace("[[antenna]]", '[[antenna]]\nconnector = "F"')
    with pytest.raises(InputError) as raised:
        made_of(own, text)
    (problem,) = raised.value.problems
    assert problem.id == "B005 port pads"
    assert 'connector = "pigtail"' in problem.hint


def test_a_tube_whose_pins_are_nearer_than_its_voltage_allows() -> None:
    with pytest.raises(InputError) as raised:
        made_of(CATALOGUE, specification({}, 1) + '\n[parts]\nsurge_tube = "gas-tube-t83-a230x"\n')
    (problem,) = raised.value.problems
    assert problem.id == "B004 tube pins"
    assert "T83-A230X" in problem.found
    assert "surge_tube" in problem.hint


@pytest.mark.parametrize(
    ("limit", "value_nm"),
    [
        ("clearance", 300_000),
        ("ring", 300_000),
        ("hole_least", 600_000),
        ("copper_to_edge", 1_000_000),
        ("hole_to_edge", 1_500_000),
    ],
)
def test_a_house_that_no_layout_suits_is_named_with_its_limit(limit: str, value_nm: int) -> None:
    house = replace(CATALOGUE.house, **{f"{limit}_nm": value_nm})
    with pytest.raises(InputError) as raised:
        made_of(replace(CATALOGUE, house=house), specification({}, 1))
    (problem,) = raised.value.problems
    assert problem.id == "B003 board house"
    assert problem.place.key == f"board_house.{limit}"


@pytest.mark.slow
@pytest.mark.parametrize(
    "limits", [{"clearance_nm": 250_000, "track_nm": 250_000}, {"ring_nm": 250_000, "copper_to_edge_nm": 500_000}]
)
def test_a_house_of_coarser_limits(limits: dict[str, int]) -> None:
    """What the drawn figures still allow is drawn, and passes the checks against those limits."""
    catalogue = replace(CATALOGUE, house=replace(CATALOGUE.house, **limits))
    made, _ = made_of(catalogue, specification({"feed": "local rail"}, 4))
    assert made.faults == ()


def test_the_largest_core_has_a_strip_wide_enough() -> None:
    made, _ = made_of(CATALOGUE, specification({"feed": "none"}, 2) + '\n[parts]\noutput_core = "core-43-7051"\n')
    assert made.faults == ()


def test_a_wide_track_keeps_off_the_fence() -> None:
    """A fence of 1 mm, a gap of 0.33 mm and half of a track of 1 mm are more than two columns of 0.635 mm."""
    assert more_columns(TrackClass(1_000_000, 330_000)) == 1
    assert more_columns(TrackClass(600_000, 220_000)) == 0

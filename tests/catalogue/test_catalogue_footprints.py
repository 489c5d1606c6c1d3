"""Hole patterns: integers of nanometres, holes and lands by rule where no drawing states them."""

import tomllib
from pathlib import Path

import pytest

import boardgen
from boardgen.handbook import holes
from tests.catalogue.own_folder import over, problem
from tests.catalogue.shipped import CATALOGUE

FOOTPRINTS = tuple(CATALOGUE.footprints.values())
SHIPPED = tomllib.loads((Path(boardgen.__file__).parents[1] / "parts" / "footprints.toml").read_text())["footprint"]
LEADS_MM = {drawn["key"]: drawn["lead_mm"] for drawn in SHIPPED if "lead_mm" in drawn}
TWO = """
[[footprint]]
key = "own-two"
description = "two pads"
view = "top"
standing = "read"
source = "own"
pads_mm = [["1", 0, 0], ["2", 5.08, 0]]
"""


@pytest.mark.parametrize("footprint", FOOTPRINTS, ids=lambda footprint: footprint.key)
def test_a_footprint_is_complete_or_says_what_is_missing(footprint):
    assert footprint.description
    assert footprint.source
    assert bool(footprint.pads) or bool(footprint.gap)
    for pad in footprint.pads:
        assert isinstance(pad.x_nm, int)
        assert isinstance(pad.y_nm, int)
        if pad.hole_nm:
            assert pad.width_nm - pad.hole_nm >= 500_000, "an annular ring of a quarter millimetre"


@pytest.mark.parametrize("footprint", FOOTPRINTS, ids=lambda footprint: footprint.key)
def test_lands_do_not_touch(footprint):
    pads = footprint.pads
    for number, one in enumerate(pads):
        for other in pads[number + 1 :]:
            apart_x = abs(one.x_nm - other.x_nm) - (one.width_nm + other.width_nm) // 2
            apart_y = abs(one.y_nm - other.y_nm) - (one.height_nm + other.height_nm) // 2
            assert max(apart_x, apart_y) >= 500_000


def test_every_footprint_is_used_or_an_alternative():
    used = {part.footprint for part in CATALOGUE.parts.values()}
    alternatives = {footprint.upright for footprint in FOOTPRINTS} - {""}
    assert "axial-0207-upright" in alternatives
    assert CATALOGUE.footprints.keys() - used == alternatives


def test_a_gap_has_no_pads():
    gaps = [f for f in FOOTPRINTS if f.gap]
    assert {"jack-8p8c", "f-jack-straight", "f-jack-right-angle", "bnc-jack-straight"} <= {f.key for f in gaps}
    assert not any(f.pads for f in gaps)


def test_an_unknown_lead_leaves_the_hole_unknown():
    assert {pad.hole_nm for pad in CATALOGUE.footprints["choke-11.7x12-9.0"].pads} == {None}


@pytest.mark.parametrize("key", LEADS_MM)
def test_holes_take_the_lead(key):
    """Whether the hole follows from the lead or is written: at least what the rule asks for at level A."""
    least_nm = round(holes.hole_m(LEADS_MM[key] / 1e3, "A") * 1e9)
    assert all(pad.hole_nm >= least_nm for pad in CATALOGUE.footprints[key].pads)


@pytest.mark.parametrize(
    ("key", "hole_nm", "land_nm"),
    [
        ("gas-tube-three-4.4", 1_250_000, 1_950_000),  # EPCOS catalogue 2008/2009 p. 47: lead 1 mm
        ("axial-do41", 1_150_000, 1_850_000),  # Vishay document 88525: lead 0.86 mm at most
        ("terminal-5.08-2", 1_300_000, 2_000_000),  # On Shore Technology OSTTCXX2162: hole 1.3 mm
        ("terminal-3.5-5", 1_200_000, 1_900_000),  # an open library's PT-1,5-5-3.5-H: hole 1.2 mm
    ],
)
def test_holes_that_makers_leads_ask_for(key, hole_nm, land_nm):
    pads = CATALOGUE.footprints[key].pads
    assert {(pad.hole_nm, pad.width_nm, pad.height_nm) for pad in pads} == {(hole_nm, land_nm, land_nm)}


def test_surface_pads():
    footprint = CATALOGUE.footprints["bifilar-b82790c0"]
    assert [(p.x_nm, p.y_nm) for p in footprint.pads] == [
        (-3_675_000, 1_250_000), (3_675_000, 1_250_000), (3_675_000, -1_250_000), (-3_675_000, -1_250_000),
    ]  # fmt: skip
    assert {(p.hole_nm, p.width_nm, p.height_nm) for p in footprint.pads} == {(0, 2_850_000, 1_200_000)}


def test_windings_leave_a_core_at_opposite_faces():
    for key in ("core-202", "core-2402", "core-6802"):
        footprint = CATALOGUE.footprints[key]
        rows = {pad.number[0]: pad.y_nm for pad in footprint.pads}
        assert rows["P"] == -rows["S"]
        assert 1_900_000 < rows["S"] - footprint.body_y_nm // 2 < 3_100_000


@pytest.mark.parametrize(
    ("line", "hole_nm", "land_nm"),
    [
        ("", None, 0),
        ("hole_mm = 1.1", 1_100_000, 1_800_000),
        ("lead_mm = 0.86", 1_150_000, 1_850_000),  # 0.86 + 0.25 = 1.11, to the next drill
        ("lead_mm = 0.5", 750_000, 1_450_000),  # 0.5 + 0.25 is a drill already
        ("hole_mm = 1.1\nland_mm = 2.2", 1_100_000, 2_200_000),
        ("lead_mm = 0.5\nhole_mm = 0.9", 900_000, 1_600_000),
    ],
)
def test_holes_and_lands_by_rule(tmp_path, line, hole_nm, land_nm):
    pads = over(tmp_path, own=TWO + line).footprints["own-two"].pads
    assert {(pad.hole_nm, pad.width_nm, pad.height_nm) for pad in pads} == {(hole_nm, land_nm, land_nm)}


def test_a_pad_may_differ_from_the_rest(tmp_path):
    text = TWO.replace('["2", 5.08, 0]', '["2", 5.08, 0, 1.5, 3, 2.5]') + "hole_mm = 1"
    first, second = over(tmp_path, own=text).footprints["own-two"].pads
    assert (first.hole_nm, second.hole_nm, second.width_nm, second.height_nm) == (
        1_000_000, 1_500_000, 3_000_000, 2_500_000,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "identity"),
    [
        ('view = "top"\n', "", "K004 absent key"),
        ('"top"', '"side"', "K005 not a choice"),
        ('["1", 0, 0]', '["1", 0]', "K003 wrong type"),
        ('["1", 0, 0]', '["1", 0, "0 mm"]', "K003 wrong type"),
        ('["1", 0, 0]', '["2", 0, 0]', "K006 used twice"),
        ('source = "own"', 'source = "own"\npad_mm = []', "K002 unknown key"),
        ('pads_mm = [["1", 0, 0], ["2", 5.08, 0]]', "", "K004 absent key"),
        ('source = "own"', 'source = ""', "K004 absent key"),
        ('source = "own"', 'source = "own"\nbody_mm = 3', "K003 wrong type"),
        ('source = "own"', 'source = "own"\nhole_mm = "1 mm"', "K003 wrong type"),
        ('"read"', '"heard"', "K005 not a choice"),
        ('source = "own"', 'source = "own"\nhole_mm = -1', "K003 wrong type"),
        ('source = "own"', 'source = "own"\nhole_mm = 1\nlead_mm = "1 mm"', "K003 wrong type"),
        ('["1", 0, 0]', '["", 0, 0]', "K003 wrong type"),
        ('["1", 0, 0]', '["1", 0, 0, -1, 2, 2]', "K003 wrong type"),
    ],
)
def test_faults_of_a_footprint(tmp_path, old, new, identity):
    found = problem(tmp_path, TWO.replace(old, new))
    assert found.id == identity
    assert found.place.file.endswith("own.toml")
    assert found.wanted

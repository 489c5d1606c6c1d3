"""The box is chosen by its lower wall too: all holes at their pitch, or words that no box on offer has room."""

from itertools import combinations, product
from math import hypot

import numpy as np
import pytest

from boardgen.request import Request, candidates
from boardgen.sizing.box import EDGE_MM, RIM_MM, WIDEST_GAP_MM, around, enclosure, holes, wall
from boardgen.sizing.extras import too_large
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE

SMALL_M = (0.09, 0.08)
NEAR_MM = 1e-6
BAND = '[band]\nlowest = "1.8 MHz"\nhighest = "10.15 MHz"\n'


def _request(ways, pitch="20 mm", cables=1):
    antennas = "".join(f'[[antenna]]\nlabel = "way {n}"\n' for n in range(ways))
    return Request(read_text(f'{BAND}{antennas}[control]\ncables = {cables}\n[box]\npitch = "{pitch}"\n'), CATALOGUE)


@pytest.mark.parametrize("pitch", ["15 mm", "20 mm", "30 mm", "50 mm"])
def test_holes_find_room_at_their_pitch_or_words_say_that_none_has_room(pitch):
    told = set()
    for ways, cables in product(range(1, 17), (1, 3)):
        request = _request(ways, pitch, cables)
        box, row = enclosure(request, SMALL_M), holes(request)
        codes = {problem.id for problem in too_large(request, SMALL_M)}
        assert ("V201 connectors" in codes) == (not box.wall.fits)
        told.add(box.wall.fits)
        assert len(row) == len(box.wall.places_mm) == ways + 1 + 2 + cables
        pitch_mm = request.spec.box.pitch * 1e3
        for (one, a), (other, b) in combinations(zip(box.wall.places_mm, row, strict=True), 2):
            least_mm = pitch_mm if a and b else max(pitch_mm, WIDEST_GAP_MM)
            assert hypot(one[0] - other[0], one[1] - other[1]) >= least_mm - NEAR_MM
        if box.wall.fits:
            for x, y in box.wall.places_mm:
                assert EDGE_MM - NEAR_MM <= x <= box.wide_mm - EDGE_MM + NEAR_MM
                assert RIM_MM - NEAR_MM <= y <= box.deep_mm - RIM_MM + NEAR_MM
    assert told == ({True, False} if pitch == "50 mm" else {True})


def test_no_box_before_the_chosen_one_has_room():
    offered = candidates(_request(1), "enclosure", "")
    chosen = []
    for ways in (1, 4, 8, 12, 16):
        request = _request(ways)
        part = enclosure(request, SMALL_M).part
        for smaller in offered[: offered.index(part)]:
            box = around(request, smaller, SMALL_M)
            assert not (box.holds and box.wall.fits)
        chosen.append(part.value)
    assert chosen == sorted(chosen, key=[p.value for p in offered].index)
    assert len(set(chosen)) > 1


def test_nine_connectors_of_an_eight_way_share_a_row_with_stud_vent_and_glands():
    """By hand: three rows 25 mm apart are too many for 90 mm of depth; seven and two connectors are the shortest."""
    box = around(_request(8, cables=2), CATALOGUE.part("enclosure-180x150x90"), (0.15356, 0.09144))
    assert box.holds
    assert box.wall.fits
    upper = [(x, 55.8) for x in (30, 50, 70, 90, 110, 130, 150)]
    lower = [(x, 30.8) for x in (30, 50, 75, 100, 125, 150)]
    np.testing.assert_allclose(box.wall.places_mm, upper + lower, atol=1e-9)


def test_a_wall_takes_what_its_edges_leave():
    """By hand: two connectors at 20 mm need 18 mm at either side; two rows in 59.68 mm leave 12 mm at the back."""
    assert len({y for _, y in wall((True, True), 0.02, 56.0, 60).places_mm}) == 1
    assert len({y for _, y in wall((True, True), 0.02, 55.9, 60).places_mm}) == 2
    assert wall((True, False), 0.02, 50.0, 59.7).fits
    assert not wall((True, False), 0.02, 50.0, 59.6).fits
    assert wall((True,), 0.02, 50.0, 31.6).fits
    assert not wall((True,), 0.02, 50.0, 31.5).fits


def test_a_narrow_board_lies_along_the_longer_side_where_its_connectors_need_it():
    part = CATALOGUE.part("enclosure-280x190x100")
    assert around(_request(1), part, (0.08, 0.15)).wide_mm == pytest.approx(190)
    assert around(_request(16, "25 mm", cables=4), part, (0.08, 0.15)).wide_mm == pytest.approx(280)

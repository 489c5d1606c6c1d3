"""A board is sized again with another part in the place of one that was chosen."""

import pytest

from boardgen.request import Request
from boardgen.sizing.exchanged import exchanged
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.circuit.options import specification

TUBE, OTHER_TUBE = "gas-tube-t83-a90x", "gas-tube-t83-a230x"


@pytest.fixture(scope="module")
def request_of_two() -> Request:
    return Request(read_text(specification({}, 2)), CATALOGUE)


def test_a_tube_of_more_volts_wants_more_clearance_than_the_board_has(request_of_two: Request) -> None:
    found = exchanged(request_of_two, TUBE, OTHER_TUBE)
    # the least d.c. sparkover of a 90 V tube at 20 % below is 72 V, of a 230 V one 184 V
    assert any(said.startswith("surge tube: 184 V instead of 72 V") for said in found.changes)
    assert [said for said in found.short if said.startswith("clearance: at least")]


def test_the_part_itself_changes_nothing(request_of_two: Request) -> None:
    found = exchanged(request_of_two, TUBE, TUBE)
    assert (found.changes, found.short) == ((), ())


def test_what_cannot_be_sized_says_why(request_of_two: Request) -> None:
    found = exchanged(request_of_two, TUBE, "gas-tube-of-nobody")
    assert found.changes == ()
    assert "gas-tube-of-nobody" in found.short[0]


def test_a_part_that_no_value_is_sized_by_is_not_looked_at(request_of_two: Request) -> None:
    assert exchanged(request_of_two, "hardware-tie", "hardware-screw-m3").short == ()

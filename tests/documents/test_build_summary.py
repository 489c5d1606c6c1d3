"""What is said of a build on one screen."""

from decimal import Decimal
from functools import cache

import pytest

from boardgen.catalogue import load
from boardgen.cli.report import print_targets
from boardgen.cli.terminal import print_wrapped
from boardgen.design import make_design
from boardgen.documents.build_summary import board_cost, first_checks, first_lines, lines, price
from boardgen.model.part import Part
from boardgen.purchasing.bare_board import AREA, SET_UP, bare_board_offers
from boardgen.purchasing.bill import bill
from boardgen.purchasing.needs import Need, Spares
from boardgen.request import Request
from boardgen.rf.verdict import deciding
from boardgen.spec.load import read_text
from tests.purchasing.made_offers import offer

BOARD = Part("bare-board-150x120", "bare board", "any", "board", "board", "150x120", "read", "sheet")
BY_AREA = (
    offer((1, "24.00"), part=SET_UP, order_code="S"),
    offer((1, "12.40"), part=AREA, order_code="D", source="a letter"),
)
BY_SIZE = (offer((1, "9.50"), part=BOARD.key, source="list of 2 dm2 and more"),)


@pytest.mark.parametrize(
    ("offers", "said"),
    [
        (BY_SIZE, "9.50 CAD for one, Supplier A: size class up to 150x120 mm"),
        (
            bare_board_offers(BY_AREA, BOARD, Decimal(1), 1),
            "36.40 CAD for one, Supplier A: set-up 24.00 and 1 dm2 at 12.40; a letter",
        ),
        ((), "no price"),
    ],
)
def test_what_makes_the_price_of_a_board_is_no_matter_of_words(offers, said):
    made = bill([Need(BOARD, (), Decimal(1), "piece", spare=False)], offers, 1, Spares(Decimal(0)), "CAD")
    assert board_cost(made) == said


PLAIN = """[band]
lowest = "1.8 MHz"
highest = "10.15 MHz"
[[antenna]]
label = "an antenna of the longest name that anybody would give it"
[[antenna]]
label = "b"
impedance = "300 ohm"
"""
FEEDER = (
    '[feeder]\ncable = "RG-6 steel centre"\nlength = "180 m"\nenvironment = "quiet rural"\nnoise_figure = "14 dB"\n'
)
MISSED = '[targets]\ncommon_mode = "40 kohm"\ninsertion_loss = "0.2 dB"\nisolation = "120 dB"\n'


@cache
def design(more):
    """A board of two ways with these tables too, without a layout."""
    return make_design(Request(read_text(PLAIN + more), load()))


@pytest.mark.parametrize("more", ["", FEEDER, MISSED, "[switching]\nrelays_in_series = 2\n"])
def test_what_a_build_says_fits_80_columns(more, capsys):
    made = design(more)
    print_wrapped(first_lines(made, made.problems, "output/board"))
    print_targets(made.prediction)
    print_wrapped([one for one in lines(made) if one[0] != "bare board"])
    printed = capsys.readouterr().out.splitlines()
    assert len(printed) > 20
    assert [line for line in printed if len(line) > 80] == []


def test_the_first_lines_are_few_and_end_with_what_to_open():
    made = design("")
    said = dict(first_lines(made, made.problems, "output/board"))
    assert list(said) == ["verdict", "decided by", "feeder", "size", "price", "check first", "open next"]
    assert said["open next"] == "output/board/book.html"
    assert "no coax is named" in said["feeder"]
    assert said["price"] == f"none of {len(made.bill.lines)} lines has a price: give a price file with --prices"
    checks = first_checks(made)
    assert 1 < len(checks) <= 5
    assert len({check.part.kind for check in checks}) == len(checks)
    assert all(check.ruins_the_board for check in checks)


def test_a_missed_target_decides_and_what_would_hold_is_told():
    """The worst of three that are missed comes first, with what may be asked for instead."""
    made = design(MISSED)
    said = dict(first_lines(made, made.problems, "output/board"))
    assert said["verdict"].startswith("falls short of 3 of 4 targets")
    decides = deciding(made.prediction.verdicts)
    assert decides.state == "falls short"
    assert decides.room == min(v.room for v in made.prediction.verdicts)
    assert said["decided by"].startswith(decides.judged.target.replace("_", " "))
    assert "over the whole bound for" in said["it holds"]


def test_the_feeder_is_told_with_its_share_and_the_cure():
    """180 m of steel-centred coax at a quiet place: its cost, the board's, other cables, an amplifier at the box."""
    said = dict(first_lines(design(FEEDER), (), ""))["feeder"]
    assert said.startswith("180 m of RG-6 steel centre: coax and board cost ")
    assert "of weak signals at 10.1" in said
    assert "dB with RG-11 foam" in said
    assert "amplifier at the box" in said


def test_a_bill_of_which_little_is_priced_does_not_head_with_its_total():
    made = design("")
    relay = next(need for need in made.needs if need.part.kind == "relay")
    some = bill(made.needs, (offer((1, "4.50"), part=relay.part.key),), 1, made.spares, "CAD")
    priced = len(some.lines) - 1
    assert price(some).startswith(f"1 of {len(some.lines)} lines priced: ")
    assert f"{priced} without a price" in price(some)

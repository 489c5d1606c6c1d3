"""What is said of a build on one screen."""

from decimal import Decimal
from functools import cache

import pytest

from boardgen.cli.report import print_targets
from boardgen.cli.terminal import print_wrapped
from boardgen.design import make_design
from boardgen.documents.build_summary import (
    board_cost,
    checks_in_words,
    first_checks,
    first_lines,
    lines,
    price,
    verdict_in_words,
)
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.bare_board import AREA, SET_UP, bare_board_offers
from boardgen.purchasing.bill import bill
from boardgen.purchasing.needs import Need, Spares
from boardgen.request import Request
from boardgen.rf.verdict import deciding
from boardgen.spec.load import read_text
from boardgen.spec.template import with_ways
from tests.catalogue.shipped import CATALOGUE
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
    return make_design(Request(read_text(PLAIN + more), CATALOGUE))


@pytest.mark.parametrize("more", ["", FEEDER, MISSED])
def test_what_a_build_says_fits_80_columns(more, capsys):
    made = design(more)
    print_targets(made.prediction)
    print_wrapped([one for one in lines(made) if one[0] != "bare board"])
    printed = capsys.readouterr().out.splitlines()
    assert len(printed) > 20
    assert [line for line in printed if len(line) > 80] == []


FIRST = ["verdict", "decided by", "feeder", "size", "price", "check first", "open next"]
STATED = '[targets]\ncommon_mode = "3.9 kohm to 3.5 MHz"\n'
CASCADED = "[switching]\nrelays_in_series = 2\n"
ALONE = (
    '[switching]\nbraid_breakers = "antennas"\nidle = "open"\n[protection]\nsurge = false\n'
    '[targets]\nisolation = "40 dB"\n'
)


@pytest.mark.parametrize("feeder", ["", FEEDER], ids=["", "feeder"])
@pytest.mark.parametrize(
    ("more", "besides"),
    [("", "rests on"), (MISSED, "it holds"), (STATED, "rests on"), (ALONE, ""), (CASCADED, "rests on")],
)
def test_the_first_lines_are_ten_at_most_and_end_with_what_to_open(more, besides, feeder, capsys):
    made = design(more + feeder)
    said = first_lines(made, made.problems, "output/board")
    assert [heading for heading, _ in said if heading != besides] == FIRST
    assert bool(besides) == (besides in dict(said))
    print_wrapped(said)
    printed = capsys.readouterr().out.splitlines()
    assert len(printed) <= 10
    assert max(map(len, printed)) <= 80
    assert dict(said)["open next"] == "output/board/book.html"
    assert "a folder" not in dict(first_lines(made, (), "a folder" * 20))["open next"]


def test_first_checks_are_short_and_joined_by_what_is_to_be_checked():
    made = design("")
    said = dict(first_lines(made, made.problems, "output/board"))
    checks = first_checks(made)
    assert 1 < len(checks) <= 5
    assert len({check.part.kind for check in checks}) == len(checks)
    assert all(check.ruins_the_board for check in checks)
    assert said["check first"] == (
        "pins of the relay, holes of the gas tube and the stud, inside size of the enclosure, stock of the core: "
        "bill.xlsx, sheet Assumptions"
    )
    assert checks_in_words(()) == "nothing"
    assert said["feeder"] == "not told: name cable and length under [feeder]"
    assert said["price"] == f"none of {len(made.bill.lines)} lines has a price: give a price file with --prices"


def test_a_cable_that_no_length_would_do_for_is_said_so():
    """A feed that asks for more volts than the supply has at its lowest."""
    spec = read_text(PLAIN.replace('label = "b"', 'label = "b"\nfeed = "24 V 40 mA"'))
    said = dict(lines(make_design(Request(spec, CATALOGUE))))["cable"]
    assert said.endswith("asked for, not even a short one would work")


@pytest.mark.parametrize("lessen", [True, False])
def test_isolation_as_laid_out_says_what_strips_do_to_it(lessen):
    """They may as well cancel what contacts pass."""
    spec = read_text(PLAIN if lessen else with_ways("four-way", 4))
    made = make_design(Request(spec, CATALOGUE), laid_out=True)
    laid = next(j.achieved for j in made.prediction.judged if j.quantity == "isolation")
    assert (laid < made.prediction.isolation_by_relays[1]) == lessen
    said = dict(lines(made))["in series"]
    assert ("for strips couple too" in said) == lessen
    assert ("happen to cancel" in said) == (not lessen)


def test_a_missed_target_decides_and_what_would_hold_is_told():
    """The worst of three that are missed comes first, with what may be asked for instead."""
    made = design(MISSED)
    said = dict(first_lines(made, made.problems, "output/board"))
    assert said["verdict"].startswith("falls short of 3 of 4 targets")
    decides = deciding(made.prediction.verdicts)
    assert decides.state == "falls short"
    assert decides.room == min(v.room for v in made.prediction.verdicts)
    assert said["decided by"].startswith(decides.judged.target.replace("_", " "))
    assert ", safely at " in said["it holds"]


def test_faults_that_are_no_targets_are_counted():
    made = design("")
    other = Problem("V132 compensation", "shortfall", Place(key="way 1"), "no capacitor is as small")
    said = verdict_in_words(made, (other, other))
    assert said == "meets all 4 targets, 1 only as stated; 2 faults besides, see below"


def test_the_feeder_is_told_with_its_share_and_the_cure():
    """180 m of steel-centred coax at a quiet place: its cost, the board's, other cables, an amplifier at the box."""
    made = design(FEEDER)
    short = dict(first_lines(made, (), ""))["feeder"]
    whole = dict(lines(made))["feeder"]
    assert whole.startswith("180 m of RG-6 steel centre: coax and board cost ")
    for word in ("10.15 MHz", "RG-11 foam", "an amplifier at the box"):
        assert word in short
        assert word in whole


def test_a_bill_of_which_little_is_priced_does_not_head_with_its_total():
    made = design("")
    relay = next(need for need in made.needs if need.part.kind == "relay")
    some = bill(made.needs, (offer((1, "4.50"), part=relay.part.key),), 1, made.spares, "CAD")
    priced = len(some.lines) - 1
    assert price(some).startswith(f"1 of {len(some.lines)} lines priced: ")
    assert f"{priced} without a price" in price(some)

"""Parts in hand: sizing takes them where they do, says what they lose or why not, and nobody buys them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from boardgen.design import Design, make_design
from boardgen.documents.json.document import json_bytes
from boardgen.model.problem import InputError, Problem
from boardgen.order_design import Board, OrderDesign
from boardgen.purchasing.needs_file import content_of, needs_document, read_needs
from boardgen.request import Request
from boardgen.rf.in_hand import with_coax
from boardgen.rf.prediction import Prediction
from boardgen.rf.refine import Refined, refine
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.purchasing.made_offers import offer
from tests.rf.rf_boards import BOARDS

FEEDER = '[feeder]\nlength = "120 m"\n'


def request(*rows: str, text: str = BOARDS["default"]) -> Request:
    text += "".join(f"[[in_hand]]\n{row}\n" for row in rows)
    spec = read_text(text)
    return Request(with_coax(spec, CATALOGUE.parts), CATALOGUE)


def found(*rows: str, text: str = BOARDS["default"]) -> Refined:
    return refine(request(*rows, text=text))


def said(refined: Refined, row: int | None = None) -> str:
    """What is said of a row of [[in_hand]], or of all that is taken."""
    key = "in_hand" if row is None else f"in_hand[{row}].part"
    return "; ".join(problem.sentence for problem in refined.problems if problem.place.key == key)


def test_a_relay_and_a_core_in_hand_are_taken_and_their_loss_is_that_of_both_boards() -> None:
    own = refine(request())
    mine = found('part = "relay-az850-12"', 'part = "core-73-302"')
    assert "relay-az850-12" in mine.choices.parts
    assert "relay-az850-12" not in own.choices.parts
    figures = [{j.quantity: j.achieved for j in one.prediction.judged} for one in (mine, own)]
    assert f"{figures[0]['insertion loss']:.3g} dB instead of {figures[1]['insertion loss']:.3g} dB" in said(mine)
    assert f"{figures[0]['isolation']:.3g} dB instead of {figures[1]['isolation']:.3g} dB" in said(mine)


def test_what_cannot_do_is_told_with_its_reason_and_the_board_is_the_same() -> None:
    own = refine(request())
    mine = found('part = "relay-finder-30-22-12"', 'part = "gas-tube-2026-09"', 'part = "choke-rh0912-33uh"')
    assert mine.choices.values == own.choices.values
    assert "coil resistance, must operate" in said(mine, 1)
    assert "the least that does" in said(mine, 2)
    assert "needs no choke" in said(mine, 3)
    assert said(mine) == ""


@pytest.mark.slow
def test_a_part_with_which_a_target_is_missed_by_more_is_left_out_alone() -> None:
    text = BOARDS["local rail"] + '[targets]\ncommon_mode = "2.7 kohm to 3.5 MHz"\n'
    own = found(text=text)
    mine = found('part = "relay-az850-12"', 'part = "choke-rb1314-470uh"', text=text)
    assert (own.found.missed, mine.found.missed) == (0, 0)
    assert "relay-az850-12" in mine.choices.parts
    assert "choke-rb1314-470uh" not in mine.choices.parts
    assert "is in hand and not taken" in said(mine, 2)
    assert "missed by more" in said(mine, 2) or "wanted is at least 2.7 kohm" in said(mine, 2)


def test_a_pinned_part_goes_before_one_in_hand() -> None:
    text = BOARDS["default"] + '[parts]\nrelay = "relay-hfd2-12-m"\n'
    mine = found('part = "relay-az850-12"', text=text)
    assert "relay-hfd2-12-m" in mine.choices.parts
    assert "parts.relay names" in said(mine, 1)


def test_a_resistor_that_is_made_on_demand_may_be_in_hand() -> None:
    lines = {line.part.key: line for line in make_design(request('part = "resistor-mfr25-82k"')).bill.lines}
    assert lines["resistor-mfr25-82k"].supplier == "in hand"


def test_hair_wire_in_hand_is_no_reason_to_wind_it() -> None:
    assert "wire-awg34" not in size(request('part = "wire-awg34"')).parts
    assert "wire-awg28" in size(request('part = "wire-awg28"')).parts


@pytest.mark.parametrize(
    ("row", "key", "word"),
    [
        ('part = "relay-az850"', "in_hand[1].part", 'Did you mean "relay-az850-12"?'),
        ('part = "wire-awg26"\npieces = 3', "in_hand[1].pieces", "length"),
        ('part = "relay-az850-12"\nlength = "3 m"', "in_hand[1].length", "pieces"),
        ('part = "wire-awg26"\n[[in_hand]]\npart = "wire-awg26"', "in_hand[2].part", "once"),
    ],
)
def test_a_wrong_row_is_refused_at_its_key(row: str, key: str, word: str) -> None:
    with pytest.raises(InputError) as refused:
        size(request(row))
    (problem,) = refused.value.problems
    assert (problem.place.key, word in problem.sentence) == (key, True), problem


def test_coax_in_hand_is_the_main_coax_where_it_fits() -> None:
    rg59, rg58 = 'part = "cable-feeder-rg-59"', 'part = "cable-feeder-rg-58c"'
    text = BOARDS["default"] + FEEDER
    assert request(rg58, rg59, text=text).spec.feeder.cable == "RG-59"
    assert request(f'{rg59}\nlength = "100 m"', text=text).spec.feeder.cable is None
    mine = found(rg58, rg59, text=text)
    assert "50 ohm, the main coax 75 ohm" in said(mine, 1)
    assert "is the main coax" in said(mine, 2)


def test_coax_in_hand_says_what_it_loses_against_the_named_one() -> None:
    text = BOARDS["default"] + FEEDER
    named = text.replace("[feeder]\n", '[feeder]\ncable = "RG-11 foam"\n')
    asked = request('part = "cable-feeder-rg-59"', text=named)
    assert asked.spec.feeder.cable == "RG-11 foam"
    mine = refine(asked)

    def whole_db(prediction: Prediction) -> float:
        return max(point.whole_db for point in prediction.path)

    other = Prediction(
        request('part = "cable-feeder-rg-59"', text=text), mine.found.choices, mine.prediction.netlist, None
    )
    lost = whole_db(other) - whole_db(mine.prediction)
    assert lost > 0.5
    assert f"would lose {lost:.1f} dB" in said(mine, 1)


def design(*rows: str) -> Design:
    prices = [offer((1, "4.00"), part="relay-az850-12"), offer((1, "1.50"), part="core-73-202")]
    return make_design(request(*rows), prices, predicted=True)


def test_the_bill_buys_only_what_is_not_in_hand() -> None:
    made = design('part = "relay-az850-12"', 'part = "core-73-202"\npieces = 2')
    lines = {line.part.key: line for line in made.bill.lines}
    relay, core = lines["relay-az850-12"], lines["core-73-202"]
    # 4 relays and 5 cores with a tenth for spares are 5 and 6; 4 cores are bought and 3 of 5 on the board cost
    assert (relay.in_hand, relay.ordered, relay.line_cost, relay.supplier) == (5, 0, 0, "in hand")
    assert (core.in_hand, core.ordered, core.line_cost) == (2, 4, Decimal("6.00"))
    assert (made.bill.order_total, made.bill.board_value) == (Decimal("6.00"), Decimal("4.50"))
    assert not {"relay-az850-12"} & {line.part.key for line in made.bill.unpriced}


def test_an_order_takes_what_is_in_hand_from_stock_also_of_a_built_folder() -> None:
    made = design('part = "relay-az850-12"', 'part = "core-73-202"\npieces = 2')
    read = read_needs(json_bytes(needs_document(made.content)))
    content, problems = content_of(read, {p.key: p for p in made.content.parts}.get, "needs.json")
    assert problems == ()
    for boards in ((made.content,), (content, content)):
        order = OrderDesign(tuple(Board(f"board {n}", one, False) for n, one in enumerate(boards)), (), CATALOGUE)
        stock = {item.part: item.quantity for item in order.stock()}
        assert stock == {"relay-az850-12": 5 * len(boards), "core-73-202": 2}


def test_no_word_is_said_where_nothing_is_in_hand() -> None:
    problems: list[Problem] = [p for p in refine(request()).problems if p.place.key.startswith("in_hand")]
    assert problems == []

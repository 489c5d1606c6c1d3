"""The bill: quantities, totals, and what it falls short of."""

from datetime import date
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from boardgen.model.extra import Extra
from boardgen.purchasing.bill import Bill, BillLine, bill
from boardgen.purchasing.needs import Need, Spares, need_of_extra
from boardgen.purchasing.offer import Offer
from tests.purchasing.made_offers import RELAY, RESISTOR, WIRE, offer, offers

TEN_PERCENT = Spares(Decimal("0.1"))
NONE = Spares(Decimal())


def need(per_board: str = "4", spare: bool = True, **changes: object) -> Need:
    return replace(Need(RELAY, ("K1", "K2"), Decimal(per_board), "piece", spare, ""), **changes)


def only(made: Bill) -> BillLine:
    (line,) = made.lines
    return line


def test_a_bill_done_by_hand() -> None:
    needs = [
        need("4"),  # 2 boards: 8, with spares 8.8 so 9; 9 x 4.00 = 36.00 but 10 x 3.00 = 30.00
        need("7", spare=False, part=RESISTOR, refs=("R1",)),  # 14, in tens: 20 x 0.105 = 2.10
        need("3.47", part=WIRE, unit="m", refs=()),  # 6.94 m so 7.0; with spares 7.634 so 7.7; one spool: 25 x 0.30
    ]
    prices = [
        offer((1, "4.00"), (10, "3.00")),
        offer((1, "0.105"), part="resistor-*", order_code="B/*", supplier="Supplier B", multiple=Decimal(10)),
        offer((25, "0.30"), part="wire-28", multiple=Decimal(25)),
    ]
    made = bill(needs, prices, 2, TEN_PERCENT, "CAD")
    told = [
        tuple(map(str, (x.needed, x.spares, x.ordered, x.unit_price, x.line_cost, x.order_code))) for x in made.lines
    ]
    assert told == [
        ("8", "1", "10", "3.00", "30.00", "A-1"),
        ("14", "0", "20", "0.105", "2.10", "B/R37R4"),
        ("7.0", "0.7", "25", "0.30", "7.50", "A-1"),
    ]
    assert made.lines[0].explanation == "10 cost less than 9: 36.00 CAD for 9, 30.00 CAD for 10"
    assert str(made.order_total) == "39.60"
    assert str(made.total_per_board) == "19.80"
    assert str(made.board_value) == "13.78"  # 4 x 3.00 + 7 x 0.105 = 0.735 so 0.74, + 3.47 x 0.30 = 1.041 so 1.04
    assert made.problems == ()


def test_the_total_per_board_is_rounded_half_up() -> None:
    made = bill([need("1", spare=False)], [offer((1, "0.335"))], 2, NONE, "CAD")
    assert (str(made.order_total), str(made.total_per_board)) == ("0.67", "0.34")


def test_a_currency_without_cents() -> None:
    made = bill([need("1", spare=False)], [offer((1, "120.5"), currency="JPY")], 3, NONE, "JPY")
    assert (str(made.order_total), str(made.total_per_board), str(made.board_value)) == ("362", "121", "121")


@given(
    st.lists(
        st.tuples(st.sampled_from([RELAY, RESISTOR]), st.integers(1, 40), st.booleans()),
        min_size=1,
        max_size=2,
        unique_by=lambda row: row[0].key,
    ),
    st.lists(offers(), max_size=4),
    st.integers(1, 9),
    st.integers(0, 50),
)
def test_quantities_and_totals_agree(
    rows: list[tuple[object, int, bool]], made: list[Offer], boards: int, percent: int
) -> None:
    needs = [need(str(count), spare, part=part) for part, count, spare in rows]
    found = bill(needs, made, boards, Spares(Decimal(percent) / 100), "CAD")
    cents = Decimal("0.01")
    for line, asked in zip(found.lines, needs, strict=True):
        exact = asked.per_board * boards * (100 + percent * asked.spare) / 100
        assert line.needed == asked.per_board * boards
        assert line.needed + line.spares == exact.to_integral_value(ROUND_CEILING)
        assert line.ordered >= line.needed + line.spares
        if line.line_cost is not None:
            assert line.line_cost == (line.ordered * line.unit_price).quantize(cents, ROUND_HALF_UP)
    assert found.order_total == sum(line.line_cost or 0 for line in found.lines)
    assert abs(found.total_per_board * boards - found.order_total) <= cents / 2 * boards
    assert len(found.unpriced) == sum(p.id == "price-missing" for p in found.problems)


def test_needs_of_one_part_are_bought_together() -> None:
    needs = [need("5", note="first"), need("3", spare=False, refs=("K9",), note="second")]
    line = only(bill(needs, [offer((1, "1.20"), (10, "0.85"))], 1, NONE, "CAD"))
    assert (str(line.ordered), str(line.line_cost), line.refs) == ("10", "8.50", ("K1", "K2", "K9"))
    assert line.note == "first; second"


@pytest.mark.parametrize(("first", "second", "spares"), [(True, False, 1), (False, True, 1), (False, False, 0)])
def test_a_part_that_may_be_lost_in_one_place_gets_spares_for_all(first: bool, second: bool, spares: int) -> None:
    line = only(bill([need("5", first), need("3", second)], [], 1, TEN_PERCENT, "CAD"))
    assert line.spares == spares


def test_a_part_without_a_price_stays_and_is_named() -> None:
    made = bill([need()], [offer((1, "4"), currency="EUR")], 2, TEN_PERCENT, "CAD")
    line = only(made)
    assert (line.ordered, line.line_cost, line.unit_price, line.supplier, line.lead_days, line.as_of) == (
        9,
        None,
        None,
        "",
        None,
        None,
    )
    (problem,) = made.problems
    assert (problem.id, problem.severity, problem.place.key) == ("price-missing", "shortfall", "relay-x")
    assert problem.sentence.startswith("no price in CAD; there is one in EUR.")
    assert str(made.order_total) == "0.00"


def test_a_family_price_gives_way_to_the_same_suppliers_own() -> None:
    family = offer((1, "0.10"), part="resistor-*", order_code="*")
    own = offer((1, "0.50"), part="resistor-37r4", order_code="own")
    other = offer((1, "0.40"), part="resistor-*", order_code="B*", supplier="Supplier B")
    line = only(bill([need(part=RESISTOR)], [family, own, other], 1, NONE, "CAD"))
    assert line.order_code == "BR37R4"
    assert [purchase.offer.order_code for purchase in line.alternatives] == ["own"]


def test_stock_short_is_a_shortfall() -> None:
    made = bill([need()], [offer((1, "4"), stock=Decimal(3))], 2, NONE, "CAD")
    (problem,) = made.problems
    assert (problem.id, problem.severity) == ("stock-short", "shortfall")
    assert problem.found == "Maker X-12: no supplier has 8; Supplier A has 3"
    assert str(made.order_total) == "32.00"


@pytest.mark.parametrize(("on", "old"), [(date(2027, 1, 30), 0), (date(2027, 1, 31), 1), (None, 0)])
def test_prices_grow_old_after_ninety_days(on: date | None, old: int) -> None:
    made = bill([need()], [offer((1, "4"))], 1, NONE, "CAD", on)
    assert [problem.id for problem in made.problems] == ["price-old"] * old
    assert all(problem.severity == "warning" for problem in made.problems)


def test_invented_prices_are_told_once() -> None:
    needs = [need(), need(part=RESISTOR)]
    prices = [offer((1, "4"), invented=True), offer((1, "4"), part="resistor-*", invented=True)]
    (problem,) = bill(needs, prices, 1, NONE, "CAD").problems
    assert problem.found == "2 lines are priced at invented prices, for demonstration only"


@pytest.mark.parametrize(("boards", "spares"), [(0, "0"), (-1, "0"), (1, "-0.1")])
def test_no_boards_and_negative_spares_are_refused(boards: int, spares: str) -> None:
    with pytest.raises(ValueError):
        bill([need()], [], boards, Spares(Decimal(spares)), "CAD")


def test_a_part_in_two_units_is_refused() -> None:
    with pytest.raises(ValueError):
        bill([need(part=WIRE), need(part=WIRE, unit="m")], [], 1, NONE, "CAD")


def test_a_kind_of_part_may_have_spares_of_its_own() -> None:
    spares = Spares(Decimal("0.1"), {"relay": Decimal("0.5"), "winding wire": Decimal(0)})
    needs = [need("4"), need("4", part=RESISTOR), need("4", part=WIRE, unit="m")]
    assert [int(line.spares) for line in bill(needs, [], 2, spares, "CAD").lines] == [4, 1, 0]


@pytest.mark.parametrize(("quantity", "needed"), [(2.4036, "2.41"), (0.5, "0.50")])
def test_wire_is_needed_in_whole_centimetres(quantity: float, needed: str) -> None:
    found = need_of_extra(Extra(WIRE, quantity, False, ""))
    assert (found.per_board, found.unit) == (Decimal(needed), "m")

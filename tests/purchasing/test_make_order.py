"""The order as a document: what each line, sum and sentence says."""

from datetime import date
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from boardgen.documents.order.summary import cost_lines
from boardgen.model.figure import Figure
from boardgen.model.problem import Place
from boardgen.purchasing.alternates import Approval
from boardgen.purchasing.cost_over_quantity import cost_over_quantity, steps
from boardgen.purchasing.needs import Spares
from boardgen.purchasing.order import Exchange, Rate, SupplierTerms
from boardgen.purchasing.price_book import GivenRate
from boardgen.purchasing.stock import StockItem
from tests.purchasing.made_offers import RELAY, RESISTOR, WIRE, offer
from tests.purchasing.made_requests import PARTS, asked, board, days, need, order

DAY = date(2026, 11, 1)
TENTH = Spares(Decimal("0.1"))
OTHER = replace(RELAY, key="relay-y", number="Y-12", value="24 V")
PLACES = {"CAD": Decimal("0.01"), "EUR": Decimal("0.01"), "JPY": Decimal(1), "KWD": Decimal("0.001")}


def lines(made):
    return [(s.supplier, x.part.key, str(x.quantity), str(x.line_total)) for s in made.suppliers for x in s.lines]


def ids(made):
    return [problem.id for problem in made.problems]


def test_two_boards_done_by_hand():
    """Salt: 2 boards of 4 relays; Pine: 3 boards of 2; 14 with a tenth more is 15.4, so 16. Wire: 2 x 3.47 is 6.94."""
    made = order(
        board(need(), need(WIRE, "3.47", (), spare=False), spares=TENTH),
        board(need(each="2", refs=("K1", "K2")), title="Pine", boards=3, spares=TENTH),
        offers=[offer((1, "4.00"), (25, "2.75")), offer((25, "0.30"), part="wire-28", multiple=Decimal(25))],
        terms=[SupplierTerms("Supplier A", "CAD", Decimal("9.50"), None, Decimal(2), Decimal(5), as_of=DAY)],
    )
    relay, wire = made.lines
    assert (relay.needed, relay.spares, relay.from_stock, relay.quantity) == (14, 2, 0, 16)
    assert [(u.board, u.refs, u.per_board, u.quantity) for u in relay.where_used] == [
        ("Salt", ("K1",), 4, 8),
        ("Pine", ("K1", "K2"), 2, 6),
    ]
    assert (str(wire.needed), str(wire.quantity), wire.explanation) == ("7.0", "25", "the least sold is 25 m")
    (supplier,) = made.suppliers
    # 16 x 4.00 + 25 x 0.30 = 71.50; with 9.50 and 2.00 it is 83.00, of which 5 % are 4.15
    assert [str(x) for x in (supplier.goods, supplier.tax, supplier.total, made.total)] == [
        "71.50",
        "4.15",
        "87.15",
        "87.15",
    ]
    assert [(x.key, x.used, x.left) for x in made.stock] == [
        ("relay-x", 14, 2),
        ("wire-28", Decimal("6.94"), Decimal("18.06")),
    ]
    assert (made.proof.optimal, made.proof.gap, made.line_by_line.total) == (True, 0, Decimal("87.15"))


def test_spares_of_each_board_are_its_own():
    made = order(
        board(need(each="10"), boards=1, spares=Spares(Decimal(0), {"relay": Decimal("0.5")})),
        board(need(each="10"), title="Pine", boards=1, spares=TENTH),
        offers=[offer((1, "1.00"))],
    )
    assert made.lines[0].spares == 6


def test_ten_cost_less_than_eight():
    made = order(board(need()), offers=[offer((1, "4.00"), (10, "3.00"))])
    assert made.lines[0].explanation == "10 cost less than 8: 32.00 CAD for 8, 30.00 CAD for 10"
    assert made.stock[0].left == 2


def test_more_are_bought_to_save_freight_and_it_says_so():
    terms = [SupplierTerms("Supplier A", "CAD", Decimal(9), Decimal(35), as_of=DAY)]
    made = order(board(need()), offers=[offer((1, "4.00"))], terms=terms)
    assert lines(made) == [("Supplier A", "relay-x", "9", "36.00")]
    assert made.lines[0].explanation == (
        "1 more than the least, for the order to reach 35.00 CAD, from where freight is free"
    )
    assert (made.total, made.line_by_line.total) == (36, 41)


def test_a_second_supplier_that_costs_more_in_freight_than_it_saves():
    offers = [
        offer((1, "4.00")),
        offer((1, "0.20"), part="resistor-37r4", order_code="r"),
        offer((1, "0.10"), part="resistor-37r4", supplier="Supplier B"),
    ]
    terms = [SupplierTerms(name, "CAD", Decimal(5), as_of=DAY) for name in ("Supplier A", "Supplier B")]
    made = order(board(need(), need(RESISTOR)), offers=offers, terms=terms)
    assert made.reasons == (
        "Supplier B asks 0.80 CAD less for 1 line, but with freight, fee and tax the order would cost 4.20 CAD more",
    )
    assert made.lines[1].passed_over == (
        "Supplier B asks 0.80 CAD less, but gets no order: one there costs 5.00 CAD before any goods"
    )
    assert (made.total, made.line_by_line.total, made.line_by_line.suppliers) == (Decimal("38.60"), Decimal("42.80"), 2)


def test_a_supplier_is_worth_its_freight():
    offers = [offer((1, "4.00")), offer((1, "4.00"), part="resistor-37r4", order_code="r")]
    offers += [offer((1, "1.00"), part="resistor-37r4", supplier="Supplier B")]
    terms = [SupplierTerms(name, "CAD", Decimal(5), as_of=DAY) for name in ("Supplier A", "Supplier B")]
    made = order(board(need(), need(RESISTOR)), offers=offers, terms=terms)
    assert [s.explanation for s in made.suppliers] == [
        "no other supplier of this order has Maker X-12",
        "its lines, moved to the other suppliers of this order, would cost 19.00 CAD more in all",
    ]


def test_quotes_compare_all_suppliers_and_say_why_one_was_not_taken():
    offers = [
        offer((1, "4.00")),
        offer((1, "3.00"), supplier="Supplier B", stock=Decimal(3)),
        offer((1, "2.00"), supplier="Supplier C", lead_days=20),
    ]
    made = order(board(need()), offers=offers, on=days("2026-11-25"), by=days("2026-12-01"))
    assert [(q.supplier, str(q.line_total), q.taken, q.refused) for q in made.lines[0].quotes] == [
        ("Supplier C", "16.00", False, "20 days, too late"),
        ("Supplier A", "32.00", True, ""),
        ("Supplier B", "24.00", False, "only 3 in stock"),
    ]


def test_what_cannot_come_in_time_is_bought_where_it_comes_soonest():
    offers = [offer((1, "1.00"), lead_days=30), offer((1, "4.00"), supplier="Supplier B", lead_days=9)]
    made = order(board(need()), offers=offers, on=days("2026-11-25"), by=days("2026-12-01"))
    assert [s.supplier for s in made.suppliers] == ["Supplier B"]
    (late,) = [problem for problem in made.problems if problem.id == "late"]
    assert late.severity == "shortfall"
    assert "the soonest comes after 9 days; within 6 days" in late.sentence


def test_what_lies_in_stock_for_another_design_is_told():
    """Another relay and a resistor in stock, which no board takes: the relay may be named, another value may not."""
    other = replace(RELAY, key="relay-other", number="other")
    value = replace(RESISTOR, key="resistor-other")
    parts = {part.key: part for part in (RELAY, RESISTOR, other, value)}
    stock = tuple(StockItem(part.key, Decimal(9)) for part in (other, value, RELAY))
    made = order(board(need(), need(RESISTOR)), offers=[offer((1, "4.00"))], stock=stock, parts=parts)
    (told,) = [p for p in made.problems if p.id == "stock-unused"]
    assert told.found == f"in stock, and taken by no board: 9 of {other.name}"
    assert told.severity == "note"
    assert "under [parts]" in told.hint


def test_stock_is_used_first_and_what_is_left_is_told():
    stock = (
        StockItem("relay-x", Decimal(5), "drawer"),
        StockItem("gone", Decimal(3)),
        StockItem("resistor-37r4", Decimal(99)),
    )
    made = order(board(need(), need(RESISTOR)), offers=[offer((1, "4.00"))], stock=stock)
    assert lines(made) == [("Supplier A", "relay-x", "3", "12.00")]
    assert (made.lines[0].needed, made.lines[0].from_stock) == (8, 5)
    assert [(x.key, x.before, x.bought, x.used, x.left, x.note) for x in made.stock] == [
        ("relay-x", 5, 3, 8, 0, "drawer"),
        ("gone", 3, 0, 0, 3, ""),
        ("resistor-37r4", 99, 0, 8, 91, ""),
    ]
    assert [p.place.key for p in made.problems if p.id == "stock-unknown"] == ["gone"]


def alternate(**changes):
    return Approval("relay-x", "relay-y", "the designer", "a.csv", 2, **changes)


def test_an_approved_alternate_is_bought_where_it_costs_less():
    parts = PARTS | {"relay-y": replace(OTHER, figures={"coil resistance": Figure(1028.0, "ohm", "read", "sheet")})}
    offers = [offer((1, "4.00")), offer((1, "3.00"), part="relay-y", order_code="y")]
    made = order(board(need()), offers=offers, approvals=(alternate(),), parts=parts)
    (line,) = made.lines
    assert (line.part.key, [one.wanted.key for one in line.instead_of]) == ("relay-y", ["relay-x"])
    assert line.explanation == "in the place of Maker X-12, as approved"
    assert line.instead_of[0].source == "the designer"
    assert [(x.key, x.used, x.left) for x in made.stock] == [("relay-y", 8, 0)]
    dear = order(board(need()), offers=[offers[0]], approvals=(alternate(),), parts=parts)
    (other,) = dear.lines[0].alternates
    assert {(d.name, d.wanted, d.alternate) for d in other.differs} == {
        ("value", "12 V", "24 V"),
        ("coil resistance", "", "1.028 kohm"),
    }


def test_stock_of_the_part_goes_before_its_alternate():
    parts = PARTS | {"relay-y": OTHER}
    offers = [offer((1, "4.00")), offer((1, "3.00"), part="relay-y", order_code="y")]
    stock = (StockItem("relay-x", Decimal(5)), StockItem("relay-y", Decimal(1)))
    made = order(board(need()), offers=offers, approvals=(alternate(),), parts=parts, stock=stock)
    assert lines(made) == [("Supplier A", "relay-y", "2", "6.00")]
    assert [(x.key, x.before, x.bought, x.used, x.left) for x in made.stock] == [
        ("relay-x", 5, 0, 5, 0),
        ("relay-y", 1, 2, 3, 0),
    ]


@pytest.mark.parametrize(
    ("approval", "found"),
    [
        (replace(alternate(), alternate="relay-z"), "relay-z is no part of the catalogue"),
        (replace(alternate(), alternate="wire-28"), "relay-x and wire-28 are counted in different units"),
    ],
)
def test_an_approval_that_cannot_be_used_is_named(approval, found):
    made = order(board(need()), offers=[offer((1, "4.00"))], approvals=(approval,))
    (problem,) = [p for p in made.problems if p.id == "alternate-row"]
    assert (problem.place.file, problem.place.line, problem.found) == ("a.csv", 2, found)
    assert lines(made) == [("Supplier A", "relay-x", "8", "32.00")]


@pytest.mark.parametrize(
    ("other", "why"),
    [
        ({"footprint": "ten"}, "its footprint is ten, not unknown"),
        ({"pins": {"coil +": "10", "coil -": "1"}}, "its coil + is pin 10, not 1, and 1 more pins"),
    ],
)
def test_an_alternate_that_fits_no_hole_is_not_bought(other, why):
    parts = PARTS | {"relay-y": replace(OTHER, **({"pins": {"coil +": "1", "coil -": "10"}} | other))}
    wanted = need(replace(RELAY, pins={"coil +": "1", "coil -": "10"}))
    offers = [offer((1, "4.00")), offer((1, "3.00"), part="relay-y", order_code="y")]
    made = order(board(wanted), offers=offers, approvals=(alternate(),), parts=parts)
    (problem,) = [p for p in made.problems if p.id == "alternate-row"]
    assert problem.severity == "shortfall"
    assert problem.found == f"relay-y does not fit where relay-x stands on Salt: {why}"
    assert lines(made) == [("Supplier A", "relay-x", "8", "32.00")]


def test_a_part_without_a_price_stays_on_the_list():
    made = order(board(need(), need(RESISTOR)), offers=[offer((1, "4.00"))])
    assert [(x.part.key, x.needed, x.reason) for x in made.unbought] == [("resistor-37r4", 8, "no price")]
    assert "price-missing" in ids(made)
    assert made.total == 32


def test_a_currency_without_a_rate_is_left_out_and_named():
    offers = [offer((1, "1.00"), currency="EUR", supplier="Supplier E"), offer((1, "4.00"))]
    made = order(board(need()), offers=offers)
    assert lines(made) == [("Supplier A", "relay-x", "8", "32.00")]
    assert "rate-missing" in ids(made)
    assert dict(cost_lines(made))["proof"].endswith("can be bought from these price files; not looked at: Supplier E")
    rate = GivenRate("CAD", Rate("EUR", Decimal("1.5"), DAY, "bank"))
    made = order(board(need()), offers=offers, rates=[rate])
    assert lines(made) == [("Supplier E", "relay-x", "8", "8.00")]
    assert (made.total, [r.currency for r in made.rates]) == (12, ["EUR"])
    assert "not looked at" not in dict(cost_lines(made))["proof"]
    assert "rate-old" not in ids(made)
    late = order(board(need()), offers=offers, rates=[rate], on=days("2027-03-01"))
    assert "rate-old" in ids(late)
    assert dict(cost_lines(order(board(need()), offers=[])))["proof"] == "nothing to prove: nothing is bought"


def test_old_terms_and_rates_of_those_who_sell_nothing_are_named_too():
    """They are why somebody else sells."""
    offers = [offer((1, "4.00"), currency="EUR", supplier="Supplier E"), offer((1, "4.00"))]
    rate = GivenRate("CAD", Rate("EUR", Decimal("1.5"), DAY, "bank"))
    terms = [SupplierTerms("Supplier E", "EUR", Decimal(9), None, Decimal(0), Decimal(0), as_of=DAY)]
    late = order(board(need()), offers=offers, rates=[rate], terms=terms, on=days("2027-03-01"))
    assert lines(late) == [("Supplier A", "relay-x", "8", "32.00")]
    assert {p.id: p.place.key for p in late.problems if p.id in ("terms-old", "rate-old")} == {
        "terms-old": "Supplier E",
        "rate-old": "EUR",
    }


def test_a_split_line_is_counted_once():
    offers = [offer((1, "1.00"), stock=Decimal(5)), offer((1, "2.00"), supplier="Supplier B", stock=Decimal(5))]
    made = order(board(need()), offers=offers)
    assert lines(made) == [("Supplier A", "relay-x", "5", "5.00"), ("Supplier B", "relay-x", "3", "6.00")]
    assert [line.needed for line in made.lines] == [8, 0]
    assert [line.explanation for line in made.lines] == ["no supplier has 8: bought from 2", ""]
    assert {s.explanation for s in made.suppliers} == {"no supplier has enough of Maker X-12"}


def test_needs_that_are_no_board_are_bought_once():
    made = order(board(need(), title="cables", boards=0), offers=[offer((1, "4.00"))])
    assert lines(made) == [("Supplier A", "relay-x", "4", "16.00")]


def test_a_part_in_two_units_is_refused():
    with pytest.raises(ValueError, match="two units"):
        order(board(need(WIRE), replace(need(WIRE), unit="piece")))


def test_old_and_invented_prices_are_named():
    offers = [offer((1, "4.00"), as_of=date(2026, 1, 1), invented=True)]
    terms = [SupplierTerms("Supplier A", "CAD", as_of=date(2026, 1, 1), invented=True)]
    made = order(board(need()), offers=offers, terms=terms, on=days("2026-11-25"))
    assert ids(made) == ["price-old", "terms-old", "price-invented", "terms-invented"]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(1, 9), min_size=1, max_size=3),
    st.integers(1, 5),
    st.integers(0, 30),
    st.sampled_from(list(PLACES)),
    st.sampled_from(list(PLACES)),
    st.integers(1, 90_000),
    st.integers(0, 12),
)
def test_all_sums_agree_in_every_currency(each, boards, in_hand, currency, paid_in, price, tax):
    keys = ("relay-x", "resistor-37r4")
    offers = [
        offer((1, str(Decimal(price * (n + 1)).scaleb(-4))), (20, str(Decimal(price).scaleb(-4))), part=key,
              order_code=key, currency=paid_in)
        for n, key in enumerate(keys)
    ]  # fmt: skip
    terms = [SupplierTerms("Supplier A", paid_in, Decimal("3.455"), Decimal(50), tax_percent=Decimal(tax), as_of=DAY)]
    rates = [GivenRate(currency, Rate(paid_in, Decimal("1.4837"), DAY, ""))] if currency != paid_in else []
    needs = [need(RELAY, str(n)) for n in each[:1]] + [need(RESISTOR, str(n)) for n in each[1:]]
    made = order(
        board(*needs, boards=boards, spares=TENTH), offers=offers, terms=terms, rates=rates, currency=currency,
        stock=(StockItem("relay-x", Decimal(in_hand)),),
    )  # fmt: skip
    total = Decimal(0)
    for supplier in made.suppliers:
        for line in supplier.lines:
            exact = line.quantity * line.unit_price
            assert line.line_total == exact.quantize(PLACES[paid_in], ROUND_HALF_UP)
        net = sum(x.line_total for x in supplier.lines) + supplier.shipping + supplier.order_fee
        assert supplier.tax == (net * tax / 100).quantize(PLACES[paid_in], ROUND_HALF_UP)
        assert supplier.total == net + supplier.tax
        assert supplier.in_order_currency == (supplier.total * supplier.rate).quantize(PLACES[currency], ROUND_HALF_UP)
        total += supplier.in_order_currency
    assert made.total == total
    assert made.line_by_line.total is None or made.total <= made.line_by_line.total
    for row in made.stock:
        assert row.left == row.before + row.bought - row.used >= 0
    wanted = {key: sum(Decimal(n.per_board) * boards for n in needs if n.part.key == key) for key in keys}
    used = {row.key: row.used for row in made.stock}
    assert {key: n for key, n in wanted.items() if n} == {key: used[key] for key, n in wanted.items() if n}


def test_the_cost_of_a_board_over_their_number():
    """4 relays a board: 1 costs 16 + 6; 3 take 12, which cost 3.00 each from ten on: 36 + 6 over 3."""
    terms = [SupplierTerms("Supplier A", "CAD", Decimal(6), as_of=DAY)]
    found = cost_over_quantity(asked(board(need()), offers=[offer((1, "4.00"), (10, "3.00"))], terms=terms), 4)
    assert [str(p.per_board) for p in found] == ["22.00", "18.00", "14.00", "13.50"]
    assert [str(p.total) for p in found] == ["22.00", "36.00", "42.00", "54.00"]
    assert found[1].causes == (
        "freight and fee of Supplier A over more boards (-3.00 a board)",
        "Maker X-12 for 3.00 instead of 4.00 (-1.00 a board)",
    )
    assert found[2].causes == (
        "Maker X-12: 12 instead of 10 (-3.00 a board)",
        "freight and fee of Supplier A over more boards (-1.00 a board)",
    )
    assert [p.boards for p in steps(found)] == [2, 3, 4]


def test_a_price_of_a_part_that_nobody_knows_is_named_with_its_line():
    wrong = offer((1, "1.00"), part="relay-xx", order_code="w", place=Place("p.csv", 9))
    made = order(board(need()), offers=[offer((1, "4.00")), wrong])
    (problem,) = [p for p in made.problems if p.id == "price-unknown"]
    assert (problem.place, problem.hint) == (Place("p.csv", 9), "Did you mean relay-x?")


def test_no_prices_at_all_is_an_order_of_nothing():
    made = order(board(need()), on=days("2026-11-25"), by=days("2026-12-01"))
    assert (made.total, made.suppliers, [line.part.key for line in made.unbought]) == (0, (), ["relay-x"])
    assert ids(order(board(need()))) == ["price-missing"]


def test_an_alternate_from_stock_is_told_with_its_boards():
    made = order(
        board(need(RELAY, "4"), title="Salt"),
        offers=[offer((1, "3"))],
        stock=(StockItem(OTHER.key, Decimal(10)),),
        approvals=(Approval(RELAY.key, OTHER.key, "the builder"),),
        parts={RELAY.key: RELAY, OTHER.key: OTHER},
    )
    assert made.lines == ()
    assert made.exchanges == (Exchange(RELAY, OTHER, ("Salt",), False),)
    assert f"{OTHER.name} from stock stands in for {RELAY.name}, as approved" in made.reasons

"""An order with other prices and quantities costs what a hand calculation says, and says what it is short of."""

from datetime import date
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.offer import Break
from boardgen.purchasing.order import (
    LineByLine,
    Order,
    OrderedBoard,
    OrderLine,
    Proof,
    Rate,
    StockLine,
    SupplierOrder,
    SupplierTerms,
    WhereUsed,
)
from boardgen.purchasing.quoted_order import as_quoted, bought_only
from boardgen.purchasing.quotes import LineQuote, SupplierQuote, changes, issue, quote_of, reference

DAY = date(2026, 11, 1)


def one_line(supplier: str = "Northmere", currency: str = "USD", rate: str = "1.5") -> Order:
    """Ten relays at 2.345, with freight of 4 below 50, a fee of 1 and 14.975 % tax."""
    part = Part("relay", "relay", "Maker", "X-12", "a relay", "12 V", "read", "sheet")
    line = OrderLine(
        part, "N-1", Decimal(10), "piece", Decimal(5), Decimal(5), Decimal("2.345"), Decimal("23.45"), 5, None, DAY,
        "list", True, Decimal(8), Decimal(1), Decimal(1), (WhereUsed("Board", ("K1",), Decimal(4), Decimal(8)),),
        explanation="why", passed_over="who",
    )  # fmt: skip
    terms = SupplierTerms(
        supplier,
        currency,
        Decimal(4),
        Decimal(50),
        Decimal(1),
        Decimal("14.975"),
        Decimal(10),
        DAY,
        "list",
        invented=True,
    )
    bought = SupplierOrder(
        supplier, currency, Decimal(rate), terms, (line,), line.line_total, Decimal(4), Decimal(1), Decimal("4.26"),
        Decimal("32.71"), Decimal("49.07"), 5, "because",
    )  # fmt: skip
    return Order(
        "Salt", "CAD", "least cost", DAY, None, (OrderedBoard("Salt", "A", 2),), (bought,), (), (),
        (StockLine("relay", part, "piece", Decimal(1), Decimal(10), Decimal(8), Decimal(3)),), (),
        Decimal(0), Decimal(0), Decimal(0), Decimal(0), Decimal("49.07"), LineByLine(Decimal(50), 1),
        Proof(optimal=True, bound=Decimal("49.07"), gap=Decimal(0)), (), ("reason",),
    )  # fmt: skip


def entered(order: Order, **line: object) -> tuple[SupplierQuote, ...]:
    quote = quote_of(order.suppliers[0])
    return (replace(quote, lines=(replace(quote.lines[0], **line), *quote.lines[1:])),)  # type: ignore[arg-type]


def test_costs_by_hand() -> None:
    """20 x 2.345 = 46.90; with 4 and 1 it is 51.90, 14.975 % of it 7.772; 59.67 USD at 1.5 is 89.505, half up."""
    order = one_line()
    after = as_quoted(order, entered(order, quantity=Decimal(20)), "entered")
    (supplier,) = after.suppliers
    assert (supplier.goods, supplier.shipping, supplier.order_fee) == (Decimal("46.90"), Decimal(4), Decimal(1))
    assert (supplier.tax, supplier.total) == (Decimal("7.77"), Decimal("59.67"))
    assert (after.total, supplier.in_order_currency) == (Decimal("89.51"), Decimal("89.51"))
    assert (after.goods, after.shipping, after.order_fees, after.tax) == (
        Decimal("70.35"),
        Decimal("6.00"),
        Decimal("1.50"),
        Decimal("11.66"),
    )
    assert [(line.bought, line.left) for line in after.stock] == [(Decimal(20), Decimal(13))]


def test_half_a_cent_goes_up_and_freight_ends_where_the_terms_say() -> None:
    order = one_line()
    after = as_quoted(order, entered(order, quantity=Decimal(5), unit_price=Decimal("10.001")), "entered")
    assert after.suppliers[0].goods == Decimal("50.01")  # 50.005
    assert after.suppliers[0].shipping == 0


def test_nothing_bought_costs_nothing() -> None:
    order = one_line()
    after = as_quoted(order, entered(order, quantity=Decimal(0)), "entered")
    assert after.total == 0
    assert after.suppliers[0].order_fee == 0
    assert bought_only(after).suppliers == ()
    assert bought_only(order) == order
    (problem,) = after.problems
    assert (problem.id, problem.severity, problem.found) == (
        "quote-short",
        "shortfall",
        "Maker X-12: 7 short of what the boards need",
    )


def test_what_a_supplier_would_refuse_is_named() -> None:
    order = one_line()
    ids = [p.id for p in as_quoted(order, entered(order, quantity=Decimal(12)), "entered").problems]
    assert ids == ["quote-multiple", "price-invented", "terms-invented"]
    found = as_quoted(order, entered(order, quantity=Decimal(2)), "entered").problems
    assert [p.id for p in found][:3] == ["quote-multiple", "quote-short", "below-least-order"]
    few = replace(order.suppliers[0].lines[0], stock=Decimal(12))
    few_order = replace(order, suppliers=(replace(order.suppliers[0], lines=(few,)),))
    found = as_quoted(few_order, entered(few_order, quantity=Decimal(15), unit_price=Decimal(2)), "entered").problems
    assert [(p.id, p.severity) for p in found] == [("stock-short", "shortfall"), ("terms-invented", "warning")]
    assert found[0].found == "Northmere, line 1, Maker X-12: it has 12 of 15"


def test_a_price_that_is_too_high_for_the_quantity_entered_is_named() -> None:
    order = one_line()
    breaks = (Break(Decimal(5), Decimal("2.345")), Break(Decimal(100), Decimal("1.78")))
    line = replace(order.suppliers[0].lines[0], breaks=breaks)
    order = replace(order, suppliers=(replace(order.suppliers[0], lines=(line,)),))
    many = as_quoted(order, entered(order, quantity=Decimal(200)), "entered").problems
    assert [p.found for p in many if p.id == "quote-break"] == [
        "Northmere, line 1, Maker X-12: at 200 the price file asks 1.78, not 2.345"
    ]
    for quantity, price in (("95", "2.345"), ("200", "1.78"), ("200", "1.5")):
        quotes = entered(order, quantity=Decimal(quantity), unit_price=Decimal(price))
        assert "quote-break" not in [p.id for p in as_quoted(order, quotes, "entered").problems]


def test_the_rate_that_is_shown_is_the_one_that_was_entered() -> None:
    given = Rate("USD", Decimal("1.5"), DAY, "bank")
    order = replace(one_line(), rates=(given,))
    quotes = [replace(quote_of(order.suppliers[0]), rate=Decimal("1.6333"))]
    (rate,) = as_quoted(order, quotes, "entered in x").rates
    assert (rate.rate, rate.source) == (Decimal("1.6333"), "entered in x")
    assert as_quoted(order, entered(order, quantity=Decimal(20)), "entered").rates == (given,)


def test_the_reference_is_of_boards_and_stock_and_each_issue_has_a_name_of_its_own() -> None:
    order = one_line()
    dearer = as_quoted(order, entered(order, unit_price=Decimal(3)), "entered")
    more_boards = replace(order, boards=(replace(order.boards[0], boards=3),))
    more_stock = replace(order, stock=(replace(order.stock[0], before=Decimal(2)),))
    assert reference(dearer) == reference(order)
    assert issue(dearer) != issue(order)
    assert len({reference(one) for one in (order, more_boards, more_stock)}) == 3


def test_what_was_said_before_is_kept_where_it_still_holds() -> None:
    order = one_line()
    (supplier,) = order.suppliers
    entered_anew, place = Place("prices.csv", 6), Place("prices.csv", 7)
    kept = Problem("price-old", "warning", place, "old")
    gone = [
        Problem(name, "warning", Place(key="Northmere"), "gone")
        for name in ("stock-short", "not-proven", "terms-missing")
    ]
    gone.append(Problem("price-old", "warning", entered_anew, "gone"))
    lines = tuple(replace(supplier.lines[0], place=of, invented=False) for of in (entered_anew, place))
    known = replace(supplier, terms=replace(supplier.terms, known=False, invented=False), lines=lines)
    before = replace(order, problems=(kept, *gone), suppliers=(known,))
    quote = entered(before, unit_price=Decimal(2))[0]
    quotes = [replace(quote, terms=replace(quote.terms, shipping=Decimal(5)))]
    assert as_quoted(before, quotes, "entered").problems == (kept,)
    assert gone[2] in as_quoted(before, entered(before, unit_price=Decimal(2)), "entered").problems


def test_what_no_longer_holds_is_no_longer_said() -> None:
    order = one_line()
    after = as_quoted(order, entered(order, unit_price=Decimal(2)), "entered in back.xlsx")
    (line,) = after.lines
    assert (line.invented, line.source, line.explanation, line.passed_over) == (False, "entered in back.xlsx", "", "")
    assert (after.reasons, after.suppliers[0].explanation, after.line_by_line.total) == ((), "", None)
    assert not after.proof.optimal
    kept = as_quoted(order, entered(order, order_code="N-2"), "entered").lines[0]
    assert (kept.order_code, kept.invented, kept.explanation, kept.source) == ("N-2", True, "why", "list")


def test_changes_are_told_as_text() -> None:
    order = one_line()
    quote = entered(order, quantity=Decimal("12"), unit_price=Decimal("2.3"), lead_days=None, order_code="N-2")[0]
    quotes = [replace(quote, terms=replace(quote.terms, free_from=None), rate=Decimal("1.4"))]
    assert [(c.line, c.what, c.before, c.after) for c in changes(order, quotes)] == [
        (1, "order code", "N-1", "N-2"),
        (1, "quantity, piece", "10", "12"),
        (1, "unit price", "2.345", "2.3"),
        (1, "lead days", "5", "not known"),
        (None, "free shipping from", "50", "none"),
        (None, "rate", "1.5", "1.4"),
    ]


def test_the_reference_is_of_the_lines_and_not_of_their_costs() -> None:
    order = one_line()
    after = as_quoted(order, entered(order, unit_price=Decimal(9)), "entered")
    assert reference(after) == reference(order)
    assert reference(one_line("Southmere")) != reference(order)
    assert reference(one_line(currency="EUR")) != reference(order)


money = st.decimals(0, 10_000, places=4, allow_nan=False)


@settings(max_examples=200)
@given(st.integers(0, 500), money, money, st.none() | money, money, st.decimals(0, 100, places=3))
def test_sums_add_up_whatever_is_entered(
    quantity: int, price: Decimal, shipping: Decimal, free: Decimal | None, fee: Decimal, tax: Decimal
) -> None:
    order = one_line()
    line = LineQuote("N-1", Decimal(quantity), price, 5)
    terms = SupplierTerms("Northmere", "USD", shipping, free, fee, tax, None)
    quote = SupplierQuote(terms, Decimal("1.5"), (line,))
    (supplier,) = as_quoted(order, [quote], "entered").suppliers
    assert supplier.goods + supplier.shipping + supplier.order_fee + supplier.tax == supplier.total
    assert abs(supplier.goods - quantity * price) <= Decimal("0.005")
    if not supplier.goods:
        assert supplier.total == 0
    elif free is not None and supplier.goods >= free:
        assert supplier.shipping == 0
    assert changes(replace(order, suppliers=(supplier,)), [quote]) == ()

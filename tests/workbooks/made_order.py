"""An order made for tests: three suppliers in three currencies, ties in the rounding, and awkward text everywhere."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from itertools import count

from msgspec.structs import replace

from boardgen.catalogue.to_verify import ToVerify, UncertainFigure
from boardgen.circuit.windings import WindingRow
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.integer_scaling import smallest_units
from boardgen.purchasing.market import payment_for
from boardgen.purchasing.money import rounded
from boardgen.purchasing.offer import Break
from boardgen.purchasing.order import (
    Alternate,
    Difference,
    LineByLine,
    NotFitted,
    Order,
    OrderedBoard,
    OrderLine,
    Proof,
    Quote,
    Rate,
    StockLine,
    SupplierOrder,
    SupplierTerms,
    UnboughtLine,
    WhereUsed,
)
from boardgen.workbooks.order import OrderContent
from tests.workbooks.made_bill import DANGER, RELAY, RESISTOR, WIRE, part

DAY = date(2026, 11, 1)
LED = part("led", "LED", "green")
CAPACITOR = part("capacitor", "C-1 100n", "100 nF", description="film capacitor, 100 nF 63 V")
OTHER = part("capacitor-2", "C-2 100n", "100 nF", description="film capacitor, 100 nF 100 V")
FIRST, SECOND = "Saltmarsh four-way", '=Fen & "reed" <two-way>'


def quote(bought: Part, supplier: str, currency: str, quantity: str, price: str, **kept: object) -> Quote:
    total = rounded(Decimal(quantity) * Decimal(price), currency)
    made = Quote(
        bought.key, supplier, f"={bought.key}", currency, Decimal(quantity), Decimal(price), total,
        rounded(total * RATES[currency], "CAD"), 5, Decimal(500), DAY, "=list",
    )  # fmt: skip
    return replace(made, **kept)  # type: ignore[arg-type]


def line(bought: Part, currency: str, quantity: str, price: str, **kept: object) -> OrderLine:
    amount, unit_price = Decimal(quantity), Decimal(price)
    made = OrderLine(
        part=bought,
        order_code=f"00{len(bought.key)}-{bought.key}",
        quantity=amount,
        unit=bought.unit,
        minimum=Decimal(1),
        multiple=Decimal(1),
        unit_price=unit_price,
        line_total=rounded(amount * unit_price, currency),
        lead_days=5,
        stock=Decimal(500),
        as_of=DAY,
        source="list",
        invented=False,
        needed=amount,
        spares=Decimal(),
        from_stock=Decimal(),
        where_used=(WhereUsed(FIRST, ("R1", "R2"), amount, amount),),
    )
    return replace(made, **kept)  # type: ignore[arg-type]


RATES = {"CAD": Decimal(1), "USD": Decimal("1.3815"), "JPY": Decimal("0.00925")}


def supplier(name: str, currency: str, terms: SupplierTerms, lines: Sequence[OrderLine]) -> SupplierOrder:
    goods = sum(smallest_units(made.line_total, currency) for made in lines)
    paid = payment_for(goods, terms, RATES[currency], "CAD")
    leads = [made.lead_days for made in lines]
    return SupplierOrder(
        supplier=name,
        currency=currency,
        rate=RATES[currency],
        terms=terms,
        lines=tuple(lines),
        lead_days=None if None in leads else max(x for x in leads if x is not None),
        explanation=f"{name} saves 4.20 CAD",
        **paid.amounts(currency, "CAD"),
    )


def made_order(title: str = FIRST, suppliers: tuple[SupplierOrder, ...] = ()) -> Order:
    made = numbered(suppliers or made_suppliers())
    total = sum((s.in_order_currency for s in made), Decimal("0.00"))

    def converted(name: str) -> Decimal:
        return sum((rounded(getattr(s, name) * s.rate, "CAD") for s in made), Decimal("0.00"))

    return Order(
        title=title,
        currency="CAD",
        goal="least cost",
        on=DAY,
        by=date(2026, 12, 1),
        boards=(OrderedBoard(FIRST, "A", 3), OrderedBoard(SECOND, "=B", 1)),
        suppliers=made,
        unbought=(
            UnboughtLine(
                DANGER, "piece", Decimal(4), Decimal(1), Decimal(0),
                (WhereUsed(FIRST, ("X1",), Decimal(1), Decimal(4)),), "no supplier has it",
            ),
        ),
        not_fitted=(NotFitted(SECOND, ("D1", "D2"), LED),),
        stock=(StockLine("relay", RELAY, "piece", Decimal(2), Decimal(16), Decimal(16), Decimal(2)),),
        rates=(Rate("USD", RATES["USD"], DAY, "=bank"), Rate("JPY", RATES["JPY"], DAY, "bank")),
        goods=converted("goods"),
        shipping=converted("shipping"),
        order_fees=converted("order_fee"),
        tax=converted("tax"),
        total=total,
        line_by_line=LineByLine(total + Decimal("12.30"), 4),
        proof=Proof(optimal=True, bound=total, gap=Decimal(0)),
        problems=(Problem("price-old", "warning", Place(key="order"), "a price is old", "", "Ask again"),),
    )  # fmt: skip


def numbered(suppliers: Sequence[SupplierOrder]) -> tuple[SupplierOrder, ...]:
    """The suppliers with their lines counted through."""
    positions = count(1)
    return tuple(
        replace(supplier, lines=tuple(replace(line, position=next(positions)) for line in supplier.lines))
        for supplier in suppliers
    )


def made_suppliers() -> tuple[SupplierOrder, ...]:
    relay_quotes = (
        quote(RELAY, "@Supplier", "CAD", "16", "3.61", taken=True),
        quote(RELAY, "Supplier A", "USD", "16", "2.90"),
        quote(
            RELAY, "O'Brien & Sons [parts]: a/b*c? with a long name", "JPY", "16", "120", refused="15 days, too late"
        ),
    )
    relay = line(
        RELAY, "CAD", "16", "3.61", needed=Decimal(16), spares=Decimal(2), from_stock=Decimal(2), quotes=relay_quotes,
        where_used=(
            WhereUsed(FIRST, ("K1", "K2", "K3", "K4"), Decimal(4), Decimal(12)),
            WhereUsed(SECOND, ("K1", "K2", "K3", "K4"), Decimal(4), Decimal(4), "=cmd"),
        ),
        explanation="ten cost less than eight", note="-note", passed_over="Supplier A asks less",
        breaks=tuple(Break(Decimal(n), Decimal(price)) for n, price in ((1, "4.15"), (10, "3.61"), (100, "2.80"))),
    )  # fmt: skip
    differs = (Difference("rated voltage", "63 V", "100 V"), Difference("pitch", "5 mm", ""))
    alternate = Alternate(
        CAPACITOR, OTHER, differs, (quote(OTHER, "@Supplier", "CAD", "12", "0.115", taken=True),), "=the builder"
    )
    film = line(
        OTHER, "CAD", "15", "0.115", instead_of=(alternate,), quotes=alternate.quotes,
        minimum=Decimal(5), multiple=Decimal(5), needed=Decimal(12), lead_days=None,
        where_used=(WhereUsed(FIRST, ("C1", "C2", "C3", "C4"), Decimal(4), Decimal(12)),),
    )  # fmt: skip
    wound = (
        WhereUsed(FIRST, (), Decimal("3.47"), Decimal("10.41")),
        WhereUsed(SECOND, (), Decimal("10.4"), Decimal("10.4")),
    )
    wire = line(WIRE, "USD", "27.5", "0.2825", multiple=Decimal("0.5"), needed=Decimal("20.9"), where_used=wound)
    split = line(RESISTOR, "USD", "7", "0.335", needed=Decimal(10), invented=True, stock=Decimal(7))
    rest = line(RESISTOR, "JPY", "3", "33.5", needed=Decimal(0), where_used=split.where_used)
    return (
        supplier("@Supplier", "CAD", SupplierTerms("@Supplier", "CAD", known=False), (relay, film)),
        supplier(
            "O'Brien & Sons [parts]: a/b*c? with a long name",
            "JPY",
            SupplierTerms("O'Brien", "JPY", Decimal(800), None, Decimal(150), Decimal(10), None, DAY, "=terms", True),
            (rest,),
        ),
        supplier(
            "O'Brien & Sons [parts] a/b*c? with another name",
            "USD",
            SupplierTerms(
                "O'Brien",
                "USD",
                Decimal("12.50"),
                Decimal("10.11"),
                Decimal("2.25"),
                Decimal("14.975"),
                Decimal(5),
                DAY,
            ),
            (wire, split),
        ),
    )


def made_content(order: Order | None = None, **kept: object) -> OrderContent:
    winding = WindingRow(("T1", "T2"), "core", "AWG 28", 4, 5, 0.27, 0.33, "=start", 52.3e-6, ("north", "+east"))
    made = OrderContent(
        order or made_order(),
        ((winding,), ()),
        (
            UnboughtLine(
                LED, "piece", Decimal(3), Decimal(0), Decimal(3),
                (WhereUsed(FIRST, ("D3",), Decimal(1), Decimal(3)),), "",
            ),
        ),
        (UncertainFigure("Maker X-12", "contact capacitance", "1 pF", "assumed", "=common practice"),),
        (ToVerify(RELAY, "part", "-check the drawing."),),
    )  # fmt: skip
    return replace(made, **kept)  # type: ignore[arg-type]

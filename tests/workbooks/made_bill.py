"""A bill and a workbook's content made for tests, with something awkward in every column of text."""

from datetime import date
from decimal import Decimal

from boardgen.catalogue.to_verify import ToVerify, UncertainFigure
from boardgen.circuit.windings import WindingRow
from boardgen.model.part import Part
from boardgen.purchasing.bill import Bill, bill
from boardgen.purchasing.needs import Need, Spares
from boardgen.purchasing.offer import Break, Offer
from boardgen.workbooks.bill import BillContent, UnfittedRow


def part(key: str, number: str, value: str, unit: str = "piece", description: str = "a part") -> Part:
    return Part(key, "hardware", "Maker", number, description, value, "recalled", "sheet", unit=unit)


def offer(key: str, *breaks: tuple[str, str], supplier: str = "Supplier A", multiple: str = "1") -> Offer:
    steps = tuple(Break(Decimal(quantity), Decimal(price)) for quantity, price in breaks)
    day = date(2026, 11, 1)
    return Offer(key, supplier, f"code {key}", "CAD", steps, Decimal(1), Decimal(multiple), None, 5, day, False, "list")


RELAY = part("relay", "X-12", "12 V", description="signal relay, sealed")
DANGER = part("danger", '=HYPERLINK("x")', "@x", description="-1+2")
RESISTOR = part("resistor", "+R", "37R4")
WIRE = part("wire", "AWG 28", "0.32 mm", "m", "enamelled wire")

NEEDS = (
    Need(RELAY, ("K1", "K2", "K3", "K4"), Decimal(4), "piece", True),
    Need(DANGER, ("X1",), Decimal(1), "piece", False),
    Need(RESISTOR, ("R1", "R2", "R3"), Decimal(3), "piece", True, "=cmd"),
    Need(WIRE, (), Decimal("3.47"), "m", True),
)
OFFERS = (
    offer("relay", ("1", "4.10"), ("10", "3.61")),
    offer("relay", ("1", "4.15"), supplier="@Supplier"),
    offer("resistor", ("1", "0.335"), supplier="-Supplier"),
    offer("wire", ("25", "0.2825"), multiple="25"),
)


def made_bill(boards: int = 3, needs: tuple[Need, ...] = NEEDS) -> Bill:
    """Three boards by default: 13.2 relays so 14, 3 of what nobody sells, 9.9 resistors so 10, a spool of wire."""
    return bill(needs, OFFERS, boards, Spares(Decimal("0.1")), "CAD")


def made_content(title: str = "Saltmarsh four-way", revision: str = "A", boards: int = 3) -> BillContent:
    return BillContent(
        title,
        revision,
        made_bill(boards),
        (UnfittedRow(("D1", "D2"), part("led", "LED", "green")),),
        (WindingRow(("T1",), "core", "AWG 28", 4, 5, 0.27, 0.33, "=start", 52.3e-6, ("north", "+east")),),
        (UncertainFigure("Maker X-12", "contact capacitance", "1 pF", "assumed", "=common practice"),),
        (ToVerify(RELAY, "part", "-check the drawing."),),
    )

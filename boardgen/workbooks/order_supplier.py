"""The sheet that is one order to one supplier: what to buy there, what it costs, and the terms."""

from __future__ import annotations

from decimal import Decimal

from msgspec import Struct
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.purchasing.money import decimal_places
from boardgen.purchasing.order import Order, OrderLine, SupplierOrder
from boardgen.workbooks import style
from boardgen.workbooks.amounts import most_places, places_of, price_entry_cell, quantity_places
from boardgen.workbooks.cells import Formula, Number, TextEntry, half_up
from boardgen.workbooks.entries import LEAD, ORDER_CODE, TERM_ENTRIES, quantity_entry
from boardgen.workbooks.order_note import order_note
from boardgen.workbooks.sheet import Sheet
from boardgen.workbooks.sheet_names import quoted, sheet_names

PREFIX = "Buy "
CODE, QUANTITY, PRICE, TOTAL, LEAD_DAYS, KEY = "B", "F", "I", "J", "K", "M"
TOTAL_COLUMN = 10


class BuySheet(Struct, frozen=True):
    """The sheet and where the others find its figures: quantities line by line, lead days, and the sums by name."""

    sheet: Sheet
    name: str
    quantities: tuple[str, ...]
    leads: str
    sums: dict[str, str]


def names(order: Order) -> tuple[str, ...]:
    """The name of each supplier's sheet."""
    return sheet_names((supplier.supplier for supplier in order.suppliers), PREFIX)


def columns(currency: str) -> tuple[style.Column, ...]:
    """The columns of the table."""
    return (
        style.Column("Line", "number"),
        style.Column("Order code\nenter", "code", 20),
        style.Column("Maker", widest=14),
        style.Column("Maker's number", "code", 22),
        style.Column("Description", widest=34),
        style.Column("Quantity\nenter", "number"),
        style.Column("Unit"),
        style.Column("Sold in\nsteps of", "number"),
        style.Column(f"Unit price\n{currency}, enter", "number"),
        style.Column(f"Line total\n{currency}", "number"),
        style.Column("Lead days\nenter", "number"),
        style.Column("Note", widest=40),
        style.Column("Our part", "code", 22),
    )


def term_labels(supplier: SupplierOrder, order: Order) -> dict[str, str]:
    """The label of each entry among the terms, by the name of its field."""
    money = supplier.currency
    labels = {
        "shipping": f"Shipping, {money}, enter",
        "free_from": f"Shipping is free for goods from, {money}, enter",
        "order_fee": f"Order fee, {money}, enter",
        "tax_percent": "Tax on goods, shipping and fee, %, enter",
        "minimum_order": f"Least order, goods, {money}, enter",
    }
    if money != order.currency:
        labels["rate"] = f"One {money} in {order.currency}, enter"
    return labels


def supplier_sheet(worksheet: Worksheet, order: Order, reference: str, supplier: SupplierOrder, mark: str) -> BuySheet:
    """Writes the sheet: lines, sums, terms."""
    sheet = Sheet(worksheet, columns(supplier.currency))
    sheet.line(f"Order to {supplier.supplier}", style.TITLE)
    sheet.line(f"For {order.title}. Prices in {supplier.currency}, before tax.{_asked(supplier)}", style.SOFT)
    sheet.line(
        "Boxed cells are for entry, and the totals follow them; all other cells are locked, without a password. A unit "
        "price does not follow its quantity: look at the price breaks.",
        style.SOFT,
    )
    if any(line.invented for line in supplier.lines):
        sheet.line("Prices marked invented are for demonstration: nothing can be ordered at them.", style.STRONG)
    sheet.setting("Reference", reference)
    sheet.next_row += 1
    sheet.heading()
    first = sheet.next_row
    places = most_places(line.unit_price for line in supplier.lines)
    for number, line in enumerate(supplier.lines, 1):
        _line(sheet, number, line, supplier.currency, places)
    rows = range(first, sheet.next_row)
    sums = _sums(sheet, order, supplier, first)
    for name, column in (("Order_code", CODE), ("Quantity", QUANTITY), ("Unit_price", PRICE), ("Lead_days", LEAD_DAYS)):
        sheet.call(name, f"{column}{rows[0]}:{column}{rows[-1]}")
    sheet.call("Total_to_pay", sums["total"])
    sheet.finish(order.title, mark)
    prefix = quoted(worksheet.title)
    return BuySheet(
        sheet,
        worksheet.title,
        tuple(f"{prefix}{QUANTITY}{row}" for row in rows),
        f"{prefix}{LEAD_DAYS}{rows[0]}:{LEAD_DAYS}{rows[-1]}",
        {name: f"{prefix}{cell}" for name, cell in sums.items()},
    )


def _asked(supplier: SupplierOrder) -> str:
    days = sorted({line.as_of.isoformat() for line in supplier.lines})
    return f" Asked {' to '.join(dict.fromkeys((days[0], days[-1])))}." if days else ""


def _line(sheet: Sheet, number: int, line: OrderLine, currency: str, price_places: int) -> None:
    row = sheet.next_row
    sheet.row(
        (
            Number(Decimal(number)),
            TextEntry(line.order_code, ORDER_CODE),
            line.part.maker,
            line.part.number,
            line.part.description,
            Number(line.quantity, quantity_places(line.unit), quantity_entry(line.unit)),
            line.unit,
            Number(line.multiple, places_of(line.multiple)),
            price_entry_cell(line.unit_price, currency, price_places),
            Formula(
                f"={half_up(f'{QUANTITY}{row}*{PRICE}{row}', currency)}", line.line_total, decimal_places(currency)
            ),
            Number(None if line.lead_days is None else Decimal(line.lead_days), 0, LEAD),
            order_note(line),
            line.part.key,
        )
    )


def _sums(sheet: Sheet, order: Order, supplier: SupplierOrder, first: int) -> dict[str, str]:
    """The sums below the table, then the terms that they follow; returns their addresses by name."""
    money, places = supplier.currency, decimal_places(supplier.currency)
    abroad = money != order.currency
    top, last = sheet.next_row, max(first, sheet.next_row - 1)
    sums = dict(zip(("goods", "shipping", "order_fee", "tax", "total"), (f"J{top + n}" for n in range(5)), strict=True))
    terms_top = top + (6 if abroad else 5) + 3
    at = {field: f"J{terms_top + n}" for n, field in enumerate(term_labels(supplier, order))}
    goods, shipping, fee = sums["goods"], sums["shipping"], sums["order_fee"]
    free = f"IF(ISNUMBER({at['free_from']}),{goods}>={at['free_from']},FALSE)"
    taxed = half_up(f"({goods}+{shipping}+{fee})*{at['tax_percent']}/100", money)

    def add(name: str, label: str, text: str, *, rule: bool = False) -> None:
        font = style.STRONG if name == "total" else style.BODY
        sheet.total(label, TOTAL_COLUMN, Formula(f"={text}", getattr(supplier, name), places), rule, money, font)

    add("goods", "Goods", f"ROUND(SUM({TOTAL}{first}:{TOTAL}{last}),{places})", rule=True)
    add("shipping", "Shipping", f"IF(OR({goods}=0,{free}),0,{half_up(at['shipping'], money)})")
    add("order_fee", "Order fee", f"IF({goods}=0,0,{half_up(at['order_fee'], money)})")
    add("tax", "Tax", f"IF({goods}=0,0,{taxed})")
    add("total", "Total to pay", f"ROUND({goods}+{shipping}+{fee}+{sums['tax']},{places})", rule=True)
    if abroad:
        product = f"{sums['total']}*{at['rate']}"
        in_order = Formula(
            f"={half_up(product, order.currency)}",
            supplier.in_order_currency,
            decimal_places(order.currency),
        )
        sums["converted"] = sheet.total("The same", TOTAL_COLUMN, in_order, unit=order.currency)
    _terms(sheet, supplier, order)
    return {"converted": sums["total"], **sums}


def _terms(sheet: Sheet, supplier: SupplierOrder, order: Order) -> None:
    terms = supplier.terms
    sheet.group("Terms of this supplier")
    if terms.known:
        asked = f"asked {terms.as_of}" if terms.as_of else ""
        invented = "invented" if terms.invented and "invented" not in terms.source.lower() else ""
        said = ", ".join(piece for piece in (asked, terms.source, invented) if piece)
        sheet.line(f"Where they are from: {said or 'not stated'}.", style.SOFT)
    else:
        sheet.line("No file gives its terms: nothing is added for them. Ask, and enter them here.", style.STRONG)
    for field, label in term_labels(supplier, order).items():
        value = supplier.rate if field == "rate" else getattr(terms, field)
        least = 0 if field in ("tax_percent", "rate") else decimal_places(supplier.currency)
        places = least if value is None else max(places_of(value), least)
        sheet.total(label, TOTAL_COLUMN, Number(value, places, TERM_ENTRIES[field]), font=style.BODY)

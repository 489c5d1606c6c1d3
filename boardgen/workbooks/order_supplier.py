"""The sheets that are one order to one supplier each: what to buy there, what it costs, and the terms."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal

from boardgen.purchasing.money import decimal_places
from boardgen.purchasing.notes import order_note
from boardgen.purchasing.order import Order, OrderLine, SupplierOrder
from boardgen.purchasing.quotes import issue, reference
from boardgen.workbooks.cells import Content, Formula, Number, TextEntry, half_up, number_format, printable
from boardgen.workbooks.entries import (
    ORDER_CODE,
    TERM_ENTRIES,
    lead_entry_cell,
    most_places,
    places_of,
    price_entry_cell,
    quantity_entry,
    quantity_places,
)
from boardgen.workbooks.price_breaks import (
    NO_MORE,
    breaks_text,
    follows_quantity,
    next_break,
    next_costs_formula,
    next_formula,
    price_formula,
)
from boardgen.workbooks.sheet import (
    Block,
    Column,
    Font,
    Gap,
    Group,
    Heading,
    Line,
    Setting,
    Sheet,
    Total,
    letter,
    table,
)

PREFIX = "Buy "
TITLE = "Order to "
LONGEST_TITLE = 31
_REFUSED = re.compile(r"[\[\]:*?/\\!\s\x00-\x1f\ufffd]+")
_BLANK = "supplier"
_CALLED = {
    "Order_code": "{column[order_code]}",
    "Quantity": "{column[quantity]}",
    "Unit_price": "{column[unit_price]}",
    "Lead_days": "{column[lead_days]}",
    "Total_to_pay": "{total}",
}


def key(number: int) -> str:
    """How formulas name the sheet of a supplier, counted from 1."""
    return f"Buy{number}"


def supplier_titles(order: Order) -> tuple[str, ...]:
    """The title of each supplier's sheet."""
    return sheet_titles((supplier.supplier for supplier in order.suppliers), PREFIX)


def supplier_sheets(order: Order) -> list[Sheet]:
    """A sheet for each supplier: lines, sums, terms."""
    titles = supplier_titles(order)
    return [
        _supplier_sheet(key(number), title, order, supplier)
        for number, (title, supplier) in enumerate(zip(titles, order.suppliers, strict=True), 1)
    ]


def columns(currency: str, price_places: int = 0) -> tuple[Column[OrderLine], ...]:
    """The columns of the table; the longest price has so many decimals."""
    line_total = f"={half_up('{quantity}*{unit_price}', currency)}"
    return (
        Column("line", "Line", lambda n, _line: Number(Decimal(n)), "number"),
        Column("order_code", "Order code\nenter", lambda _, line: TextEntry(line.order_code, ORDER_CODE), "code", 20),
        Column("maker", "Maker", lambda _, line: line.part.maker, widest=14),
        Column("number", "Maker's number", lambda _, line: line.part.number, "code", 22),
        Column("description", "Description", lambda _, line: line.part.description, widest=34),
        Column(
            "quantity",
            "Quantity\nenter",
            lambda _, line: Number(line.quantity, quantity_places(line.unit), quantity_entry(line.unit)),
            "number",
        ),
        Column("unit", "Unit", lambda _, line: line.unit),
        Column(
            "multiple",
            "Sold in\nsteps of",
            lambda _, line: Number(line.multiple, places_of(line.multiple)),
            "number",
        ),
        Column(
            "unit_price",
            f"Unit price\n{currency}, enter",
            lambda _, line: price_entry_cell(
                line.unit_price, currency, price_places, price_formula(line) if follows_quantity(line) else ""
            ),
            "number",
        ),
        Column(
            "line_total",
            f"Line total\n{currency}",
            lambda _, line: Formula(line_total, line.line_total, decimal_places(currency)),
            "number",
        ),
        Column("lead_days", "Lead days\nenter", lambda _, line: lead_entry_cell(line.lead_days), "number"),
        Column("breaks", f"Price breaks\n{currency}", lambda _, line: breaks_text(line, currency), widest=40),
        Column("next_break", "Next\nbreak at", _next_break, "number"),
        Column("next_costs", "The line\nthen", lambda _, line: _next_costs(line, currency), "number"),
        Column("note", "Note", lambda _, line: order_note(line), widest=34),
        Column("part", "Our part", lambda _, line: line.part.key, "code", 22),
    )


def _next_break(_: int, line: OrderLine) -> Content:
    if not follows_quantity(line):
        return ""
    found = next_break(line, "")
    return Formula(next_formula(line), found[0] if found else NO_MORE, quantity_places(line.unit))


def _next_costs(line: OrderLine, currency: str) -> Content:
    """What the line costs more or less at the next break."""
    if not follows_quantity(line):
        return ""
    found, places = next_break(line, currency), decimal_places(currency)
    form = number_format(places)
    return Formula(
        next_costs_formula(line, currency), found[1] if found else NO_MORE, places, f'"+"{form};"saves "{form};{form}'
    )


AT = {column.name: letter(number) for number, column in enumerate(columns(""), 1)}
"""The letters of the columns by name."""
LABELS_AT = AT["unit_price"]
"""Where the labels of the sums and terms stand: beside the line totals."""
TERM_LABELS = {
    "shipping": "Shipping, {money}, enter",
    "free_from": "Shipping is free for goods from, {money}, enter",
    "order_fee": "Order fee, {money}, enter",
    "tax_percent": "Tax on goods, shipping and fee, %, enter",
    "minimum_order": "Least order, goods, {money}, enter",
    "rate": "One {money} in {order}, enter",
}
"""How each of a supplier's terms is labelled, by the name of its field: in the supplier's currency, and the order's."""


def term_labels(supplier: SupplierOrder, order: Order) -> dict[str, str]:
    """The label of each entry among the terms, by the name of its field; a rate only where there is one."""
    labels = {name: text.format(money=supplier.currency, order=order.currency) for name, text in TERM_LABELS.items()}
    if supplier.currency == order.currency:
        del labels["rate"]
    return labels


def _supplier_sheet(sheet_key: str, title: str, order: Order, supplier: SupplierOrder) -> Sheet:
    table_columns = columns(supplier.currency, most_places(line.unit_price for line in supplier.lines))
    head = f"For {order.title}, issue {issue(order)}. Prices in {supplier.currency}, before tax.{_asked(supplier)}"
    blocks: list[Block] = [
        Line(f"{TITLE}{supplier.supplier}", "title"),
        Line(head, "soft"),
        Line(
            "Boxed cells are for entry, and the totals follow them; all other cells are locked, without a password. A "
            "unit price that has breaks follows its quantity until you write another over it.",
            "soft",
        ),
    ]
    if any(line.invented for line in supplier.lines):
        blocks.append(Line("Prices marked invented are for demonstration: nothing can be ordered at them.", "strong"))
    blocks += [
        Setting("reference", "Reference", reference(order)),
        Gap(),
        Heading(),
        *table(table_columns, supplier.lines),
        *_sums(order, supplier),
        *_terms(order, supplier),
    ]
    return Sheet(sheet_key, title, table_columns, blocks, _CALLED)


def _asked(supplier: SupplierOrder) -> str:
    days = sorted({line.as_of.isoformat() for line in supplier.lines})
    return f" Asked {' to '.join(dict.fromkeys((days[0], days[-1])))}." if days else ""


def _sums(order: Order, supplier: SupplierOrder) -> list[Total]:
    """The sums below the table, which follow the terms below them."""
    money, places = supplier.currency, decimal_places(supplier.currency)
    free = "IF(ISNUMBER({term_free_from}),{goods}>={term_free_from},FALSE)"
    in_all = "{goods}+{shipping}+{order_fee}+{tax}"
    taxed = half_up("({goods}+{shipping}+{order_fee})*{term_tax_percent}/100", money)

    def of(name: str, label: str, text: str, font: Font = "body", *, first: bool = False) -> Total:
        return Total(name, label, "line_total", Formula(text, getattr(supplier, name), places), first, money, font)

    sums = [
        of("goods", "Goods", f"=ROUND(SUM({{column[line_total]}}),{places})", first=True),
        of("shipping", "Shipping", f"=IF(OR({{goods}}=0,{free}),0,{half_up('{term_shipping}', money)})"),
        of("order_fee", "Order fee", f"=IF({{goods}}=0,0,{half_up('{term_order_fee}', money)})"),
        of("tax", "Tax", f"=IF({{goods}}=0,0,{taxed})"),
        of("total", "Total to pay", f"=ROUND({in_all},{places})", "strong", first=True),
    ]
    if money != order.currency:
        converted = Formula(
            f"={half_up('{total}*{term_rate}', order.currency)}",
            supplier.in_order_currency,
            decimal_places(order.currency),
        )
        sums.append(Total("converted", "The same", "line_total", converted, unit=order.currency))
    return sums


def _terms(order: Order, supplier: SupplierOrder) -> list[Block]:
    terms = supplier.terms
    if terms.known:
        asked = f"asked {terms.as_of}" if terms.as_of else ""
        invented = "invented" if terms.invented and "invented" not in terms.source.lower() else ""
        said = ", ".join(piece for piece in (asked, terms.source, invented) if piece)
        origin = Line(f"Where they are from: {said or 'not stated'}.", "soft")
    else:
        origin = Line("No file gives its terms: nothing is added for them. Ask, and enter them here.", "strong")
    labels = term_labels(supplier, order).items()
    entries = [
        Total(f"term_{field}", label, "line_total", _term_cell(supplier, field), font="body") for field, label in labels
    ]
    return [Group("Terms of this supplier"), origin, *entries]


def _term_cell(supplier: SupplierOrder, field: str) -> Number:
    value = supplier.rate if field == "rate" else getattr(supplier.terms, field)
    least = 0 if field in ("tax_percent", "rate") else decimal_places(supplier.currency)
    places = least if value is None else max(places_of(value), least)
    return Number(value, places, TERM_ENTRIES[field])


def sheet_titles(texts: Iterable[str], prefix: str) -> tuple[str, ...]:
    """A title for each text: the prefix and the text without what is refused, cut to length, no two alike.

    An apostrophe is allowed, but has to be doubled in formulas, which not every calculator understands: it goes too,
    and so does the exclamation mark, which ends a title there. Spreadsheets take capitals and small letters for the
    same; a number at the end keeps such titles apart.
    """
    titles: list[str] = []
    for text in texts:
        plain = _REFUSED.sub(" ", printable(text).replace("'", "")).strip() or _BLANK
        stem, number = f"{prefix}{plain}", 1
        title = _cut(stem, "")
        while title.casefold() in {other.casefold() for other in titles}:
            number += 1
            title = _cut(stem, f" {number}")
        titles.append(title)
    return tuple(titles)


def _cut(stem: str, end: str) -> str:
    """The length is counted in the units of UTF-16, as spreadsheets do."""
    kept = stem
    while len((kept + end).encode("utf-16-le")) // 2 > LONGEST_TITLE:
        kept = kept[:-1]
    return kept.rstrip() + end

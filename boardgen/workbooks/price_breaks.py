"""A line's price breaks as a workbook has them: in words, as a price that follows the quantity, and what the next is.

The formulas hold the breaks as constants, so that rows can be sorted, and look the price up by the quantity.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal, InvalidOperation

from boardgen.purchasing.choose import step_of
from boardgen.purchasing.money import plain, price_text, round_up, rounded
from boardgen.purchasing.offer import Break, price_at
from boardgen.purchasing.order import OrderLine
from boardgen.workbooks.cells import half_up

NO_MORE = "none"
"""What stands for the next break where there is none."""
_LOOKED_UP = re.compile(
    r"=\s*LOOKUP\(\s*MAX\(\s*\$?([A-Z]+)\$?([0-9]+)\s*[,;]\s*([0-9.]+)\s*\)\s*[,;]\s*\{([^{}]*)\}\s*[,;]\s*\{([^{}]*)\}\s*\)"
)
_BETWEEN = re.compile(r"[,;\\]")


def breaks_text(line: OrderLine, currency: str) -> str:
    """From how many on the supplier asks how much, all of its steps; "" where it asks one price."""
    if len(line.breaks) == 1:
        return ""
    return "; ".join(f"{plain(step.quantity)}: {price_text(step.unit_price, currency)}" for step in line.breaks)


def follows_quantity(line: OrderLine) -> bool:
    """Whether the line's price is that of its breaks, of which there are several."""
    return len(line.breaks) > 1 and price_at(line.breaks, line.quantity) == line.unit_price


def price_formula(line: OrderLine) -> str:
    """The price of one at the quantity that stands in the row; below the first break, the first break's."""
    return f"={_looked_up('{quantity}', line, [step.unit_price for step in line.breaks])}"


def formula_breaks(text: str, column: str, row: int) -> tuple[Break, ...]:
    """The breaks of a price formula in that row, however a spreadsheet program spells it; none where it is no such.

    `column` is the letter of the quantities.
    """
    found = _LOOKED_UP.fullmatch(text)
    if found is None or (found[1], int(found[2])) != (column, row):
        return ()
    first, quantities, prices = (_numbers(group) for group in found.groups()[2:])
    if not first or first != quantities[:1] or len(quantities) != len(prices):
        return ()
    return tuple(map(Break, quantities, prices))


def next_formula(line: OrderLine) -> str:
    """The least quantity that can be bought from the next break on."""
    reached = [_reached(line, step.quantity) for step in line.breaks[1:]]
    return f"={_looked_up('{quantity}', line, reached, NO_MORE)}"


def next_costs_formula(line: OrderLine, currency: str) -> str:
    """What the line would cost more at that quantity; below nothing where it would cost less."""
    price = _looked_up("{next_break}", line, [step.unit_price for step in line.breaks])
    more = f"ROUND({half_up(f'{{next_break}}*{price}', currency)}-{{line_total}},4)"
    return f'=IF(ISNUMBER({{next_break}}),{more},"{NO_MORE}")'


def next_break(line: OrderLine, currency: str) -> tuple[Decimal, Decimal] | None:
    """The quantity of the next break and what the line would cost more there; None where there is no more."""
    quantity = max(line.quantity, line.breaks[0].quantity) if line.breaks else line.quantity
    beyond = [step for step in line.breaks if step.quantity > quantity]
    if not beyond:
        return None
    reached = _reached(line, beyond[0].quantity)
    return reached, rounded(reached * price_at(line.breaks, reached), currency) - line.line_total


def _reached(line: OrderLine, quantity: Decimal) -> Decimal:
    return round_up(max(quantity, line.minimum), step_of(line.unit, line.multiple))


def _looked_up(cell: str, line: OrderLine, values: Iterable[Decimal], *more: str) -> str:
    quantities = [plain(step.quantity) for step in line.breaks]
    found = [*map(plain, values), *(f'"{text}"' for text in more)]
    return f"LOOKUP(MAX({cell},{quantities[0]}),{{{{{','.join(quantities)}}}}},{{{{{','.join(found)}}}}})"


def _numbers(text: str) -> list[Decimal]:
    try:
        return [Decimal(word.strip()) for word in _BETWEEN.split(text)]
    except InvalidOperation:
        return []

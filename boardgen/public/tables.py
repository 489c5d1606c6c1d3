"""What a script joins, compares and sums, as tables of pandas."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pandas

from boardgen.model.choices import Choices
from boardgen.purchasing.bill import Bill


def bill_table(bill: Bill) -> pandas.DataFrame:
    """One row a line of the bill.

    Returns
    -------
    Columns part (its key in the catalogue), maker, number, description, refs, unit, per_board, needed, spares, ordered
    (in that unit), supplier, order_code, unit_price, line_cost, currency, lead_days, as_of, invented, note. A line
    without a price has None where its price would stand.

    """
    return pandas.DataFrame(
        {
            "part": line.part.key,
            "maker": line.part.maker,
            "number": line.part.number,
            "description": line.part.description,
            "refs": " ".join(line.refs),
            "unit": line.unit,
            "per_board": float(line.per_board),
            "needed": float(line.needed),
            "spares": float(line.spares),
            "ordered": float(line.ordered),
            "supplier": line.supplier,
            "order_code": line.order_code,
            "unit_price": None if line.unit_price is None else float(line.unit_price),
            "line_cost": None if line.line_cost is None else float(line.line_cost),
            "currency": bill.currency,
            "lead_days": line.lead_days,
            "as_of": line.as_of,
            "invented": line.invented,
            "note": line.note,
        }
        for line in bill.lines
    )


def values_table(choices: Choices) -> pandas.DataFrame:
    """One row a sized value, numbers in SI units.

    Returns
    -------
    Columns role, strip, stage, slot, required, bound, chosen, achieved, unit, margin, met, at_hz, part, number,
    formula, source, standing. `achieved` is the figure of the worst case that is held against `required`.

    """
    return pandas.DataFrame(
        {
            "role": choice.role,
            "strip": choice.subject.strip,
            "stage": choice.subject.stage,
            "slot": choice.subject.slot,
            "required": choice.required,
            "bound": choice.bound,
            "chosen": choice.chosen,
            "achieved": choice.achieved,
            "unit": choice.unit,
            "margin": choice.margin,
            "met": choice.met,
            "at_hz": choice.at_hz,
            "part": choice.part,
            "number": choices.parts[choice.part].number if choice.part in choices.parts else "",
            "formula": choice.formula,
            "source": choice.source,
            "standing": choice.standing,
        }
        for choice in choices.values
    )


def text_table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> pandas.DataFrame:
    """Rows of text under their headings."""
    return pandas.DataFrame([list(row) for row in rows], columns=list(headings))

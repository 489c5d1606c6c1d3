"""What `order` prints: the orders, what they cost, and why so."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from boardgen.documents.counted import counted
from boardgen.purchasing.money import plain, price_text
from boardgen.purchasing.order import Order, SupplierOrder
from boardgen.purchasing.quotes import OrderChange

LINE_HEADINGS = ("quantity", "order code", "maker's number", "unit price", "line", "days")
LINE_RIGHT = (0, 3, 4, 5)
CHANGE_HEADINGS = ("supplier", "line", "part", "what", "before", "now")


def heading(order: Order) -> list[str]:
    """What is ordered for."""
    boards = [f"{b.boards} x {b.title}, revision {b.revision}" if b.boards else b.title for b in order.boards]
    days = [f"ordered on {order.on}"] if order.on else []
    days += [f"wanted by {order.by}"] if order.by else []
    return [*boards, *days]


def cost_lines(order: Order) -> list[tuple[str, str]]:
    """Heading and text of each sum, the answer first."""
    currency = order.currency
    parcels = counted(len(order.suppliers), "supplier")
    count = counted(len(order.lines), "line")
    return [
        ("total", f"{order.total} {currency}, {count} at {parcels}{_left_out(order)}"),
        ("of which", f"goods {order.goods}, freight {order.shipping}, fees {order.order_fees}, tax {order.tax}"),
        ("line by line", _line_by_line(order)),
        ("proof", _proof(order)),
        *_from_stock(order),
        *(("rate", f"1 {r.currency} = {plain(r.rate)} {currency} on {r.as_of}, {r.source}") for r in order.rates),
    ]


def _from_stock(order: Order) -> list[tuple[str, str]]:
    count = sum(line.before > 0 and line.used > 0 for line in order.stock)
    words = "1 part comes" if count == 1 else f"{count} parts come"
    return [("stock", f"{words} from stock in part or whole")] if count else []


def _left_out(order: Order) -> str:
    count = len(order.unbought)
    return f"; {counted(count, 'part')} without a price left out" if count else ""


def _line_by_line(order: Order) -> str:
    alone = order.line_by_line
    if alone.total is None:
        return alone.reason
    saved = alone.total - order.total
    at = f"{alone.total} {order.currency} at {alone.suppliers} {'supplier' if alone.suppliers == 1 else 'suppliers'}"
    if saved > 0:
        return f"each line where it is cheapest would cost {at}: {saved} more"
    if saved < 0:
        return f"each line where it is cheapest would cost {at}: {-saved} less, in more parcels"
    return "each line where it is cheapest costs the same"


def _proof(order: Order) -> str:
    proof, goal = order.proof, "with so few parcels " if order.goal == "fewest parcels" else ""
    if not order.lines:
        return "nothing to prove: nothing is bought"
    if proof.optimal:
        looked = f"nothing cheaper {goal}can be bought from these price files"
        return looked + (f"; not looked at: {', '.join(order.left_out)}" if order.left_out else "")
    if not proof.bound:
        return f"none: {proof.reason}"
    return f"at most {proof.gap} {order.currency} less may be possible: {proof.reason}"


def supplier_heading(order: SupplierOrder) -> str:
    """Who, what it costs, and when it is there."""
    more = [f"freight {order.shipping}"] if order.shipping else ["free of freight"] if order.terms.known else []
    more += [f"fee {order.order_fee}"] if order.order_fee else []
    more += [f"tax {order.tax}"] if order.tax else []
    days = f", {order.lead_days} days" if order.lead_days is not None else ""
    return f"{order.supplier}: {order.total} {order.currency} ({', '.join((f'goods {order.goods}', *more))}){days}"


def supplier_rows(order: SupplierOrder) -> list[tuple[str, ...]]:
    """The lines of an order, in the columns of LINE_HEADINGS."""
    return [
        (
            f"{plain(line.quantity)} m" if line.unit == "m" else plain(line.quantity),
            line.order_code,
            line.number or line.description,
            price_text(line.unit_price, order.currency),
            str(line.line_total),
            "" if line.lead_days is None else str(line.lead_days),
        )
        for line in order.lines
    ]


def why(order: Order) -> Iterator[str]:
    """A sentence for each choice that may surprise."""
    for supplier in order.suppliers:
        if supplier.explanation:
            yield f"{supplier.supplier}: {supplier.explanation}"
    yield from order.reasons
    for supplier in order.suppliers:
        for line in supplier.lines:
            # of suppliers that get no order, one sentence for all their lines stands above
            other = line.passed_over if "gets no order" not in line.passed_over else ""
            if said := "; ".join(text for text in (line.explanation, other) if text):
                yield f"{line.number or line.description}: {said}"


def change_rows(changes: Sequence[OrderChange]) -> list[tuple[str, ...]]:
    """A row a change."""
    return [
        (
            change.supplier,
            "" if change.line is None else str(change.line),
            change.part or ("terms" if change.supplier else "the order"),
            change.what,
            change.before,
            change.after,
        )
        for change in changes
    ]


def cost_line(before: Order, after: Order) -> str:
    """What the entries do to the total."""
    more = after.total - before.total
    if not more:
        return f"the total stays {after.total} {after.currency}"
    difference = f"{more} {after.currency} more" if more > 0 else f"{-more} {after.currency} less"
    return f"the total was {before.total} {before.currency} and is {after.total} {after.currency}: {difference}"

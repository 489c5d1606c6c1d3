"""Takes up what was entered by hand in the workbook of an order."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from boardgen.cli import terminal
from boardgen.documents.json.order import Order as OrderDocument
from boardgen.documents.json.order import changes_document
from boardgen.documents.order import summary as order_summary
from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.moved_lines import moved
from boardgen.purchasing.order import Order
from boardgen.purchasing.quoted_order import as_quoted
from boardgen.purchasing.quotes import PastSupplier, changes, changes_since, moves
from boardgen.purchasing.sourcing import OrderRequest, Sourcing
from boardgen.tables.text_file import read_plain_file
from boardgen.workbooks.order import ChangeLog


class Quoted(Struct, frozen=True):
    """The order as entered, and what was entered, None where no workbook came back."""

    order: Order
    entered: ChangeLog | None = None


def with_quotes(order: Order, path: Path | None, data: bytes, asked: OrderRequest) -> Quoted:
    """The order with the entries of that workbook, whose content is `data`; `asked` is what the order was chosen from.

    Raises InputError with every cell that cannot be used.
    """
    if path is None:
        return Quoted(order)
    from boardgen.workbooks.read_order import read_order

    sourcing = Sourcing(asked)
    rates = tuple(given.rate for given in asked.book.rates if given.to == order.currency)

    def move(before: Order, to: Mapping[int, str], entered: Collection[int] = ()) -> Order:
        return moved(before, to, sourcing.whole_market, rates, entered)

    returned = read_order(data, str(path), order, move)
    name = _shown(path)
    quoted = as_quoted(returned.order, returned.quotes, f"entered in {name}")
    before = {line.position: line.quantity for line in returned.order.lines}
    entered = {line.position for line in quoted.lines if line.quantity != before[line.position]}
    after = move(quoted, returned.moves, entered)
    return Quoted(after, ChangeLog(name, (*moves(order, after), *changes(returned.order, returned.quotes))))


def read_past(path: Path | None) -> tuple[PastSupplier, ...]:
    """What an earlier order bought of whom, nothing without a file. Raises InputError with each cell of no use."""
    if path is None:
        return ()
    from boardgen.workbooks.read_past_order import read_past_order

    return read_past_order(read_workbook(path), str(path))


def changed_since(past: Sequence[PastSupplier], path: Path | None, order: Order) -> ChangeLog | None:
    """What is different from the earlier order of that file."""
    return None if path is None else ChangeLog(_shown(path), changes_since(past, order))


def with_changes(document: OrderDocument, before: Order, quoted: Quoted, since: ChangeLog | None) -> OrderDocument:
    """The document with what was changed; as it is where no workbook was read."""
    if quoted.entered:
        entered = changes_document(quoted.entered.changes)
        document = replace(document, total_before=str(before.total), entered=entered)
    return replace(document, since=changes_document(since.changes)) if since else document


def print_changes(before: Order, quoted: Quoted, since: ChangeLog | None) -> None:
    """Prints what was changed, and what it does to the total."""
    if quoted.entered:
        _print(f"entered in {quoted.entered.file}", quoted.entered)
        if quoted.entered.changes:
            terminal.print_lines([order_summary.cost_line(before, quoted.order)])
    if since:
        _print(f"different from {since.file}", since)


def _print(heading: str, log: ChangeLog) -> None:
    terminal.print_lines(["", heading])
    if log.changes:
        terminal.print_table(order_summary.CHANGE_HEADINGS, order_summary.change_rows(log.changes), right=(1, 4, 5))
    else:
        terminal.print_lines(["nothing"])


def _shown(path: Path) -> str:
    return path.name.encode("utf-8", "replace").decode()


def read_workbook(path: Path | None) -> bytes:
    """The file's content, nothing without a file. Raises InputError where it cannot be read."""
    if path is None:
        return b""
    try:
        return read_plain_file(path)
    except OSError as error:
        found = f"cannot be read: {error.strerror}"
    except ValueError:
        found = "its name cannot be used"
    raise InputError([Problem("quote-workbook", "error", Place(str(path)), found, "", "Name an order.xlsx.")])

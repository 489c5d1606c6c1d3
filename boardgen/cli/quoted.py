"""Takes up what was entered by hand in the workbook of an order."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from boardgen.files.plain_file import read_plain_file
from boardgen.files.read_order_book import read_order_book
from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.order import Order
from boardgen.purchasing.quotes import Change, changes
from boardgen.purchasing.requote import requoted


@dataclass(frozen=True)
class Quoted:
    """The order as entered, what was entered, and in which workbook, "" for none."""

    order: Order
    changes: tuple[Change, ...] = ()
    file: str = ""


def with_quotes(order: Order, path: Path | None, data: bytes) -> Quoted:
    """The order with the entries of that workbook, whose content is `data`.

    Raises InputError with every cell that cannot be used.
    """
    if path is None:
        return Quoted(order)
    quotes = read_order_book(data, str(path), order)
    name = path.name.encode("utf-8", "replace").decode()
    return Quoted(requoted(order, quotes, f"entered in {name}"), changes(order, quotes), name)


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

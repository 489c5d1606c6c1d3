"""boardgen order: the parts of several boards, bought together."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

from msgspec.structs import replace

from boardgen.cli import terminal
from boardgen.cli.options import Data, OrderOverride, Purchase, Talk
from boardgen.cli.order_inputs import read_order
from boardgen.cli.quoted import (
    changed_since,
    print_changes,
    read_past,
    read_workbook,
    with_changes,
    with_quotes,
)
from boardgen.cli.report import print_found, print_written, report
from boardgen.design import within
from boardgen.documents.json.document import shortfalls, warnings
from boardgen.documents.json.order import Order as OrderDocument
from boardgen.documents.json.order import order_document
from boardgen.documents.order import summary as order_summary
from boardgen.documents.order.files import purchase_files
from boardgen.formats.manifest import MANIFEST
from boardgen.formats.output_folder import check_folder
from boardgen.model.problem import InputError, Place, Problem
from boardgen.order_design import alternates_sized, make_order_design, unlike_built
from boardgen.public.folder import folder_of, written
from boardgen.public.made_with import ORDER, PLOT
from boardgen.purchasing.cost_over_quantity import CostPoint, cost_over_quantity
from boardgen.purchasing.make_order import make_order
from boardgen.purchasing.order import Order
from boardgen.purchasing.quoted_order import bought_only
from boardgen.workbooks.order import NAME as ORDER_BOOK
from boardgen.workbooks.order import order_workbook
from boardgen.workbooks.quotation import NAME as QUOTATION_BOOK
from boardgen.workbooks.quotation import quotation_workbook

SHOWN = (1, 2, 5, 10, 20, 50)
"""Numbers of boards at which the cost is printed, and the last."""


def run(specs: Sequence[Path], out: Path, override: OrderOverride, data: Data, purchase: Purchase, talk: Talk) -> int:
    """Orders into a folder of `out` and prints what is bought and why; exit 1 where something falls short."""
    step = terminal.steps(talk.quiet)
    with step("reading"):
        entered, past = read_workbook(purchase.quoted), read_past(purchase.since)
        inputs = read_order(specs, override, data, purchase)
    target = folder_of(out, f"Order for {inputs.title}")
    _check_no_board(target)
    check_folder(target)
    with step("sizing, wiring and laying out") as tell:
        boards = make_order_design(inputs.ordered, inputs.names, inputs.catalogue, within(tell))
        unlike = tuple(unlike_built(out, inputs.ordered, boards, inputs.catalogue))
        asked = inputs.asked(boards)
    with step("choosing"):
        chosen = make_order(asked)
        quoted = with_quotes(chosen, purchase.quoted, entered, asked)
    order, since = quoted.order, changed_since(past, purchase.since, quoted.order)
    with step("sizing with alternates"):
        sized = tuple(alternates_sized(boards, order))
    with step("counting boards"):
        points = cost_over_quantity(asked, purchase.over) if purchase.over else ()
    with step("writing"):
        contents = tuple(board.content for board in boards.boards)
        book = order_workbook(order, contents, asked.boards, boards.catalogue, quoted.entered, since)
        request = quotation_workbook(bought_only(order), contents[0].paper)
        files = {**purchase_files(order, points), ORDER_BOOK: book, QUOTATION_BOOK: request}
        made = written(target, files, order.title, "", inputs.manifest, (*ORDER, *(PLOT if points else ())))
    found = (*unlike, *boards.problems, *sized, *inputs.problems, *order.problems, *made.problems)

    def words() -> None:
        _print(order)
        print_changes(chosen, quoted, since)
        _print_points(points, order.currency)
        print_found(found)
        print_written(str(target), made.files, ORDER_BOOK)

    def whole() -> OrderDocument:
        told = with_changes(order_document(order), chosen, quoted, since)
        told = replace(told, folder=str(target), files=tuple(made.files))
        return replace(told, shortfalls=shortfalls(found), warnings=warnings(found))

    return report(talk, found, whole, words)


def _check_no_board(target: Path) -> None:
    """Raises InputError where the folder holds what `build` wrote, which an order must not take the place of."""
    try:
        known = "order" in json.loads((target / MANIFEST).read_bytes())["inputs"]
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return
    if not known:
        place, hint = Place(str(target)), "Choose another title with --title, or another folder with --out"
        raise InputError([Problem("folder-refused", "error", place, "this folder holds a board", "", hint)])


def _print(order: Order) -> None:
    terminal.print_lines([f"Order for {order.title}", *order_summary.heading(order), ""])
    terminal.print_pairs(order_summary.cost_lines(order))
    for supplier in order.suppliers:
        terminal.print_lines(["", order_summary.supplier_heading(supplier)])
        rows = order_summary.supplier_rows(supplier)
        terminal.print_table(order_summary.LINE_HEADINGS, rows, right=order_summary.LINE_RIGHT)
    reasons = list(order_summary.why(order))
    if reasons:
        terminal.print_lines(["", "why", *(f"  {reason}" for reason in reasons)])


def _print_points(points: Sequence[CostPoint], currency: str) -> None:
    """The cost of a board at a few numbers of boards; the table of all is written."""
    if points:
        shown = [point for point in points if point.boards in SHOWN or point is points[-1]]
        terminal.print_lines([""])
        headings = ("boards of each", f"{currency} a board", "line by line", "suppliers")
        rows = [
            (str(p.boards), str(p.per_board), "" if p.line_by_line is None else str(p.line_by_line), str(p.suppliers))
            for p in shown
        ]
        terminal.print_table(headings, rows, right=(0, 1, 2, 3))

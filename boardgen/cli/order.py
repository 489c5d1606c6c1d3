"""boardgen order: the parts of several boards, bought together."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

from boardgen.cli import order_station, terminal, told
from boardgen.cli.options import Data, OrderOverride, Purchase, Talk
from boardgen.cli.order_inputs import OrderInputs, read_order
from boardgen.cli.quoted import (
    changed_since,
    changes_document,
    print_changes,
    read_past,
    read_workbook,
    with_quotes,
)
from boardgen.cli.versions import version_of
from boardgen.documents import order_summary, problems
from boardgen.documents.order_document import document
from boardgen.documents.order_files import PROGRAM
from boardgen.documents.purchase_files import purchase_files
from boardgen.formats.manifest import MANIFEST, Origin
from boardgen.formats.output_folder import check_folder, write_folder
from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.cost_over_quantity import CostPoint, cost_over_quantity
from boardgen.purchasing.make_order import make_order
from boardgen.purchasing.order import Order
from boardgen.spec.label import folder_name
from boardgen.workbooks.order import NAME as ORDER_BOOK
from boardgen.workbooks.order import order_workbook

SHOWN = (1, 2, 5, 10, 20, 50)
"""Numbers of boards at which the cost is printed, and the last."""
LIBRARIES = ("jinja2", "matplotlib", "msgspec", "numpy", "openpyxl", "pydantic", "scipy", "shapely", "skidl")


def run(specs: Sequence[Path], out: Path, override: OrderOverride, data: Data, purchase: Purchase, talk: Talk) -> int:
    """Orders into a folder of `out` and prints what is bought and why; exit 1 where something falls short."""
    with terminal.progress("reading", talk.quiet):
        entered, past = read_workbook(purchase.quoted), read_past(purchase.since)
        inputs = read_order(specs, override, data, purchase)
    target = out / folder_name(f"Order for {inputs.title}")
    _check_no_board(target)
    check_folder(target)
    with terminal.progress("sizing, wiring and laying out", talk.quiet):
        _ = inputs.asked
    with terminal.progress("choosing", talk.quiet):
        chosen = make_order(inputs.asked)
        quoted = with_quotes(chosen, purchase.quoted, entered)
    order, since = quoted.order, changed_since(past, purchase.since, quoted.order)
    with terminal.progress("counting boards", talk.quiet):
        points = cost_over_quantity(inputs.asked, purchase.over) if purchase.over else ()
    with terminal.progress("writing", talk.quiet):
        book = order_workbook(order, inputs.designs, inputs.asked.boards, quoted.entered, since)
        files = {**purchase_files(order, points), ORDER_BOOK: book}
        origin = Origin(order.title, "", inputs.manifest, PROGRAM, {name: version_of(name) for name in LIBRARIES})
        left = write_folder(target, files, origin)
    found = (
        *_of_designs(inputs),
        *order_station.problems(inputs.wanted.stations),
        *inputs.problems,
        *order.problems,
        *left,
    )
    names = sorted([*files, MANIFEST])
    if talk.json:
        whole = document(order) | changes_document(chosen, quoted, since)
        whole |= {"folder": str(target), "files": names}
        terminal.print_json(whole | problems.document(found))
    elif not talk.quiet:
        _print(order)
        print_changes(chosen, quoted, since)
        _print_points(points, order.currency)
        told.print_found(found)
        told.print_written(str(target), names)
    return told.exit_code(found)


def _of_designs(inputs: OrderInputs) -> tuple[Problem, ...]:
    """What falls short in the boards themselves; their bills are not judged here."""
    return tuple(
        problem
        for design in inputs.designs
        for problem in (*design.sizing_problems, *design.layout_problems)
        if problem.severity in ("error", "shortfall")
    )


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

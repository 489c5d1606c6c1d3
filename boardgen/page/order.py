"""What `order` would buy for the board: from whom, in which quantities, at what it comes to with freight and tax."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from boardgen.catalogue import Catalogue
from boardgen.design import Design
from boardgen.documents.order.summary import cost_lines, supplier_heading, supplier_rows, why
from boardgen.inputs.board import BoardInputs
from boardgen.inputs.order import order_price_paths
from boardgen.inputs.table_files import read_tables
from boardgen.order_design import Board, OrderDesign
from boardgen.page.job import Job, View
from boardgen.page.render import fill
from boardgen.purchasing.make_order import make_order
from boardgen.purchasing.makers_numbers import keys_by_number
from boardgen.purchasing.order import SupplierOrder
from boardgen.purchasing.price_tables import read_price_book
from boardgen.purchasing.sourcing import OrderRequest

MOST_SECONDS = 10.0
"""After so long the best order that was found is shown, which says that it is not proven."""


class Parcel(Struct, frozen=True):
    """What one supplier sends: a heading, and its lines, each with the parts it is for."""

    heading: str
    lines: tuple[tuple[tuple[str, ...], str], ...]


def order_view(design: Design, inputs: BoardInputs, job: Job, catalogue: Catalogue) -> View:
    """The order for as many boards as the specification says."""
    title, currency = design.spec.title, design.spec.order.currency
    boards = OrderDesign((Board(title, design.content, False, (), design.request),), (), catalogue)
    paths = order_price_paths(job.sources.parts, job.sources.prices, currency)
    book, _ = read_price_book(read_tables(paths), keys_by_number(catalogue.parts.values()))
    request = OrderRequest(
        title=title,
        currency=currency,
        boards=boards.needs(unfitted_too=False),
        book=replace(book, offers=(*book.offers, *boards.board_offers(book.offers))),
        find=boards.find,
        stock=boards.stock(),
        approvals=(),
        on=inputs.on,
        by=None,
        goal="least cost",
        time_limit_s=MOST_SECONDS,
    )
    made = make_order(request)
    parcels = tuple(map(_parcel, made.suppliers))
    values = {"boards": design.spec.order.boards, "sums": cost_lines(made), "why": tuple(why(made))}
    return View("order", fill("order.html", parcels=parcels, problems=made.problems, **values))


def _parcel(one: SupplierOrder) -> Parcel:
    refs = [" ".join(ref for used in line.where_used for ref in used.refs) for line in one.lines]
    return Parcel(supplier_heading(one), tuple(zip(supplier_rows(one), refs, strict=True)))

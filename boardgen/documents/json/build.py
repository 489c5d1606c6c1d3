"""What `build` says when it is done."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Annotated

from boardgen.board.layout import size_in_words
from boardgen.catalogue.to_verify import to_verify
from boardgen.design import Design
from boardgen.documents.build_summary import board_cost
from boardgen.documents.json import document
from boardgen.documents.json.document import Problem, Record, says
from boardgen.documents.json.response import targets_document
from boardgen.documents.json.values import Target
from boardgen.documents.response import copper_basis
from boardgen.model import problem


class Board(Record, frozen=True):
    """The layout."""

    width_mm: float
    height_mm: float
    area_cm2: float
    set_by: Annotated[str, says("What sets its size.")]
    cost: str
    faults: Annotated[int, says("What the check of the layout found.")]


class Bill(Record, frozen=True):
    """The bill of material in figures; amounts are texts."""

    lines: int
    boards: int
    currency: str
    order_total: str
    total_per_board: str
    board_value: Annotated[str, says("What the parts of one board cost, without what is left over.")]
    unpriced: Annotated[tuple[str, ...], says("Keys of parts without a price.")]


class Build(Record, frozen=True, tag_field="schema", tag="boardgen build 1"):
    """A built board."""

    title: str
    revision: str
    folder: str
    files: tuple[str, ...]
    shortfalls: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    copper: Annotated[str, says("What the prediction knows of the copper.")]
    targets: tuple[Target, ...]
    ports: int
    parts: Annotated[int, says("Fitted parts.")]
    nets: int
    board: Annotated[Board | None, says("Null where it could not be laid out.")]
    bill: Bill
    verify: Annotated[tuple[str, ...], says("What to verify before you order.")]


def build_document(design: Design, folder: str, files: Sequence[str], found: Iterable[problem.Problem]) -> Build:
    """`found` is everything that falls short or should be known."""
    bill, netlist, found = design.bill, design.netlist, tuple(found)
    return Build(
        title=design.spec.title,
        revision=design.spec.revision,
        folder=folder,
        files=tuple(files),
        shortfalls=document.shortfalls(found),
        warnings=document.warnings(found),
        copper=copper_basis(design.prediction),
        targets=targets_document(design.prediction),
        ports=len(netlist.ports),
        parts=sum(c.fitted for c in netlist.components),
        nets=len(netlist.nets),
        board=_board(design),
        bill=Bill(
            lines=len(bill.lines),
            boards=bill.boards,
            currency=bill.currency,
            order_total=str(bill.order_total),
            total_per_board=str(bill.total_per_board),
            board_value=str(bill.board_value),
            unpriced=tuple(line.part.key for line in bill.unpriced),
        ),
        verify=tuple(str(check) for check in to_verify(design.parts, design.catalogue)),
    )


def _board(design: Design) -> Board | None:
    made = design.layout
    if made is None:
        return None
    board = made.board
    area_cm2 = round(board.area_m2 * 1e4, 2)
    size = (board.width_nm / 1e6, board.height_nm / 1e6, area_cm2)
    return Board(*size, size_in_words(board), board_cost(design.bill), len(made.faults))

"""One board, from what was asked to what it costs: sizing, wiring, layout, prediction, bill, in this order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from boardgen.board.rules import Rules, rules
from boardgen.catalogue import Catalogue
from boardgen.circuit.build import build
from boardgen.circuit.windings import winding_rows
from boardgen.circuit.worst_loads import with_worst_loads
from boardgen.commissioning.bench import Bench, unmetered
from boardgen.model.choices import Choices
from boardgen.model.netlist import Netlist
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Problem
from boardgen.model.progress import Tell, tell_nobody
from boardgen.model.wire_cut import WireCut
from boardgen.purchasing.bare_board import bare_board_offers
from boardgen.purchasing.bill import Bill, bill, billed_is_fitted
from boardgen.purchasing.board_content import BoardContent
from boardgen.purchasing.needs import Need, Spares, needs, unfitted
from boardgen.purchasing.offer import Offer
from boardgen.request import Request
from boardgen.rf.candidate import Candidate, missed
from boardgen.rf.prediction import Prediction
from boardgen.rf.refine import Refined, refine
from boardgen.rf.refinement_report import Price
from boardgen.sizing.extras import CORNERS, area_m, bare_board, extras, too_large
from boardgen.sizing.size import size
from boardgen.spec.keys import Spec
from boardgen.stages.lines import ac_ground_nets

if TYPE_CHECKING:
    from boardgen.board.layout import Layout
    from boardgen.model.parasitics import Parasitics

Step = Callable[[str], AbstractContextManager[Tell]]
"""What is told of each step of the work: it is entered with the step's name and left when the step is done; what it
gives is told how far a long step is."""


def untold(_: str) -> AbstractContextManager[Tell]:
    """Tells nobody."""
    return nullcontext(tell_nobody)


def within(tell: Tell) -> Step:
    """Steps of a step: they are not told, but how far they are."""
    return lambda _: nullcontext(tell)


class Found(Struct, frozen=True, kw_only=True):
    """What fell short or is to be known: of the values and targets, of the board's size, wiring, layout, and bill."""

    sizing: tuple[Problem, ...]
    size: tuple[Problem, ...]
    wiring: tuple[Problem, ...]
    layout: tuple[Problem, ...]
    bill: tuple[Problem, ...]


class LaidOut(Struct, frozen=True, kw_only=True):
    """The layout, what the builder cuts for it, what its copper adds to the circuit, and what its checks found.

    All is empty where none was asked for; where none is possible the problems say why.
    """

    layout: Layout | None = None
    wire_cuts: tuple[WireCut, ...] = ()
    parasitics: Parasitics | None = None
    problems: tuple[Problem, ...] = ()

    @property
    def size_m(self) -> tuple[float, float] | None:
        """Width and height of the board in metres."""
        return _size_m(self.layout)


class Design(Struct, frozen=True, kw_only=True):
    """A board that is worked out.

    Parameters
    ----------
    offers, on : what it may be bought at, and the day for which prices are judged, None for none.
    predicted : whether values were refined until the targets hold, and the targets are judged.
    laid_out : whether a layout was asked for. Without one the size of the board is estimated.
    layout : None also where the board cannot be laid out; `problems` say why.
    needs : what one board takes: its fitted parts, and what is bought beside them.
    priced : every offer, with those of the bare board that its area makes.
    wire_cuts : lengths of wire that follow from the layout.
    found : what fell short or is to be known, by step.

    """

    request: Request
    offers: tuple[Offer, ...]
    on: date | None
    predicted: bool
    laid_out: bool
    choices: Choices
    netlist: Netlist
    rules: Rules
    layout: Layout | None
    wire_cuts: tuple[WireCut, ...]
    prediction: Prediction
    needs: tuple[Need, ...]
    priced: tuple[Offer, ...]
    bill: Bill
    found: Found

    @property
    def spec(self) -> Spec:
        """The specification."""
        return self.request.spec

    @property
    def catalogue(self) -> Catalogue:
        """What parts are chosen from."""
        return self.request.catalogue

    @property
    def spares(self) -> Spares:
        """How many more are bought than is needed."""
        return _spares(self.spec)

    @property
    def parts(self) -> tuple[Part, ...]:
        """Every part of the bill and of the board, in order."""
        found = {line.part.key: line.part for line in self.bill.lines}
        return tuple((found | {c.part.key: c.part for c in self.netlist.components}).values())

    @property
    def content(self) -> BoardContent:
        """What the board takes, for an order of it."""
        spec = self.spec
        return BoardContent(
            title=spec.title,
            revision=spec.revision,
            boards=spec.order.boards,
            spares=self.spares,
            currency=spec.order.currency,
            paper=spec.documents.paper,
            area_dm2=_area_dm2(self.request, _size_m(self.layout)),
            needs=self.needs,
            empty=unfitted(self.netlist),
            windings=winding_rows(self.netlist, self.choices, self.catalogue.permeability),
            in_hand=self.request.in_hand,
        )

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that falls short or should be known, in the order of the work."""
        found = self.found
        return (*found.sizing, *found.size, *found.wiring, *found.layout, *found.bill)


def make_design(
    request: Request,
    offers: Sequence[Offer] = (),
    on: date | None = None,
    *,
    predicted: bool = False,
    laid_out: bool = False,
    step: Step = untold,
) -> Design:
    """The board that is asked for.

    Parameters
    ----------
    request : the specification with what parts may be chosen from.
    offers : prices, by which the bill is made; its lines have none without them. They change nothing of the board.
    on : the day for which prices are judged, and which stands on the board; None for none.
    predicted : refine the values by prediction until the targets hold, and judge the targets.
    laid_out : lay the board out, and predict with its copper instead of an assumed one. A board whose targets may hang
        on copper that is only assumed is laid out in any case, so that every command makes the same choices.
    step : is told of each step as it begins.

    Raises
    ------
    InputError : where nothing in the catalogue can be chosen for a value.

    """
    spec = request.spec
    with step("sizing") as tell:
        refined = refine(request, tell=tell) if predicted else None
        sized = refined.found if refined else Candidate(request, size(request), ())
    laid_out = laid_out or (refined is not None and refined.copper_decides)
    board = _board(sized, on, laid_out, step)
    if refined and refined.copper_decides:
        refined, board = _second_round(request, refined, board, on, step)
    request, choices, netlist, made = board.request, board.choices, board.netlist, board.made
    with step("predicting"):
        verdict = refined.verdict(board.prediction, price_of(offers, on)) if refined else ()
    with step("pricing"):
        size_m = made.size_m
        screws = len(made.layout.board.mounting_holes) if made.layout else CORNERS
        wanted = needs(netlist, extras(request, choices, size_m, screws))
        priced = (*offers, *_by_area(request, offers, size_m))
        cost = bill(wanted, priced, spec.order.boards, _spares(spec), spec.order.currency, on, request.in_hand)
    return Design(
        request=request,
        offers=tuple(offers),
        on=on,
        predicted=predicted,
        laid_out=laid_out,
        choices=choices,
        netlist=netlist,
        rules=board.rules,
        layout=made.layout,
        wire_cuts=made.wire_cuts,
        prediction=board.prediction,
        needs=wanted,
        priced=priced,
        bill=cost,
        found=Found(
            sizing=(*choices.problems, *verdict),
            size=too_large(request, size_m),
            wiring=board.wiring,
            layout=made.problems,
            bill=(*billed_is_fitted(netlist, cost), *cost.problems),
        ),
    )


class _Board(Struct, frozen=True):
    """A board that is wired, laid out where that was asked for, and predicted with its copper."""

    request: Request
    choices: Choices
    netlist: Netlist
    rules: Rules
    made: LaidOut
    prediction: Prediction
    wiring: tuple[Problem, ...]


def _board(sized: Candidate, on: date | None, laid_out: bool, step: Step) -> _Board:
    """What becomes of sized values."""
    request = sized.request
    with step("wiring"):
        netlist, wiring = build(request, sized.choices)
        choices = with_worst_loads(request, sized.choices, netlist)
        on_meter = unmetered(Bench(request, choices, netlist))
    with step("laying out"):
        copper = rules(choices.values, request.catalogue.house)
        made = _laid_out(request, netlist, copper, on) if laid_out else LaidOut()
    prediction = Prediction(request, choices, netlist, made.parasitics)
    return _Board(request, choices, netlist, copper, made, prediction, (*wiring, *on_meter))


def _second_round(
    request: Request, refined: Refined, board: _Board, on: date | None, step: Step
) -> tuple[Refined, _Board]:
    """Where a laid board falls short, values are refined once more with its copper, and the better board is kept."""
    with step("predicting"):
        short = missed(board.prediction.judged)
    if not short or board.made.parasitics is None:
        return refined, board
    with step("sizing") as tell:
        again = refine(request, board.made.parasitics, tell)
    if again.found.choices == refined.found.choices:
        return refined, board
    other = _board(again.found, on, True, step)
    with step("predicting"):
        return (again, other) if missed(other.prediction.judged) < short else (refined, board)


def price_of(offers: Sequence[Offer], on: date | None) -> Price:
    """What the parts of one board cost more than those of another, before layout; nothing without prices."""

    def value(candidate: Candidate) -> Decimal:
        request = candidate.request
        wanted = needs(candidate.prediction.netlist, extras(request, candidate.choices))
        order = request.spec.order
        spares = _spares(request.spec)
        return bill(wanted, offers, order.boards, spares, order.currency, on, request.in_hand).board_value

    def words(before: Candidate, after: Candidate) -> str:
        if not offers:
            return ""
        more = value(after) - value(before)
        return f"{more:+.2f} {after.request.spec.order.currency} of parts a board"

    return words


def _laid_out(request: Request, netlist: Netlist, copper: Rules, on: date | None) -> LaidOut:
    # to load the layout takes a tenth of a command that needs none
    from boardgen.board.layout import lay_out, two_rows_warning
    from boardgen.board.parasitics import parasitics
    from boardgen.board.wire_cuts import wire_cuts

    try:
        made = lay_out(netlist, request.catalogue.footprints, copper, on.isoformat() if on else "")
    except InputError as error:
        return LaidOut(problems=tuple(replace(p, severity="shortfall") for p in error.problems))
    return LaidOut(
        layout=made,
        wire_cuts=wire_cuts(made.board, netlist),
        parasitics=parasitics(made.board, netlist, ac_ground_nets(request)),
        problems=(*made.faults, *two_rows_warning(made.board, copper.house.longest_nm)),
    )


def _by_area(request: Request, offers: Sequence[Offer], size_m: tuple[float, float] | None) -> tuple[Offer, ...]:
    """Offers of the bare board from those who price by area."""
    part, boards = bare_board(request, size_m or area_m(request)), request.spec.order.boards
    return bare_board_offers(offers, part, _area_dm2(request, size_m), boards)


def _size_m(layout: Layout | None) -> tuple[float, float] | None:
    return (layout.board.width_nm * 1e-9, layout.board.height_nm * 1e-9) if layout else None


def _area_dm2(request: Request, size_m: tuple[float, float] | None) -> Decimal:
    """The area of the board, as laid out or as it is estimated."""
    width_m, height_m = size_m or area_m(request)
    return Decimal(str(round(width_m * height_m * 1e2, 4)))


def _spares(spec: Spec) -> Spares:
    order = spec.order
    by_kind = {kind: Decimal(str(share)) for kind, share in order.spares_of.by_kind.items()}
    return Spares(Decimal(str(order.spares)), by_kind)

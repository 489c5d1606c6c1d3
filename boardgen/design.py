"""The pipeline: specification, sizing, netlist, board, bill, each step worked out when it is first asked for.

What a step needs is imported inside it, so that asking for values pays for nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct, field
from msgspec.structs import replace

from boardgen.catalogue import Catalogue
from boardgen.model.choices import Choices
from boardgen.model.netlist import Netlist
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Problem
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.keys import Spec
from boardgen.stages.lines import held

if TYPE_CHECKING:
    from boardgen.board.layout import Layout
    from boardgen.board.rules import Rules
    from boardgen.model.parasitics import Parasitics
    from boardgen.model.wire_cut import WireCut
    from boardgen.purchasing.bill import Bill
    from boardgen.purchasing.needs import Need, Spares
    from boardgen.purchasing.offer import Offer
    from boardgen.rf.prediction import Prediction
    from boardgen.rf.refine import Cost, Refined


class Design(Struct, frozen=True, dict=True):
    """One board, from what was asked to what it costs. `on` is the day for which prices are judged, or None.

    With `predicted`, values are refined until the predicted figures meet the targets, and the targets are judged.
    With `laid_out`, the board is laid out and its size is that of the layout; without, it is estimated.
    """

    spec: Spec
    catalogue: Catalogue
    offers: tuple[Offer, ...] = ()
    on: date | None = None
    kept: Mapping[str, str] = field(default_factory=dict)
    predicted: bool = False
    measured: Mapping[str, tuple[tuple[float, complex], ...]] = field(default_factory=dict)
    laid_out: bool = False

    @cached_property
    def request(self) -> Request:
        """The specification with its strips resolved, refined where that was asked for."""
        if self.predicted:
            return self._refined.prediction.request
        return self.asked

    @cached_property
    def _refined(self) -> Refined:
        from boardgen.rf.refine import part_count, refine

        return refine(self.asked, self._cost if self.offers else part_count)

    @property
    def asked(self) -> Request:
        """The specification with its strips resolved, before any refinement."""
        return Request(self.spec, self.catalogue, self.kept, measured=self.measured)

    @cached_property
    def _cost(self) -> Cost:
        """What the parts of one board cost; a part without a price counts as dear."""
        from boardgen.purchasing.board_cost import board_cost

        return board_cost(self.offers, self.spec.order.currency)

    @cached_property
    def choices(self) -> Choices:
        """Every sized value."""
        return self._refined.prediction.choices if self.predicted else size(self.request)

    @cached_property
    def _circuit(self) -> tuple[Netlist, tuple[Problem, ...]]:
        from boardgen.circuit.build import build

        return build(self.request, self.choices)

    @property
    def netlist(self) -> Netlist:
        """The circuit as SKiDL assembled it."""
        return self._circuit[0]

    @cached_property
    def prediction(self) -> Prediction:
        """What the board will do, from its netlist and, where it is laid out, from its copper."""
        from boardgen.rf.prediction import Prediction

        return Prediction(self.request, self.choices, self.netlist, self.parasitics)

    @cached_property
    def parasitics(self) -> Parasitics | None:
        """What the layout adds to the circuit; None where there is none."""
        if self.layout is None:
            return None
        from boardgen.board.parasitics import parasitics

        return parasitics(self.layout.board, self.netlist, held(self.request))

    @cached_property
    def rules(self) -> Rules:
        """Widths and clearances of the copper, and what the board house can make."""
        from boardgen.board.rules import rules

        return rules(self.choices.values, self.catalogue.house)

    @cached_property
    def _laid_out(self) -> tuple[Layout | None, tuple[Problem, ...]]:
        if not self.laid_out:
            return None, ()
        from boardgen.board.layout import layout
        from boardgen.board.summary import two_rows

        day = self.on.isoformat() if self.on else ""
        try:
            made = layout(self.netlist, self.catalogue.footprints, self.rules, day)
        except InputError as error:
            return None, tuple(replace(p, severity="shortfall") for p in error.problems)
        return made, (*made.faults, *two_rows(made.board, self.rules.house.longest_nm))

    @property
    def layout(self) -> Layout | None:
        """The board; None where it cannot be laid out, for which `layout_problems` says why."""
        return self._laid_out[0]

    @property
    def layout_problems(self) -> tuple[Problem, ...]:
        """Why there is no board, or what its checks found, or what to know of it."""
        return self._laid_out[1]

    @property
    def wire_cuts(self) -> tuple[WireCut, ...]:
        """Lengths of wire that follow from the layout; none without one."""
        if self.layout is None:
            return ()
        from boardgen.board.wire_cuts import wire_cuts

        return wire_cuts(self.layout.board, self.netlist)

    @property
    def _size_m(self) -> tuple[float, float] | None:
        board = self.layout.board if self.layout else None
        return (board.width_nm * 1e-9, board.height_nm * 1e-9) if board else None

    @cached_property
    def needs(self) -> tuple[Need, ...]:
        """What one board takes: its fitted parts, and what is bought beside them."""
        from boardgen.purchasing.needs import needs
        from boardgen.sizing.extras import extras

        return needs(self.netlist, extras(self.request, self.choices, self._size_m))

    @property
    def spares(self) -> Spares:
        """How many more are bought than is needed."""
        from boardgen.purchasing.needs import Spares

        order = self.spec.order
        by_kind = {kind: Decimal(str(share)) for kind, share in order.spares_of.by_kind.items()}
        return Spares(Decimal(str(order.spares)), by_kind)

    @cached_property
    def bill(self) -> Bill:
        """What to order, and what it costs."""
        from boardgen.purchasing.bill import bill

        order = self.spec.order
        return bill(self.needs, self.priced, order.boards, self.spares, order.currency, self.on)

    @cached_property
    def priced(self) -> tuple[Offer, ...]:
        """Every offer, with those of the bare board that its area makes."""
        from boardgen.purchasing.bare_board_offers import bare_board_offers
        from boardgen.sizing.board_area import area_m
        from boardgen.sizing.extras import bare_board

        width_m, height_m = size_m = self._size_m or area_m(self.request)
        area_dm2 = Decimal(str(round(width_m * height_m * 1e2, 4)))
        board = bare_board(self.request, size_m)
        return (*self.offers, *bare_board_offers(self.offers, board, area_dm2, self.spec.order.boards))

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """Every part of the bill and of the board, in order."""
        found = {line.part.key: line.part for line in self.bill.lines}
        return tuple((found | {c.part.key: c.part for c in self.netlist.components}).values())

    @property
    def sizing_problems(self) -> tuple[Problem, ...]:
        """What fell short while sizing, and what prediction changed or found short."""
        if not self.predicted:
            return self.choices.problems
        return (*self.choices.problems, *self._refined.problems, *self.prediction.problems)

    @cached_property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that falls short or should be known, in the order of the pipeline."""
        from boardgen.commissioning.bench import Bench, unmetered
        from boardgen.purchasing.bill import billed_is_fitted
        from boardgen.sizing.extras import too_large

        return (
            *self.sizing_problems,
            *too_large(self.request, self._size_m),
            *self._circuit[1],
            *self.layout_problems,
            *billed_is_fitted(self.netlist, self.bill),
            *unmetered(Bench(self.request, self.choices, self.netlist)),
            *self.bill.problems,
        )

"""What an order takes: the boards of specifications and plans as they are worked out, and what stands beside them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property

from msgspec import Struct

from boardgen.catalogue import Catalogue
from boardgen.design import Design, Step, make_design, untold
from boardgen.inputs.board import BoardInputs
from boardgen.inputs.order import Ordered
from boardgen.inputs.station import StationInputs
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.purchasing.bare_board import own_board_offers, with_own_board
from boardgen.purchasing.demand import BoardNeeds
from boardgen.purchasing.needs import needs_of_unfitted, unfitted
from boardgen.purchasing.offer import Offer
from boardgen.purchasing.order import NotFitted, OrderedBoard
from boardgen.spec.order_keys import Order
from boardgen.station.needs import of_board
from boardgen.station_design import StationDesign, make_station

BESIDE = "cables and source"


class Board(Struct, frozen=True):
    """A board of the order by its name; `in_station` where it is one of a station's."""

    name: str
    design: Design
    in_station: bool

    @property
    def offers(self) -> tuple[Offer, ...]:
        """What its bare board costs where somebody asks by its area."""
        return self.design.priced[len(self.design.offers) :]


class OrderDesign(Struct, frozen=True, dict=True):
    """All that is ordered together. `catalogue` also holds what approvals and stock may name."""

    boards: tuple[Board, ...]
    stations: tuple[tuple[StationInputs, StationDesign], ...]
    catalogue: Catalogue

    def needs(self, *, unfitted_too: bool) -> tuple[BoardNeeds, ...]:
        """What each board takes, then what each station takes beside its boards."""
        several = len(self.stations) > 1
        beside = (_beside(design, several) for _, design in self.stations)
        return (*(_of_board(board, unfitted_too) for board in self.boards), *beside)

    def board_offers(self, offers: Sequence[Offer]) -> tuple[Offer, ...]:
        """What the bare board of each design costs by its size class and, where somebody asks so, by its area."""
        return tuple(
            offer
            for board in self.boards
            for offer in own_board_offers(
                board.design.needs, offers, board.offers, board.name, board.design.spec.revision
            )
        )

    def find(self, key: str) -> Part | None:
        """The part of that catalogue key, in a board or at least on offer."""
        try:
            return self._known.get(key) or self.catalogue.part(key)
        except KeyError:
            return None

    @cached_property
    def _known(self) -> dict[str, Part]:
        known = {part.key: part for board in self.boards for part in board.design.parts}
        return known | {need.part.key: need.part for _, design in self.stations for need in design.beside.needs}

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What falls short in boards and stations themselves, and what of stations cannot be ordered.

        The boards' own bills are not judged here.
        """
        found: list[Problem] = []
        for board in self.boards:
            found += _short((*board.design.found.sizing, *board.design.found.layout))
        for inputs, design in self.stations:
            found += inputs.loaded.at_lines(design.beside.problems)
            found += _short(inputs.loaded.at_lines(design.problems))
        return tuple(found)


def make_order_design(ordered: Sequence[Ordered], names: Sequence[str], step: Step = untold) -> OrderDesign:
    """Every board laid out and predicted; `names` are those of all boards, a station's boxes before its selector."""
    designs: list[tuple[Design, bool]] = []
    stations: list[tuple[StationInputs, StationDesign]] = []
    for one in ordered:
        inputs = one.inputs
        if isinstance(inputs, BoardInputs):
            design = make_design(inputs.request, inputs.offers, inputs.on, predicted=True, laid_out=True, step=step)
            designs.append((design, False))
        else:
            station = make_station(inputs, _selector_order(one, inputs), step)
            designs += [(box, True) for box in _boards(station)]
            stations.append((inputs, station))
    boards = (Board(name, *design) for name, design in zip(names, designs, strict=True))
    return OrderDesign(tuple(boards), tuple(stations), designs[0][0].catalogue)


def _boards(station: StationDesign) -> Iterator[Design]:
    yield from station.boxes.values()
    if station.selector is not None:
        yield station.selector


def _selector_order(one: Ordered, inputs: StationInputs) -> Order | None:
    """A generated selector is bought as the first box is where anything was overridden, as many as were asked for."""
    if not one.overrides:
        return None
    first = next(iter(inputs.boxes.values())).spec.order
    return first if "order.boards" in one.overrides else first.model_copy(update={"boards": Order().boards})


def _of_board(board: Board, unfitted_too: bool) -> BoardNeeds:
    design = board.design
    spec, netlist = design.spec, design.netlist
    ordered = OrderedBoard(board.name, spec.revision, spec.order.boards)
    needs = with_own_board(design.needs, board.name, spec.revision)
    # a station has one fuse for all its boards
    needs = of_board(needs) if board.in_station else needs
    if unfitted_too:
        return BoardNeeds(ordered, (*needs, *needs_of_unfitted(netlist)), design.spares)
    empty = tuple(NotFitted(board.name, refs, part) for refs, part in unfitted(netlist))
    return BoardNeeds(ordered, needs, design.spares, empty)


def _beside(station: StationDesign, several: bool) -> BoardNeeds:
    """What the station takes beside its boards, with the spares of its first box."""
    title = f"{station.plan.title}: {BESIDE}" if several else BESIDE
    spares = next(iter(station.boxes.values())).spares
    return BoardNeeds(OrderedBoard(title, "", 0), station.beside.needs, spares)


def _short(problems: Iterable[Problem]) -> list[Problem]:
    return [p for p in problems if p.severity in ("error", "shortfall")]

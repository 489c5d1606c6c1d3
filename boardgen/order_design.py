"""What an order takes: the boards of specifications and plans as they are worked out, and what stands beside them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from functools import cached_property
from pathlib import Path

from msgspec import Struct

from boardgen.catalogue import Catalogue
from boardgen.design import Design, Step, make_design, untold
from boardgen.inputs.board import BoardInputs
from boardgen.inputs.built import Built, has_needs, read_built
from boardgen.inputs.order import Ordered
from boardgen.inputs.station import StationInputs
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing import order as purchased
from boardgen.purchasing.bare_board import KIND, bare_board_offers, own_board_offers, with_own_board
from boardgen.purchasing.bill import required
from boardgen.purchasing.board_content import MOST_NAMED, BoardContent, differs_from_built
from boardgen.purchasing.demand import BoardNeeds
from boardgen.purchasing.needs import Need, Spares, needs_of_unfitted
from boardgen.purchasing.offer import Offer
from boardgen.purchasing.order import NotFitted, OrderedBoard
from boardgen.purchasing.stock import StockItem
from boardgen.request import Request
from boardgen.rf.refinement_report import REFINED
from boardgen.sizing.exchanged import exchanged
from boardgen.spec.label import folder_name
from boardgen.spec.order_keys import Order
from boardgen.station.needs import of_board
from boardgen.station_design import StationDesign, make_station

BESIDE = "cables and source"


class Board(Struct, frozen=True):
    """A board of the order by its name; `in_station` where it is one of a station's.

    `problems` are what falls short in it as it was worked out, or is to be known of how it was built. `request` is what
    it was sized from, None where it was built before.
    """

    name: str
    content: BoardContent
    in_station: bool
    problems: tuple[Problem, ...] = ()
    request: Request | None = None


class Beside(Struct, frozen=True):
    """What a station takes beside its boards, and what falls short in it."""

    title: str
    spares: Spares
    needs: tuple[Need, ...]
    problems: tuple[Problem, ...] = ()


class OrderDesign(Struct, frozen=True, dict=True):
    """All that is ordered together. `catalogue` also holds what approvals and stock may name."""

    boards: tuple[Board, ...]
    stations: tuple[Beside, ...]
    catalogue: Catalogue

    def needs(self, *, unfitted_too: bool) -> tuple[BoardNeeds, ...]:
        """What each board takes, then what each station takes beside its boards."""
        several = len(self.stations) > 1
        beside = (_beside(station, several) for station in self.stations)
        return (*(_of_board(board, unfitted_too) for board in self.boards), *beside)

    def board_offers(self, offers: Sequence[Offer]) -> tuple[Offer, ...]:
        """What the bare board of each design costs by its size class and, where somebody asks so, by its area."""
        return tuple(offer for board in self.boards for offer in _board_offers(board, offers))

    def stock(self, table: tuple[StockItem, ...] = ()) -> tuple[StockItem, ...]:
        """The user's table of stock, then what the specifications say is in hand of parts that it does not name.

        Boards of one order share a drawer: of one part there is the most that any of them says.
        """
        named = {item.part for item in table}
        keys = dict.fromkeys(key for board in self.boards for key in board.content.in_hand if key not in named)
        return (*table, *(StockItem(key, self._in_hand(key), "in hand") for key in keys))

    def _in_hand(self, key: str) -> Decimal:
        contents = [board.content for board in self.boards]
        said = [content.in_hand[key] for content in contents if key in content.in_hand]
        amounts = [amount for amount in said if amount is not None]
        if len(amounts) == len(said):
            return max(amounts)
        lines = [(need, content) for content in contents for need in content.needs if need.part.key == key]
        whole = (required(need, content.boards, content.spares)[1] for need, content in lines)
        return sum(whole, Decimal())

    def find(self, key: str) -> Part | None:
        """The part of that catalogue key, in a board or at least on offer."""
        return self._known.get(key) or self.catalogue.find(key)

    @cached_property
    def _known(self) -> dict[str, Part]:
        known = {part.key: part for board in self.boards for part in board.content.parts}
        return known | {need.part.key: need.part for station in self.stations for need in station.needs}

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What falls short in boards and stations themselves, and what of stations cannot be ordered.

        The boards' own bills are not judged here.
        """
        of_boards = (problem for board in self.boards for problem in board.problems)
        return (*of_boards, *(problem for station in self.stations for problem in station.problems))


def make_order_design(
    ordered: Sequence[Ordered], names: Sequence[str], catalogue: Catalogue, step: Step = untold
) -> OrderDesign:
    """Every board laid out and predicted, or as it was built.

    `names` are those of all boards, a station's boxes before its selector.
    """
    found: list[tuple[BoardContent, bool, tuple[Problem, ...], Request | None]] = []
    stations: list[Beside] = []
    for one in ordered:
        inputs = one.inputs
        if isinstance(inputs, BoardInputs):
            design = make_design(inputs.request, inputs.offers, inputs.on, predicted=True, laid_out=True, step=step)
            found.append((design.content, False, _falls_short(design), design.request))
        elif isinstance(inputs, StationInputs):
            station = make_station(inputs, _selector_order(one, inputs), step)
            boxes = tuple(_boards(station))
            found += [(box.content, True, _falls_short(box), box.request) for box in boxes]
            said = inputs.loaded.at_lines(station.beside.problems)
            short = _short(inputs.loaded.at_lines(station.problems))
            stations.append(Beside(station.plan.title, boxes[0].spares, station.beside.needs, (*said, *short)))
        else:
            said = inputs.problems
            for content in inputs.boards.values():
                found.append((content, inputs.beside is not None, said, None))
                said = ()
            if inputs.beside is not None:
                stations.append(Beside(inputs.title, inputs.beside.spares, inputs.beside.needs))
    boards = (Board(name, *one) for name, one in zip(names, found, strict=True))
    return OrderDesign(tuple(boards), tuple(stations), catalogue)


def unlike_built(out: Path, ordered: Sequence[Ordered], order: OrderDesign, catalogue: Catalogue) -> Iterator[Problem]:
    """A shortfall for each board that was worked out and is not as the one that lies built under `out`."""
    boards = iter(order.boards)
    for one in ordered:
        mine = [next(boards) for _ in one.names]
        folder = out / folder_name(one.title)
        if isinstance(one.inputs, Built) or not has_needs(folder):
            continue
        built = list(read_built(folder, catalogue).boards.items())
        for board, (within, content) in zip(mine, built, strict=False):
            yield from differs_from_built(board.content, content, str(folder / within))


def alternates_sized(design: OrderDesign, order: purchased.Order) -> Iterator[Problem]:
    """What each alternate that is taken changes in each board: the board is sized again with it.

    A shortfall where something is not met then; a warning where values change, or a built board is not sized again.
    """
    boards = {board.name: board for board in design.boards}
    for one in order.exchanges:
        for board in (boards[name] for name in one.boards if name in boards):
            what = f"{one.part.name} in the place of {one.wanted.name} on {board.name}"
            place = Place(key=one.part.key)
            if board.request is None:
                text, hint = f"{what}: a built board is not sized again", "Order its specification to see what changes"
                yield Problem("alternate-sized", "warning", place, text, "", hint)
                continue
            found = exchanged(board.request, one.wanted.key, one.part.key)
            if found.short:
                hint = "Take the approval back, or name the part in the specification and build the board anew"
                said = "; ".join(found.short)
                yield Problem("alternate-sized", "shortfall", place, f"{what} falls short: {said}", "", hint)
            elif found.changes:
                more = len(found.changes) - MOST_NAMED
                said = "; ".join([*found.changes[:MOST_NAMED], *([f"and {more} more"] if more > 0 else [])])
                yield Problem("alternate-sized", "warning", place, f"{what}: {said}")


def _falls_short(design: Design) -> tuple[Problem, ...]:
    """What falls short of a board, and what its prediction chose."""
    chosen = tuple(p for p in design.found.sizing if p.id == REFINED)
    return (*chosen, *_short((*design.found.sizing, *design.found.layout)))


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
    content = board.content
    ordered = OrderedBoard(board.name, content.revision, content.boards)
    needs = with_own_board(content.needs, board.name, content.revision)
    # a station has one fuse for all its boards
    needs = of_board(needs) if board.in_station else needs
    if unfitted_too:
        return BoardNeeds(ordered, (*needs, *needs_of_unfitted(content.empty)), content.spares)
    empty = tuple(NotFitted(board.name, refs, part) for refs, part in content.empty)
    return BoardNeeds(ordered, needs, content.spares, empty)


def _board_offers(board: Board, offers: Sequence[Offer]) -> tuple[Offer, ...]:
    content = board.content
    by_area = (
        offer
        for need in content.needs
        if need.part.kind == KIND
        for offer in bare_board_offers(offers, need.part, content.area_dm2, content.boards)
    )
    return own_board_offers(content.needs, offers, tuple(by_area), board.name, content.revision)


def _beside(station: Beside, several: bool) -> BoardNeeds:
    """What the station takes beside its boards, with the spares of its first box."""
    title = f"{station.title}: {BESIDE}" if several else BESIDE
    return BoardNeeds(OrderedBoard(title, "", 0), station.needs, station.spares)


def _short(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    return tuple(p for p in problems if p.severity in ("error", "shortfall"))

"""Reads everything an order is made from."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from datetime import date, datetime
from functools import cached_property
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from boardgen.catalogue.load import parts_folder
from boardgen.cli import order_station
from boardgen.cli.described import digest
from boardgen.cli.inputs import price_paths
from boardgen.cli.options import Data, OrderOverride, Purchase, wrong_use
from boardgen.cli.order_station import Board, Wanted
from boardgen.cli.own_board import own_board_offers, with_own_board
from boardgen.design import Design
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.purchasing.alternates import Approval, read_approvals
from boardgen.purchasing.demand import BoardNeeds
from boardgen.purchasing.needs import needs_of_unfitted, unfitted
from boardgen.purchasing.offer import Offer
from boardgen.purchasing.order import Goal, NotFitted, OrderedBoard
from boardgen.purchasing.price_book import PriceBook
from boardgen.purchasing.price_tables import read_price_book
from boardgen.purchasing.sourcing import OrderRequest
from boardgen.purchasing.stock import StockItem, read_stock
from boardgen.spec.label import LONGEST_TITLE, read_title
from boardgen.tables.fault import FieldError
from boardgen.tables.text_file import read_tables

MOST_OVER = 1000
DEMO_TERMS = "demo-suppliers.csv"


class Tables(Struct, frozen=True):
    """What stands in the tables, and the days."""

    book: PriceBook
    stock: tuple[StockItem, ...]
    approvals: tuple[Approval, ...]
    on: date | None
    by: date | None


class OrderInputs(Struct, frozen=True, dict=True):
    """What was read: the designs, the tables, what is wrong in them, and what a manifest says.

    The designs are worked out only when what is `asked` is wanted.
    """

    wanted: Wanted
    names: tuple[str, ...]
    title: str
    purchase: Purchase
    tables: Tables
    problems: tuple[Problem, ...]
    manifest: dict[str, object]

    @property
    def designs(self) -> tuple[Design, ...]:
        """Those of the boards, in their order."""
        return tuple(board.design for board in self.wanted.boards)

    @cached_property
    def asked(self) -> OrderRequest:
        """Everything an order is made from."""
        beside = self._beside
        known = {part.key: part for design in self.designs for part in design.parts}
        known |= {need.part.key: need.part for found in beside for need in found.needs}
        catalogue = self.designs[0].catalogue

        def find(key: str) -> Part | None:
            try:
                return known.get(key) or catalogue.part(key)
            except KeyError:
                return None

        unfitted_too = self.purchase.unfitted
        return OrderRequest(
            title=self.title,
            currency=self.designs[0].spec.order.currency,
            boards=(
                *(
                    _needs(board, name, unfitted_too=unfitted_too)
                    for board, name in zip(self.wanted.boards, self.names, strict=True)
                ),
                *beside,
            ),
            book=replace(self.tables.book, offers=(*self.tables.book.offers, *self._board_offers)),
            find=find,
            stock=self.tables.stock,
            approvals=self.tables.approvals,
            on=self.tables.on,
            by=self.tables.by,
            goal=_goal(self.purchase),
            time_limit_s=self.purchase.time_limit,
        )

    @property
    def _beside(self) -> tuple[BoardNeeds, ...]:
        """What the stations take beside their boards."""
        several = len(self.wanted.stations) > 1
        return tuple(order_station.beside(station, several) for station in self.wanted.stations)

    @property
    def _board_offers(self) -> tuple[Offer, ...]:
        """What the bare board of each design costs by its size class and, where somebody asks so, by its area."""
        named = zip(self.designs, self.names, strict=True)
        return tuple(offer for design, name in named for offer in own_board_offers(design, name, self.tables.book))


def read_order(specs: Sequence[Path], override: OrderOverride, data: Data, purchase: Purchase) -> OrderInputs:
    """Specifications, catalogue, prices and tables. Raises InputError with every fault of the first that fails."""
    _check_use(specs, override, purchase)
    currency = _currency(specs, override)
    data = dataclasses.replace(data, prices=tuple(_price_paths(data, currency, purchase)))
    book, problems = read_price_book(read_tables([*data.prices, *purchase.rates]))
    stock, wrong_stock = read_stock(*_table(purchase.stock)) if purchase.stock else ((), ())
    approvals, wrong = read_approvals(*_table(purchase.alternates)) if purchase.alternates else ((), ())
    wanted = order_station.read_wanted(specs, override, data)
    names = _names(wanted.boards)
    tables = Tables(book, stock, approvals, *_days(purchase, wanted.boards[0].design.on))
    return OrderInputs(
        wanted,
        names,
        _title(purchase, wanted.titles if wanted.stations else names),
        purchase,
        tables,
        (*problems, *wrong_stock, *wrong),
        _manifest(wanted, purchase, tables),
    )


def _table(path: Path) -> tuple[str, str]:
    """Text and name of a file."""
    ((name, text),) = read_tables([path])
    return text, name


def _manifest(wanted: Wanted, purchase: Purchase, tables: Tables) -> dict[str, object]:
    named = {what: getattr(purchase, what) for what in ("stock", "alternates", "quoted", "since")}
    return {
        "order": list(wanted.manifest),
        "rates": [digest(path, path.parent) for path in purchase.rates],
        **{what: digest(path, path.parent) for what, path in named.items() if path},
        "ordered on": tables.on.isoformat() if tables.on else None,
        "wanted by": tables.by.isoformat() if tables.by else None,
        "goal": _goal(purchase),
        "empty places": purchase.unfitted,
        "over": purchase.over,
    }


def _goal(purchase: Purchase) -> Goal:
    return "fewest parcels" if purchase.fewest_parcels else "least cost"


def _check_use(specs: Sequence[Path], override: OrderOverride, purchase: Purchase) -> None:
    if not specs:
        raise wrong_use("no specification is named", "Name one or more.")
    if len(override.boards) > 1 and len(override.boards) != len(specs):
        found = f"--boards is given {len(override.boards)} times for {len(specs)} specifications"
        raise wrong_use(found, "Give it once for all, or once for each in their order.")
    if purchase.over < 0 or purchase.over > MOST_OVER:
        found = f"--over {purchase.over}"
        raise wrong_use(found, f"1 to {MOST_OVER} boards can be looked at.")
    if purchase.time_limit is not None and not purchase.time_limit > 0:
        found = f"--time-limit {purchase.time_limit:g}"
        raise wrong_use(found, "Give seconds above 0.")


def _currency(specs: Sequence[Path], override: OrderOverride) -> str:
    currencies = sorted(order_station.currencies(specs, override))
    if len(currencies) > 1:
        found = f"the specifications are in {' and '.join(currencies)}"
        raise wrong_use(found, "Choose one with --currency.")
    return currencies[0]


def _price_paths(data: Data, currency: str, purchase: Purchase) -> list[Path]:
    """The files of a build, with the terms of the demonstration's suppliers beside its prices."""
    folder = parts_folder() / "prices"
    paths = price_paths(data, currency)
    if purchase.demo_prices:
        paths += [path for path in price_paths(Data(), currency) if path not in paths]
    demonstration = any(path.parent == folder for path in paths)
    return [*paths, folder / DEMO_TERMS] if demonstration else paths


def _days(purchase: Purchase, built_on: date | None) -> tuple[date | None, date | None]:
    """The day of the order and the day by which all must be there."""
    on = _day("--on", purchase.on) or built_on
    by = _day("--by", purchase.by)
    if by is not None and on is None:
        on = datetime.now().astimezone().date()
    if by is not None and on is not None and by < on:
        found = f"--by {by} is before {on}, the day of the order"
        raise wrong_use(found, "Give a later day.")
    return on, by


def _day(option: str, text: str | None) -> date | None:
    if text is None:
        return None
    try:
        if re.fullmatch("[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    found = f"{option} {text!r} is not a day"
    raise wrong_use(found, "Write year-month-day, such as 2026-12-15.")


def _needs(wanted: Board, name: str, *, unfitted_too: bool) -> BoardNeeds:
    design = wanted.design
    spec, netlist = design.spec, design.netlist
    board = OrderedBoard(name, spec.revision, spec.order.boards)
    empty = tuple(NotFitted(name, refs, part) for refs, part in unfitted(netlist))
    needs = wanted.needs(with_own_board(design, name))
    if unfitted_too:
        return BoardNeeds(board, (*needs, *needs_of_unfitted(netlist)), design.spares)
    return BoardNeeds(board, needs, design.spares, empty)


def _names(boards: Sequence[Board]) -> tuple[str, ...]:
    """The titles, with their revisions where two are alike, and their boxes where these are alike too.

    Raises InputError where two boards are then alike.
    """
    names = tuple(board.design.spec.title for board in boards)
    for more in ("revision {0.design.spec.revision}", "{0.box}"):
        longer = zip(names, (more.format(board) for board in boards), strict=True)
        names = tuple(f"{name}, {words}" if names.count(name) > 1 and words else name for name, words in longer)
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        found = f"two specifications are {twice[0]}"
        raise wrong_use(found, "Change one title, or order more boards of one.")
    return names


def _title(purchase: Purchase, names: Sequence[str]) -> str:
    if purchase.title is not None:
        try:
            return read_title(purchase.title)
        except FieldError as error:
            found = f"--title {error.found}"
            raise wrong_use(found, error.wanted) from None
    whole = " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else names[0]
    return whole if len(whole) <= LONGEST_TITLE else f"{names[0]} and {len(names) - 1} more"

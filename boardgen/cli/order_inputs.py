"""Reads everything an order is made from, as the command line asks for it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from boardgen.catalogue import Catalogue
from boardgen.cli.options import Data, OrderOverride, Purchase, wrong_use
from boardgen.cli.sources import build_day
from boardgen.inputs.board import Sources, read_catalogue
from boardgen.inputs.digests import digest
from boardgen.inputs.order import Ordered, currencies, order_price_paths, read_ordered
from boardgen.inputs.station import StationInputs
from boardgen.inputs.table_files import read_tables
from boardgen.model.problem import InputError, Problem
from boardgen.order_design import OrderDesign
from boardgen.purchasing.alternates import Approval, read_approvals
from boardgen.purchasing.makers_numbers import keys_by_number
from boardgen.purchasing.order import Goal
from boardgen.purchasing.price_book import PriceBook
from boardgen.purchasing.price_tables import read_price_book
from boardgen.purchasing.sourcing import OrderRequest
from boardgen.purchasing.stock import StockItem, read_stock
from boardgen.spec.label import LONGEST_TITLE, read_title
from boardgen.tables.fault import FieldError

MOST_OVER = 1000


class OrderInputs(Struct, frozen=True):
    """What was read: boards and stations with the name of every board, the tables, the days, and what is wrong."""

    ordered: tuple[Ordered, ...]
    catalogue: Catalogue
    names: tuple[str, ...]
    title: str
    currency: str
    purchase: Purchase
    book: PriceBook
    stock: tuple[StockItem, ...]
    approvals: tuple[Approval, ...]
    on: date | None
    by: date | None
    problems: tuple[Problem, ...]
    manifest: Mapping[str, object]

    def asked(self, design: OrderDesign) -> OrderRequest:
        """Everything the order is made from, once its boards are worked out."""
        return OrderRequest(
            title=self.title,
            currency=self.currency,
            boards=design.needs(unfitted_too=self.purchase.unfitted),
            book=replace(self.book, offers=(*self.book.offers, *design.board_offers(self.book.offers))),
            find=design.find,
            stock=design.stock(self.stock),
            approvals=self.approvals,
            on=self.on,
            by=self.by,
            goal=_goal(self.purchase),
            time_limit_s=self.purchase.time_limit,
        )


def read_order(specs: Sequence[Path], override: OrderOverride, data: Data, purchase: Purchase) -> OrderInputs:
    """Specifications, catalogue, prices and tables. Raises InputError with every fault of the first that fails."""
    _check_use(specs, override, purchase)
    overrides = [override.of(number).keys() for number in range(len(specs))]
    currency = _currency(specs, overrides)
    prices = tuple(order_price_paths(data.parts, data.prices, currency, demonstration_too=purchase.demo_prices))
    catalogue = read_catalogue(data.parts)
    keys = keys_by_number(catalogue.parts.values())
    book, problems = read_price_book(read_tables([*prices, *purchase.rates]), keys)
    stock, wrong_stock = read_stock(*_table(purchase.stock), keys) if purchase.stock else ((), ())
    approvals, wrong = read_approvals(*_table(purchase.alternates), keys) if purchase.alternates else ((), ())
    problems = (*problems, *wrong_stock, *wrong)
    if wrong_kind := [problem for problem in problems if problem.severity == "error"]:
        raise InputError(wrong_kind)
    built_on = build_day()
    sources = [Sources(overrides=own, parts=data.parts, prices=prices, on=built_on) for own in overrides]
    ordered = read_ordered(specs, sources, catalogue)
    names = _names([name for one in ordered for name in one.names])
    of_stations = any(len(one.names) > 1 or isinstance(one.inputs, StationInputs) for one in ordered)
    titles = [one.title for one in ordered] if of_stations else names
    on, by = _days(purchase, built_on)
    return OrderInputs(
        ordered,
        catalogue,
        names,
        _title(purchase, titles),
        currency,
        purchase,
        book,
        stock,
        approvals,
        on,
        by,
        problems,
        _manifest(ordered, purchase, on, by),
    )


def _table(path: Path) -> tuple[str, str]:
    """Text and name of a file."""
    ((name, text),) = read_tables([path])
    return text, name


def _manifest(ordered: Sequence[Ordered], purchase: Purchase, on: date | None, by: date | None) -> dict[str, object]:
    named = {what: getattr(purchase, what) for what in ("stock", "alternates", "quoted", "since")}
    return {
        "order": [one.manifest for one in ordered],
        "rates": [digest(path, path.parent) for path in purchase.rates],
        **{what: digest(path, path.parent) for what, path in named.items() if path},
        "ordered on": on.isoformat() if on else None,
        "wanted by": by.isoformat() if by else None,
        "goal": _goal(purchase),
        "empty places": purchase.unfitted,
        "over": purchase.over,
    }


def _goal(purchase: Purchase) -> Goal:
    return "fewest parcels" if purchase.fewest_parcels else "least cost"


def _check_use(specs: Sequence[Path], override: OrderOverride, purchase: Purchase) -> None:
    if not specs:
        raise wrong_use("no specification and no built folder is named", "Name one or more.")
    if len(override.boards) > 1 and len(override.boards) != len(specs):
        found = f"--boards is given {len(override.boards)} times for {len(specs)} specifications"
        raise wrong_use(found, "Give it once for all, or once for each in their order.")
    if purchase.over < 0 or purchase.over > MOST_OVER:
        found = f"--over {purchase.over}"
        raise wrong_use(found, f"1 to {MOST_OVER} boards can be looked at.")
    if purchase.time_limit is not None and not purchase.time_limit > 0:
        found = f"--time-limit {purchase.time_limit:g}"
        raise wrong_use(found, "Give seconds above 0.")


def _currency(specs: Sequence[Path], overrides: Sequence[Mapping[str, str]]) -> str:
    found = sorted(currencies(specs, overrides))
    if len(found) > 1:
        text = f"the specifications are in {' and '.join(found)}"
        raise wrong_use(text, "Choose one with --currency.")
    return found[0]


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


def _names(boards: Sequence[tuple[str, str, str]]) -> tuple[str, ...]:
    """The titles, with their revisions where two are alike, and their boxes where these are alike too.

    Raises InputError where two boards are then alike.
    """
    names = tuple(title for title, _, _ in boards)
    for more in ([f"revision {revision}" for _, revision, _ in boards], [box for _, _, box in boards]):
        longer = zip(names, more, strict=True)
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

"""Options that several commands share."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from boardgen.model.problem import InputError, Place, Problem

_HIDDEN = Parameter(show=False)
_SWITCH = Parameter(negative="", show_default=False)


@Parameter(name="*")
@dataclass(frozen=True)
class Override:
    """Keys of the specification that the command line may override; the same checks apply."""

    lowest: str | None = None
    'band.lowest, such as "472 kHz" or "160 m"'
    highest: str | None = None
    'band.highest, such as "10.15 MHz" or "30 m"'
    impedance: str | None = None
    'band.impedance, such as "50 ohm"'
    region: str | None = None
    "band.region: 1, 2 or 3"
    boards: str | None = None
    "order.boards: how many boards to buy for"
    spares: str | None = None
    'order.spares, such as "10 %"'
    currency: str | None = None
    "order.currency, such as CAD"

    def keys(self) -> dict[str, str]:
        """The overridden keys by their dotted names."""
        tables = dict.fromkeys(("lowest", "highest", "impedance", "region"), "band")
        tables |= dict.fromkeys(("boards", "spares", "currency"), "order")
        return {f"{table}.{name}": text for name, table in tables.items() if (text := getattr(self, name)) is not None}


@Parameter(name="*")
@dataclass(frozen=True)
class Data:
    """Where parts and prices come from."""

    parts: Path | None = None
    "a folder of your own parts; they add to ours and override them"
    prices: Annotated[tuple[Path, ...], Parameter(negative="", show_default=False)] = ()
    "a price file (.csv, .xlsx, .ods) or a folder of them, in the place of invented demonstration prices; repeatable"


@Parameter(name="*")
@dataclass(frozen=True)
class SizingOverride(Override):
    """The same for a command that orders nothing: the keys of the order are checked, but not advertised."""

    boards: Annotated[str | None, _HIDDEN] = None
    spares: Annotated[str | None, _HIDDEN] = None
    currency: Annotated[str | None, _HIDDEN] = None


@Parameter(name="*")
@dataclass(frozen=True)
class SizingData(Data):
    """The same for a command that needs no prices: they are taken so that one line of options serves them all."""

    prices: Annotated[tuple[Path, ...], Parameter(negative="", show=False)] = ()


@Parameter(name="*")
@dataclass(frozen=True)
class OrderOverride(Override):
    """The same for several specifications, with a number of boards for each."""

    boards: Annotated[tuple[int, ...], Parameter(negative="", show_default=False)] = ()  # type: ignore[assignment]
    "how many boards of each; once for all, or once for each specification or plan; cables are bought once a plan"

    def of(self, number: int) -> Override:
        """The overrides of that specification, counted from 0."""
        given = self.boards[0 if len(self.boards) == 1 else number] if self.boards else None
        return Override(
            self.lowest,
            self.highest,
            self.impedance,
            self.region,
            None if given is None else str(given),
            self.spares,
            self.currency,
        )


@Parameter(name="*")
@dataclass(frozen=True)
class Purchase:
    """What an order goes by."""

    stock: Path | None = None
    "what is in hand already, a table (.csv, .xlsx, .ods) with the columns part,quantity,note"
    rates: Annotated[tuple[Path, ...], Parameter(negative="", show_default=False)] = ()
    "a table of currencies, with the columns from,to,rate,as_of,source; may be repeated"
    alternates: Path | None = None
    "parts that you approve in the place of others, with the columns part,alternate,source"
    demo_prices: Annotated[bool, _SWITCH] = False
    "fill gaps in your own prices with the invented demonstration prices"
    unfitted: Annotated[bool, _SWITCH] = False
    "buy parts for the places that are left empty too"
    on: str | None = None
    "the day the order goes out, such as 2026-11-25; default SOURCE_DATE_EPOCH, and today where --by is given"
    by: str | None = None
    "the day by which everything must be there"
    fewest_parcels: Annotated[bool, _SWITCH] = False
    "as few suppliers as can be, and among those the least cost"
    time_limit: float | None = None
    "seconds for the choice; by default it takes what it needs"
    over: Annotated[int, Parameter(show_default=False)] = 0
    "also the cost per board for 1 to so many boards of each, up to 1000"
    quoted: Path | None = None
    "an order.xlsx of the same order that came back (.xlsx, .ods): what was entered is listed, and the costs follow"
    since: Path | None = None
    "an earlier order.xlsx: what is different from it is listed"
    title: str | None = None
    "what the order is called; default the titles of the boards"


@Parameter(name="*")
@dataclass(frozen=True)
class Talk:
    """How the command speaks."""

    json: Annotated[bool, _SWITCH] = False
    "print one JSON document on standard output and nothing else"
    quiet: Annotated[bool, _SWITCH] = False
    "print nothing but faults"


def wrong_use(found: str, hint: str) -> InputError:
    """A use of the command line that makes no sense: exit 2."""
    return InputError([Problem("U001 wrong use", "error", Place("command line"), found, "", hint)])

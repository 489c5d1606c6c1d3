"""Price files on disk: tables of prices, of suppliers' terms and of rates, each known by its heading."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

from boardgen.files.plain_file import read_plain_file
from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing import rates, terms
from boardgen.purchasing.offer import Offer
from boardgen.purchasing.order import SupplierTerms
from boardgen.purchasing.price_book import PriceBook, one_of_each
from boardgen.purchasing.prices import read_prices
from boardgen.purchasing.rates import GivenRate, read_rates
from boardgen.purchasing.terms import read_terms

_Value = TypeVar("_Value")
Problems = tuple[Problem, ...]


def read_price_files(paths: Sequence[Path]) -> tuple[tuple[Offer, ...], Problems]:
    """The offers of all these files, and what is wrong in them; a folder stands for its *.csv.

    Tables of terms and of rates are passed over. Raises InputError naming every file that cannot be read as UTF-8
    text, and every folder without price files.
    """
    offers: list[Offer] = []
    problems: list[Problem] = []
    for name, text in _texts(paths):
        if _kind(text) == "":
            found, wrong = read_prices(text, name)
            offers += found
            problems += wrong
    return tuple(offers), tuple(problems)


def read_price_book(paths: Sequence[Path]) -> tuple[PriceBook, Problems]:
    """All that these files say, and what is wrong in them; of what stands in two files the first holds.

    Raises InputError as `read_price_files` does.
    """
    offers: list[Offer] = []
    asked: dict[tuple[str, str], SupplierTerms] = {}
    given: dict[tuple[str, str], GivenRate] = {}
    problems: list[Problem] = []
    for name, text in _texts(paths):
        kind = _kind(text)
        if kind == terms.MARK:
            some_terms, wrong = read_terms(text, name)
            for row in some_terms:
                asked.setdefault((row.supplier, row.currency), row)
        elif kind == rates.MARK:
            some_rates, wrong = read_rates(text, name)
            for rate in some_rates:
                given.setdefault((rate.rate.currency, rate.to), rate)
        else:
            some_offers, wrong = read_prices(text, name)
            offers += some_offers
        problems += wrong
    kept, contradictions = one_of_each(offers)
    return PriceBook(kept, tuple(asked.values()), tuple(given.values())), (*problems, *contradictions)


def read_table_file(
    path: Path, read: Callable[[str, str], tuple[tuple[_Value, ...], Problems]]
) -> tuple[tuple[_Value, ...], Problems]:
    """One table of another kind, read by `read` from its text and name. Raises InputError as above."""
    ((name, text),) = _texts([path])
    return read(text, name)


def _kind(text: str) -> str:
    """The column that tells what a table is of, "" for prices."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    columns = {column.strip().strip('"') for column in first.split(",")}
    marks = [mark for mark in (terms.MARK, rates.MARK) if mark in columns]
    return marks[0] if marks and "unit_price" not in columns else ""


def _texts(paths: Sequence[Path]) -> list[tuple[str, str]]:
    """Name and text of each file."""
    faults: list[Problem] = []
    texts = []
    for path in paths:
        try:
            texts += [(str(file), read_plain_file(file).decode("utf-8-sig")) for file in _files(path)]
        except UnicodeDecodeError as error:
            faults.append(_fault(path, f"is not UTF-8 text (byte {error.start})"))
        except OSError as error:
            faults.append(_fault(path, f"cannot be read: {error.strerror}"))
    if faults:
        raise InputError(faults)
    return texts


def _files(path: Path) -> Sequence[Path]:
    if not path.is_dir():
        return [path]
    files = sorted(path.glob("*.csv"))
    if not files:
        raise FileNotFoundError(2, "no *.csv in the folder", str(path))
    return files


def _fault(path: Path, found: str) -> Problem:
    return Problem("price-file", "error", Place(str(path)), f"the price file {found}", "comma-separated UTF-8 text")

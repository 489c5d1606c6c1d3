"""Price files on disk."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from boardgen.files.plain_file import read_plain_file
from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.offer import Offer
from boardgen.purchasing.prices import read_prices


def read_price_files(paths: Sequence[Path]) -> tuple[tuple[Offer, ...], tuple[Problem, ...]]:
    """The offers of all these files, and what is wrong in them; a folder stands for its *.csv.

    Raises InputError naming every file that cannot be read as UTF-8 text, and every folder without price files.
    """
    faults: list[Problem] = []
    offers: list[Offer] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            for file in _files(path):
                found, wrong = read_prices(read_plain_file(file).decode("utf-8-sig"), str(file))
                offers += found
                problems += wrong
        except UnicodeDecodeError as error:
            faults.append(_fault(path, f"is not UTF-8 text (byte {error.start})"))
        except OSError as error:
            faults.append(_fault(path, f"cannot be read: {error.strerror}"))
    if faults:
        raise InputError(faults)
    return tuple(offers), tuple(problems)


def _files(path: Path) -> Sequence[Path]:
    if not path.is_dir():
        return [path]
    files = sorted(path.glob("*.csv"))
    if not files:
        raise FileNotFoundError(2, "no *.csv in the folder", str(path))
    return files


def _fault(path: Path, found: str) -> Problem:
    return Problem("price-file", "error", Place(str(path)), f"the price file {found}", "comma-separated UTF-8 text")

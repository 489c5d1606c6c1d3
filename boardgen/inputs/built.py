"""Reads what the boards of a built folder take, so that an order buys what was built."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from boardgen.catalogue import Catalogue
from boardgen.formats.manifest import MANIFEST
from boardgen.inputs.board import NO_OVERRIDES
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.board_content import BoardContent
from boardgen.purchasing.needs_file import NAME, Needs, content_of, read_needs
from boardgen.spec.load import read_text
from boardgen.tables.text_file import read_plain_file


class Built(Struct, frozen=True):
    """A built folder: its boards by their folders within it, "" for itself, and what a station takes beside them."""

    folder: Path
    title: str
    boards: Mapping[str, BoardContent]
    beside: BoardContent | None
    problems: tuple[Problem, ...]
    manifest: Mapping[str, object]

    @property
    def names(self) -> tuple[tuple[str, str, str], ...]:
        """Title, revision and place in a station of every board."""
        return tuple((board.title, board.revision, within) for within, board in self.boards.items())


def has_needs(folder: Path) -> bool:
    """Whether the folder holds what its boards take."""
    return (folder / NAME).is_file()


def built_currency(folder: Path) -> str:
    """The currency that the boards of a folder were priced in. Raises InputError as `read_built` does."""
    return _document(folder, "").currency


def read_built(folder: Path, catalogue: Catalogue, given: Mapping[str, str] = NO_OVERRIDES) -> Built:
    """What was built there, with the keys of [order] that are given by their dotted names on the command line.

    Raises InputError where the folder holds no board, a file is not as its manifest says, or another key is given.
    """
    top = _document(folder, "")
    documents = {within: _document(folder, within) for within in top.within} or {"": top}
    read = {within: _content(document, folder / within / NAME, catalogue) for within, document in documents.items()}
    beside = _content(top, folder / NAME, catalogue) if top.within else None
    overridden = {within: _overridden(content, given) for within, (content, _) in read.items()}
    digest = hashlib.sha256((folder / NAME).read_bytes()).hexdigest()
    return Built(
        folder,
        top.title,
        overridden,
        replace(beside[0], spares=next(iter(overridden.values())).spares) if beside else None,
        tuple(problem for _, problems in (*read.values(), *([beside] if beside else [])) for problem in problems),
        {"built": {"title": top.title, "revision": top.revision, "sha256": digest}},
    )


def _document(folder: Path, within: str) -> Needs:
    name = f"{within}/{NAME}" if within else NAME
    path = folder / name
    try:
        data = read_plain_file(path)
        listed = json.loads((folder / MANIFEST).read_bytes())["files"][name]["sha256"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        found = f"the folder holds no {NAME} that a manifest names"
        raise _refused(folder, found, "Name a folder that build or station wrote, or build it again") from None
    if hashlib.sha256(data).hexdigest() != listed:
        raise _refused(path, f"the file is not as {MANIFEST} says", "Build the board again")
    try:
        return read_needs(data)
    except ValueError as error:
        raise _refused(path, f"the file cannot be read: {error}", "Build the board again") from None


def _refused(path: Path, found: str, hint: str) -> InputError:
    return InputError([Problem("U010 built folder", "error", Place(str(path)), found, "", hint)])


def _content(document: Needs, path: Path, catalogue: Catalogue) -> tuple[BoardContent, tuple[Problem, ...]]:
    def find(key: str) -> Part | None:
        try:
            return catalogue.part(key)
        except KeyError:
            return None

    return content_of(document, find, str(path))


def _overridden(content: BoardContent, given: Mapping[str, str]) -> BoardContent:
    """The board with number, spares and currency of the command line. Raises InputError for any other key."""
    if other := sorted(given.keys() - _OF_THE_ORDER):
        found = f"{other[0]} is given for a board that is built already"
        raise InputError(
            [Problem("U001 wrong use", "error", Place("command line", key=other[0]), found, "", _NOT_SIZED)]
        )
    order = read_text(_ANY_BOARD, overrides=given).order
    changed: dict[str, object] = {}
    if "order.boards" in given:
        changed["boards"] = order.boards
    if "order.currency" in given:
        changed["currency"] = order.currency
    if "order.spares" in given:
        changed["spares"] = replace(content.spares, fraction=Decimal(str(order.spares)))
    return replace(content, **changed)


_OF_THE_ORDER = {"order.boards", "order.spares", "order.currency"}
_NOT_SIZED = "Give the specification in the place of the folder to size the board anew"
_ANY_BOARD = """band = { lowest = "1.8 MHz", highest = "10 MHz" }
[[antenna]]
label = "any"
"""
"""By it the keys of the command line are checked as in a specification."""

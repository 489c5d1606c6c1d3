"""What the server hands to a process that works for it, and what it gets back."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from msgspec import Struct

from boardgen.inputs.board import Sources
from boardgen.model.problem import Problem


class Job(Struct, frozen=True):
    """A state that is to be worked out: its number, text and file, the text that is saved, and where data come from.

    `sweeps` is a folder of measurements of the built board, None for none.
    The task is to "show" it, or to "write" what the file makes into a folder of `out`; a `plan` makes a station.
    """

    number: int
    path: str
    text: str
    saved: str
    parts: str | None = None
    prices: tuple[str, ...] = ()
    sweeps: str | None = None
    task: Literal["show", "write"] = "show"
    out: str = "output"
    plan: bool = False

    @property
    def sources(self) -> Sources:
        """Parts and prices as the commands take them."""
        return Sources(parts=Path(self.parts) if self.parts else None, prices=tuple(map(Path, self.prices)))


class View(Struct, frozen=True):
    """A piece of the page by the id of its element."""

    name: str
    html: str


class Book(Struct, frozen=True):
    """The book and its appendix as a build would write them, by file name."""

    pages: dict[str, bytes]


class Files(Struct, frozen=True):
    """A folder that was written, the names of its files, which is to be opened first, and what is to be known of it."""

    folder: str
    names: tuple[str, ...]
    first: str
    problems: tuple[Problem, ...]

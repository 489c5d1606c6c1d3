"""One specification on the page: its file, the processes that work it out, and the windows that look at it."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

from msgspec import Struct

from boardgen.formats.fixed_zip import fixed_zip
from boardgen.model.problem import InputError, Place, Problem
from boardgen.page.form import Form, Group, Offer, Rows, form
from boardgen.page.history import Change, edited, redone, undone
from boardgen.page.job import Book, Files, Job, View
from boardgen.page.layout import SPEC, layout_of
from boardgen.page.opened_file import OpenedFile
from boardgen.page.process import Broken, Done, Kind, News, Process, Refused, Step
from boardgen.page.render import fill
from boardgen.page.work import Offers
from boardgen.spec.load import read_text, toml_data

LOOK_SECONDS = 0.5
"""How often the file is looked at for changes from outside."""
TOGETHER_SECONDS = 0.01
WORK: Mapping[Kind, str] = {"soon": "values and typical copper", "laid": "board, bill and laid copper"}
STATION_WORK: Mapping[Kind, str] = {"laid": "station and its proof"}
VIEWS = (
    "verdict",
    "values",
    "targets",
    "response",
    "remedies",
    "board",
    "schematic",
    "bill",
    "order",
    "hands",
    "book",
    "known",
)
PLAN_VIEWS = ("boxes", "verdict", "maps", "selection", "cables", "proof", "known")


@lru_cache(maxsize=64)
def filled(part: Group | Rows) -> str:
    """What stands under a heading of the form; most of it is as it was before a keystroke."""
    return fill("group.html" if isinstance(part, Group) else "list.html", part=part)


class Beside(Struct, frozen=True):
    """What a specification is worked out with: own parts, prices, the folder for what is written, and one of sweeps."""

    parts: str | None
    prices: tuple[str, ...]
    out: str
    sweeps: str | None = None


class Shown(Struct, frozen=True):
    """A view with the number of the state that it shows, and by which of the processes it was made."""

    html: str
    number: int
    by: Kind
    made: int


class Desk:
    """What the server answers from. All of it runs in the server's event loop."""

    def __init__(self, path: Path, beside: Beside) -> None:
        """Opens the file. Raises InputError where it cannot be read."""
        self.file = OpenedFile(path)
        self.layout = layout_of(toml_data(self.file.history.now.text, str(path)))
        self.plan = self.layout is not SPEC
        self._work = STATION_WORK if self.plan else WORK
        self._beside = beside
        self._offers: Mapping[str, Sequence[Offer]] = {}
        self._shown: dict[str, Shown] = {}
        self._timing: dict[str, str] = {}
        self._refused: tuple[int, tuple[Problem, ...]] = (-1, ())
        self.written: Files | None = None
        self._pages: Mapping[str, bytes] = {}
        self._writing = ""
        self._made = 0
        self._formed = 0
        self._made_form: tuple[int, Form | None] = (0, None)
        self._pieces: dict[str, tuple[int, str]] = {}
        self._news = asyncio.Event()

    def start(self, processes: Mapping[Kind, Process]) -> None:
        """Lets the first state be worked out by these processes, and looks at the file from now on."""
        self._processes = processes
        self._work_out()
        self._watch = asyncio.create_task(self._watched())

    def stop(self) -> None:
        """Looks at the file no more."""
        self._watch.cancel()

    async def _watched(self) -> None:
        while True:
            await asyncio.sleep(LOOK_SECONDS)
            before = self.file.history.now.number
            if self.file.look():
                self.file.keep_draft()
                if self.file.history.now.number != before:
                    self._work_out()
                self._tell(formed=True)

    # what the page asks for

    def change(self, change: Change, seen: int, visit: str = "") -> None:
        """Makes a change. Raises InputError where another window was faster, or it cannot be made."""
        self.file.history = edited(self.file.history, change, seen, visit)
        self._changed()

    def undo(self) -> None:
        """One step back."""
        self.file.history = undone(self.file.history)
        self._changed()

    def redo(self) -> None:
        """One step forward again."""
        self.file.history = redone(self.file.history)
        self._changed()

    def lay_beside(self, beside: Beside) -> None:
        """Other own parts and prices."""
        self._beside = beside
        self._changed()

    def save(self) -> None:
        """Saves the file. Raises InputError where the commands would refuse it, or it holds something else by now."""
        self._check(self.file.history.now.text)
        try:
            self.file.save()
        finally:
            # what is marked as changed, and the curve behind, are those of what the file holds
            self._changed()

    def write(self) -> None:
        """Saves, and lets everything be written into the output folder. Raises InputError as saving does."""
        self.save()
        self._writing, self.written = "reading", None
        self._processes["laid"].ask(self._job("write"))
        self._tell()

    def archive(self) -> bytes:
        """What was written, as one zip. Raises InputError where nothing was, or it is gone."""
        return fixed_zip({name: self.read_written(name) for name in (self.written.names if self.written else ())})

    def read_written(self, name: str) -> bytes:
        """A file that was written. Raises InputError for any other."""
        problem = Problem(
            "W004 written", "error", Place(name), "this is no file that was written", "write the files first"
        )
        if self.written is None or name not in self.written.names:
            raise InputError([problem])
        try:
            return (Path(self.written.folder) / name).read_bytes()
        except OSError:
            raise InputError([problem]) from None

    def read_page(self, name: str) -> bytes:
        """A page of the book of what is on view. Raises InputError for any other."""
        if name not in self._pages:
            raise InputError([Problem("W007 book", "error", Place(name), "this is no page of the book on view")])
        return self._pages[name]

    # what the page shows

    @property
    def made(self) -> int:
        """When anything on view last changed."""
        return self._made

    def state(self, since: int = -1) -> dict[str, Any]:
        """What stands about the views; of head and form the pieces that have changed after that."""
        found = self.form()
        pieces = {
            "out": fill("out.html", writing=self._writing, written=self.written),
            "status": fill("status.html", timing=self._timing, faulty=found.faulty),
        }
        pieces |= {name: html for name, (made, html) in self._pieces.items() if made > since}
        number = self.file.history.now.number
        return {"now": number, "faulty": found.faulty, "made": self._made, "pieces": pieces}

    def views(self, since: int = -1) -> dict[str, Any]:
        """The views that were made after that one, each with the number of its state."""
        return {name: {"html": v.html, "number": v.number} for name, v in self._shown.items() if v.made > since}

    async def news(self, left: asyncio.Event) -> AsyncIterator[dict[str, Any]]:
        """What a window is told until the desk is left: first all, then what has changed since, the newest alone."""
        since = -1
        leaving = asyncio.create_task(left.wait())
        while not left.is_set():
            news, made = asyncio.create_task(self._news.wait()), self._made
            yield {**self.state(since), "views": self.views(since)}
            since = made
            # what comes close together is told together, but for the first of it
            await asyncio.sleep(TOGETHER_SECONDS)
            await asyncio.wait((news, leaving), return_when=asyncio.FIRST_COMPLETED)

    def form(self) -> Form:
        """The form, made anew with its pieces where anything in it has changed."""
        formed, made = self._made_form
        if formed != self._formed or made is None:
            text, number = self.file.history.now.text, self.file.history.now.number
            faults = self._refused[1] if self._refused[0] == number else ()
            data = toml_data(text, str(self.file.path))
            made = form(data, self.layout, faults, self._offers)
            self._made_form = (self._formed, made)
            self._put_pieces(made)
        return made

    def _put_pieces(self, made: Form) -> None:
        """Each piece of head and form, with when it came to be what it is."""
        values = {"form": made, "history": self.file.history, "file": self.file, "beside": self._beside}
        pieces = {
            "head": fill("head.html", **values),
            "faults": fill("faults.html", others=made.others),
            **{part.address: filled(part) for part in made.parts},
            "g-beside": fill("beside.html", **values),
            "g-file": fill("file.html", **values),
        }
        for name, html in pieces.items():
            if name not in self._pieces or self._pieces[name][1] != html:
                self._pieces[name] = (self._formed, html)

    def _changed(self) -> None:
        self._work_out()
        self.file.keep_draft()
        self._tell(formed=True)

    def _work_out(self) -> None:
        """Has the state worked out, or says at once what is wrong with it."""
        text, number = self.file.history.now.text, self.file.history.now.number
        try:
            self._check(text)
        except InputError as error:
            self._refused = (number, error.problems)
            return
        self._refused = (-1, ())
        self._timing = dict.fromkeys(self._work.values(), "working")
        for kind in self._work:
            self._processes[kind].ask(self._job("show"))

    def _check(self, text: str) -> None:
        """Raises InputError where the file, or of a plan one of its boxes, cannot be read."""
        if self.plan:
            # a board is shown without what only stations need
            from boardgen.station.load import load_plan

            load_plan(self.file.path, text)
        else:
            read_text(text, str(self.file.path))

    def _job(self, task: Any) -> Job:
        history, beside = self.file.history, self._beside
        return Job(
            number=history.now.number,
            path=str(self.file.path),
            text=history.now.text,
            saved=history.saved_text,
            parts=beside.parts,
            prices=beside.prices,
            sweeps=beside.sweeps,
            task=task,
            out=beside.out,
            plan=self.plan,
        )

    def take(self, kind: Kind, job: Job, news: News) -> None:
        """What a process tells of a job."""
        current = job.number == self.file.history.now.number
        formed = False
        match news:
            case View(name=name, html=html) if current and not self._better(name, job.number, kind):
                self._shown[name] = Shown(html, job.number, kind, self._made + 1)
            case Book(pages=pages) if current:
                self._pages = pages
            case Offers(pins=pins):
                self._offers, formed = pins, True
            case Files():
                self.written, self._writing = news, ""
            case Step(name=name) if job.task == "write":
                self._writing = name
            case Refused(problems=problems) if job.task == "write":
                self._writing = " ".join(problem.sentence for problem in problems)
            case Refused(problems=problems) if current:
                self._refused, formed = (job.number, problems), True
            case Done(seconds=seconds) if current and job.task == "show":
                self._timing[self._work[kind]] = f"{seconds:.2f} s"
            case Broken(words=words):
                self._timing[self._work[kind]] = words
        self._tell(formed=formed)

    def _better(self, name: str, number: int, kind: Kind) -> bool:
        """Whether what is shown knows the copper, and this does not."""
        shown = self._shown.get(name)
        return shown is not None and shown.number == number and shown.by == "laid" and kind == "soon"

    def _tell(self, *, formed: bool = False) -> None:
        self._made += 1
        if formed:
            self._formed = self._made
        told, self._news = self._news, asyncio.Event()
        told.set()

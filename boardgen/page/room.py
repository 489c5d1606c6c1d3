"""The folder that a page was started in: which specification is open in it, and the processes that work for it."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from boardgen.formats.new_file import write_all_new
from boardgen.model.problem import InputError, Place, Problem
from boardgen.page.desk import Beside, Desk
from boardgen.page.job import Job
from boardgen.page.process import Kind, News, Process
from boardgen.spec.template import station_files, station_names, with_ways


class Room:
    """What the server answers from. All of it runs in the server's event loop."""

    def __init__(self, folder: Path, beside: Beside, spec: Path | None) -> None:
        """Opens the specification, if there is one. Raises InputError where it cannot be read."""
        self.folder, self.beside = folder, beside
        self._given = {beside.parts or "", *beside.prices}
        self.desk = self._desk(spec) if spec else None
        self._processes: dict[Kind, Process] = {}
        self._moved = asyncio.Event()

    def _desk(self, path: Path) -> Desk:
        return Desk(path, self.beside)

    def enter(self) -> None:
        """Starts the processes, and lets the first state be worked out."""
        self._loop = asyncio.get_running_loop()
        self._processes = {kind: Process(kind, self._heard) for kind in ("soon", "laid")}
        if self.desk:
            self.desk.start(self._processes)

    def leave(self) -> None:
        """Ends the processes."""
        if self.desk:
            self.desk.stop()
        for process in self._processes.values():
            process.close()

    @property
    def files(self) -> list[str]:
        """The specifications and plans in the folder."""
        return sorted(path.name for path in self.folder.glob("*.toml") if path.is_file())

    def begin(self, template: str, ways: int | None, file: str) -> None:
        """A new file from a template, opened; of a station its boxes too. Raises InputError where there is no such
        template, or a file exists.
        """
        file = file if Path(file).suffix == ".toml" else f"{file}.toml"
        if Path(file).name != file or file.startswith("."):
            raise InputError(
                [_wrong("name", f'"{file}" is no plain name of a file', "leave out slashes and first dots")]
            )
        if template in station_names() and ways is not None:
            found = f"{template} is a station, whose boxes have their own"
            raise InputError([_wrong("antennas", found, "leave them out")])
        texts = station_files(template, file) if template in station_names() else {file: with_ways(template, ways)}
        self._check_left()
        write_all_new({self.folder / name: text for name, text in texts.items()})
        self._open(file)

    def open(self, name: str) -> None:
        """Opens a file of the folder, or of a folder in it. Raises InputError for others, or where what is open is not
        saved.
        """
        if name not in self.files and not (Path(name).suffix == ".toml" and self._has(name)):
            wanted = "start the page in a folder that holds it"
            raise InputError([_wrong("name", f'there is no file "{name}" in the folder of this page', wanted)])
        self._check_left()
        self._open(name)

    def lay_beside(self, parts: str, prices: str, sweeps: str) -> None:
        """Other own parts, prices and sweeps, "" for none. Raises InputError for a path outside of the folder of this
        page.
        """
        given = {"parts": parts, "prices": prices, "sweeps": sweeps}
        for key, path in given.items():
            kind = (self.folder / path).is_dir() if key == "sweeps" else True
            if path not in self._given and not (self._has(path) and kind):
                found = f'"{path}" is nothing in the folder of this page'
                raise InputError([_wrong(key, found, "name a file or folder there, or start the page with the option")])
        laid = {key: path if path in self._given else str(self.folder / path) for key, path in given.items() if path}
        priced = (laid["prices"],) if prices else ()
        self.beside = replace(self.beside, parts=laid.get("parts"), prices=priced, sweeps=laid.get("sweeps"))
        if self.desk:
            self.desk.lay_beside(self.beside)

    def _has(self, path: str) -> bool:
        """Whether that is something in the folder of this page, however it is written."""
        try:
            inside = (self.folder / path).resolve()
            return inside.is_relative_to(self.folder.resolve()) and inside.exists()
        except (OSError, ValueError):
            return False

    def close(self) -> None:
        """Leaves what is open for the list of files. Raises InputError where it is not saved."""
        self._check_left()
        if self.desk:
            self.desk.stop()
        self.desk = None
        self._move()

    def _check_left(self) -> None:
        if self.desk and self.desk.file.history.unsaved:
            raise InputError([_wrong(self.desk.file.path.name, "what is open is not saved", "save it, or undo")])

    def _open(self, name: str) -> None:
        desk = self._desk(self.folder / name)
        if self.desk:
            self.desk.stop()
        self.desk = desk
        desk.start(self._processes)
        self._move()

    def _move(self) -> None:
        """Has every window load what is open now."""
        moved, self._moved = self._moved, asyncio.Event()
        moved.set()

    async def news(self) -> AsyncIterator[dict[str, Any]]:
        """What a window is told of the specification that is open; of another one, that it is to be loaded."""
        desk, moved = self.desk, self._moved
        if desk is None:
            await moved.wait()
        else:
            async for news in desk.news(moved):
                yield news
        yield {"moved": True}

    def _heard(self, kind: Kind, job: Job, news: News) -> None:
        """From the thread that listens to a process."""

        def take() -> None:
            if self.desk and job.path == str(self.desk.file.path):
                self.desk.take(kind, job, news)

        self._loop.call_soon_threadsafe(take)


def _wrong(key: str, found: str, wanted: str = "") -> Problem:
    return Problem("W005 page", "error", Place(key=key), found, wanted)

"""A process that works states out, so that the server always answers: the newest job wins, older work is given up."""

from __future__ import annotations

import _thread
import multiprocessing
import os
import queue
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, nullcontext, suppress
from multiprocessing.connection import Connection
from types import FrameType
from typing import Literal

from msgspec import Struct

from boardgen.model.problem import InputError, Problem
from boardgen.model.progress import Tell, tell_nobody
from boardgen.page.job import Book, Files, Job, View
from boardgen.page.work import Offers, Worker

LATER, LATER_S = 5, 0.15
"""How far the process that lays boards out stands back behind the others, and how long it waits for newer input."""
Kind = Literal["soon", "laid"]


class Superseded(BaseException):
    """Newer work has come in."""


class Step(Struct, frozen=True):
    """What is being done."""

    name: str


class Done(Struct, frozen=True):
    """All views of a job are there, after so many seconds."""

    seconds: float


class Refused(Struct, frozen=True):
    """The input cannot be used."""

    problems: tuple[Problem, ...]


class Broken(Struct, frozen=True):
    """A fault of the program, in a line."""

    words: str


News = View | Book | Offers | Files | Step | Done | Refused | Broken
Told = Callable[[Kind, Job, News], None]


class Process:
    """One process and the thread that listens to it. `told` is called from that thread."""

    def __init__(self, kind: Kind, told: Told) -> None:
        """Starts it; it loads what it needs while nothing is asked of it yet."""
        self._kind, self._told, self._closing = kind, told, False
        self._last: Job | None = None
        self._start()

    def _start(self) -> None:
        context = multiprocessing.get_context("spawn")
        self._here, there = context.Pipe()
        self._process = context.Process(target=_serve, args=(there, self._kind), daemon=True)
        self._process.start()
        there.close()
        threading.Thread(target=self._listen, args=(self._here,), daemon=True).start()

    def ask(self, job: Job) -> None:
        """Hands a job over."""
        self._last = job
        with suppress(OSError):
            self._here.send(job)

    def close(self) -> None:
        """Ends the process."""
        self._closing = True
        self._here.close()
        self._process.terminate()
        self._process.join()

    def _listen(self, here: Connection) -> None:
        with suppress(EOFError, OSError):
            while True:
                job, news = here.recv()
                self._told(self._kind, job, news)
        if not self._closing:
            lost, self._last = self._last, None
            self._start()
            if lost:
                self._told(
                    self._kind,
                    lost,
                    Broken("the process that works the board out has ended; change anything to try again"),
                )


def _serve(connection: Connection, kind: Kind) -> None:
    """The process: a job after the other until the server is gone."""
    _Child(connection, kind).run()


class _Child:
    """Works in the main thread, while another listens: a newer job interrupts the work on an older one."""

    def __init__(self, connection: Connection, kind: Kind) -> None:
        self._connection, self._kind, self._worker = connection, kind, Worker()
        self._jobs = queue.SimpleQueue[Job | None]()
        self._working: Job | None = None

    def run(self) -> None:
        # Ctrl-C reaches the whole group and is the server's to answer
        signal.signal(signal.SIGINT, self._interrupted)
        threading.Thread(target=self._listen, daemon=True).start()
        if self._kind == "laid" and hasattr(os, "nice"):
            # what is wanted soon goes first where cores are few
            os.nice(LATER)
        while job := self._jobs.get():
            if self._kind == "laid" and job.task == "show":
                time.sleep(LATER_S)
            if job.task == "show" and not self._jobs.empty():
                continue
            with suppress(Superseded):
                self._work(job)
            self._working = None

    def _listen(self) -> None:
        try:
            while True:
                self._jobs.put(self._connection.recv())
                _thread.interrupt_main()
        except (EOFError, OSError):
            os._exit(0)

    def _interrupted(self, _number: int, _frame: FrameType | None) -> None:
        if self._working and self._working.task == "show" and not self._jobs.empty():
            raise Superseded

    def _work(self, job: Job) -> None:
        begun = time.perf_counter()
        self._working = job
        for news in self._news(job):
            self._send(job, news)
        self._send(job, Done(time.perf_counter() - begun))

    def _send(self, job: Job, news: News) -> None:
        """Sends it whole, then gives up where there is newer work."""
        self._working = None
        self._connection.send((job, news))
        self._working = job
        self._interrupted(0, None)

    def _news(self, job: Job) -> Iterator[News]:
        def step(name: str) -> AbstractContextManager[Tell]:
            self._send(job, Step(name))
            return nullcontext(tell_nobody)

        try:
            if job.task == "write":
                yield self._worker.write(job, step)
            elif self._kind == "soon":
                yield from self._worker.soon(job)
            else:
                yield from self._worker.laid(job, step)
        except InputError as error:
            yield Refused(error.problems)
        except Exception as error:  # noqa: BLE001 - the page says it, and the process goes on
            yield Broken(
                f"a fault of boardgen: {type(error).__name__}: {error}. Please report this line with your file."
            )

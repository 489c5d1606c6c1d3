"""The one door to SKiDL: imports it without a trace in the user's folders, streams or process."""

from __future__ import annotations

import builtins
import contextlib
import functools
import inspect
import io
import logging
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

from boardgen.imports import absent

_SIMULATOR_BRIDGE = "InSpice"


class Recorder(logging.Handler):
    """Keeps what SKiDL says as plain records."""

    def __init__(self) -> None:
        super().__init__()
        self.records: list[tuple[int, str]] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep level and text."""
        self.records.append((record.levelno, record.getMessage()))


@functools.cache
def load() -> ModuleType:
    """SKiDL, imported once: in a temporary folder, silent, its simulator bridge left out, the process put back."""
    logger_class = logging.getLoggerClass()
    names = set(vars(builtins))
    with (
        _scratch_folder() as scratch,
        _environment(XDG_DATA_HOME=scratch),
        absent(_SIMULATOR_BRIDGE),
        contextlib.redirect_stderr(io.StringIO()),
        contextlib.redirect_stdout(io.StringIO()),
        _no_sources_read(),
    ):
        import skidl
        from skidl.logger import erc_logger, rt_logger

        for logger in (rt_logger, erc_logger):
            for handler in list(logger.handlers):
                logger.removeHandler(handler)
                handler.close()
    logging.setLoggerClass(logger_class)
    _without_traces()
    for name in set(vars(builtins)) - names - {"NC", "default_circuit"}:
        delattr(builtins, name)
    module: ModuleType = skidl
    return module


def _without_traces() -> None:
    """SKiDL notes the calling script of every part, net and circuit; nobody reads it, and it takes most of its time."""
    unread: dict[str, Callable[..., object]] = {
        "get_skidl_trace": lambda *_, **__: [],
        "get_script_name": lambda: "boardgen",
        "get_script_dir": lambda: "",
    }
    for name, module in list(sys.modules.items()):
        if name.startswith("skidl"):
            for function in unread.keys() & vars(module).keys():
                setattr(module, function, unread[function])


@contextlib.contextmanager
def _no_sources_read() -> Iterator[None]:
    """While SKiDL is imported it looks for the calling script: the names of the files will do, without their lines."""
    before = inspect.stack

    def names(context: int = 1) -> list[inspect.FrameInfo]:
        frame, found = sys._getframe(1), []
        while frame:
            code = frame.f_code
            found.append(inspect.FrameInfo(frame, code.co_filename, frame.f_lineno, code.co_name, None, None))
            frame = frame.f_back  # type: ignore[assignment]
        return found

    inspect.stack = names
    try:
        yield
    finally:
        inspect.stack = before


@contextlib.contextmanager
def recorded() -> Iterator[Recorder]:
    """What SKiDL's two loggers say inside the block."""
    load()
    from skidl.logger import erc_logger, rt_logger

    recorder = Recorder()
    for logger in (rt_logger, erc_logger):
        logger.addHandler(recorder)
    try:
        yield recorder
    finally:
        for logger in (rt_logger, erc_logger):
            logger.removeHandler(recorder)


@contextlib.contextmanager
def _scratch_folder() -> Iterator[str]:
    before = Path.cwd()
    with tempfile.TemporaryDirectory(prefix="boardgen-") as folder:
        os.chdir(folder)
        try:
            yield folder
        finally:
            os.chdir(before)


@contextlib.contextmanager
def _environment(**values: str) -> Iterator[None]:
    before = {name: os.environ.get(name) for name in values}
    os.environ.update(values)
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value

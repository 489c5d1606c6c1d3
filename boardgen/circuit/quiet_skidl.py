"""The one door to SKiDL: imports it without a trace in the user's folders, streams or process."""

from __future__ import annotations

import builtins
import contextlib
import functools
import io
import logging
import os
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

_SIMULATOR_BRIDGE = "InSpice"
_MISSING = object()


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
        _absent(_SIMULATOR_BRIDGE),
        contextlib.redirect_stderr(io.StringIO()),
        contextlib.redirect_stdout(io.StringIO()),
    ):
        import skidl
        from skidl.logger import erc_logger, rt_logger

        for logger in (rt_logger, erc_logger):
            for handler in list(logger.handlers):
                logger.removeHandler(handler)
                handler.close()
    logging.setLoggerClass(logger_class)
    for name in set(vars(builtins)) - names - {"NC", "default_circuit"}:
        delattr(builtins, name)
    module: ModuleType = skidl
    return module


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


@contextlib.contextmanager
def _absent(module: str) -> Iterator[None]:
    """Make an import of that module fail, as if it were not installed."""
    before: Any = sys.modules.get(module, _MISSING)
    sys.modules[module] = None  # type: ignore[assignment]
    try:
        yield
    finally:
        if before is _MISSING:
            del sys.modules[module]
        else:
            sys.modules[module] = before

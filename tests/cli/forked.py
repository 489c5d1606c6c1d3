"""A command in a copy of this process: a process of its own, but what takes long to load and to lay out is there."""

from __future__ import annotations

import importlib
import os
import subprocess
import sys
import tempfile
import traceback
import warnings
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from boardgen import catalogue
from boardgen.circuit import quiet_skidl
from boardgen.design import make_design
from boardgen.documents.build_files import build_files
from boardgen.request import Request
from boardgen.spec.load import read_text
from boardgen.spec.template import with_ways

LATE = (
    "boardgen.board.layout", "boardgen.board.parasitics", "boardgen.cli.app", "boardgen.cli.build",
    "boardgen.cli.compare", "boardgen.cli.explore", "boardgen.cli.measured",
    "boardgen.cli.order", "boardgen.cli.prove", "boardgen.cli.response", "boardgen.cli.station",
    "boardgen.cli.values", "matplotlib.backends.backend_svg", "openpyxl", "pandas", "segno", "tomlkit", "xlsxwriter",
)  # fmt: skip
"""What commands load when they need it."""


@cache
def load() -> None:
    """Loads what commands load, and makes the board that most tests build, so that its cells and letters are known."""
    for name in LATE:
        importlib.import_module(name)
    quiet_skidl.load()
    request = Request(read_text(with_ways("four-way", None)), catalogue.load())
    build_files(make_design(request, predicted=True, laid_out=True), {}, "")


def run(words: tuple[str, ...], here: Path, environment: Mapping[str, str]) -> subprocess.CompletedProcess[str]:
    """The finished command: its exit code and what it said; its folder, environment and streams are its own."""
    load()
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        child = os.fork()
        if not child:
            _command(words, here, environment, (out.fileno(), err.fileno()))
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        said = []
        for stream in (out, err):
            stream.seek(0)
            said.append(stream.read().decode())
    return subprocess.CompletedProcess(words, code, *said)


def _command(words: tuple[str, ...], here: Path, environment: Mapping[str, str], streams: tuple[int, int]) -> None:
    """Runs the command in the copy, and ends it whatever happens: nothing of the tests may go on there."""
    code = 70
    try:
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        for number, stream in enumerate(streams, 1):
            os.dup2(stream, number)
        sys.stdin, sys.stdout, sys.stderr = (
            open(number, mode, encoding="utf-8", closefd=False)  # noqa: SIM115
            for number, mode in enumerate("rww")
        )
        os.chdir(here)
        os.environ.clear()
        os.environ.update(environment)
        tempfile.tempdir = None
        sys.argv = ["boardgen", *words]
        # as Python itself sets them for a program
        warnings.resetwarnings()
        for category in (DeprecationWarning, PendingDeprecationWarning, ImportWarning, ResourceWarning):
            warnings.simplefilter("ignore", category)
        code = importlib.import_module("boardgen.cli.app").main()
    except BaseException:  # noqa: BLE001
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)

"""How long an action or a child process takes, for ratios of two in one run, and what a process imports."""

import resource
import subprocess
import sys
import time
from collections.abc import Callable
from importlib.metadata import packages_distributions
from pathlib import Path

RECORD = """
import sys
{code}
sys.stderr.write("\\n".join(sorted(sys.modules)))
"""
"""A program that says what it has imported."""
IMPORT = """
import contextlib, importlib, sys
names = sys.stdin.read().split()
if "skidl" in names:
    from boardgen.circuit import quiet_skidl
    quiet_skidl.load()
for name in names:
    # a module that a package made up as it ran cannot be imported by name
    with contextlib.suppress(ImportError):
        importlib.import_module(name)
"""
"""Imports what another process was seen to import; SKiDL through the door that keeps it from leaving traces."""


def least_s(action: Callable[[], object], runs: int, clock: Callable[[], float] = time.perf_counter) -> float:
    """Least time, after one run that is not counted: what else runs on the machine only ever adds."""
    action()
    times = []
    for _ in range(runs):
        start = clock()
        action()
        times.append(clock() - start)
    return min(times)


def child_s(words: list[str], folder: Path, runs: int, given: str = "") -> float:
    """Least processor time of a child process of Python, in seconds: other work on the machine does not count."""

    def clock() -> float:
        used = resource.getrusage(resource.RUSAGE_CHILDREN)
        return used.ru_utime + used.ru_stime

    def run() -> None:
        subprocess.run([sys.executable, *words], cwd=folder, check=True, capture_output=True, text=True, input=given)

    return least_s(run, runs, clock)


def imported(code: str, words: list[str], folder: Path) -> list[str]:
    """The modules that Python has loaded when it has run that code with these words, but for our own."""
    command = [sys.executable, "-c", RECORD.format(code=code), *words]
    seen = subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True).stderr.split()
    there = packages_distributions().keys() | sys.stdlib_module_names
    return [name for name in seen if name.partition(".")[0] in there - {"boardgen", "__main__"}]


def packages(modules: list[str]) -> str:
    """The packages of these modules, in words."""
    found = sorted({module.partition(".")[0] for module in modules} - sys.stdlib_module_names)
    return f"importing what it uses ({', '.join(found)} and the standard library)"

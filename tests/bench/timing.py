"""How long actions or child processes take, for ratios in one run, and what a process imports."""

import resource
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from importlib.metadata import packages_distributions
from pathlib import Path
from typing import NamedTuple

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


class Child(NamedTuple):
    """A process: its words, and what it is given to read."""

    words: Sequence[str]
    given: str = ""


def python(*words: str, given: str = "") -> Child:
    """A process of Python."""
    return Child((sys.executable, *words), given)


def imports(modules: Sequence[str]) -> Child:
    """A process that imports these and does nothing else."""
    return python("-c", IMPORT, given="\n".join(modules))


def least_s(action: Callable[[], object], runs: int, clock: Callable[[], float] = time.process_time) -> float:
    """Least time, after one run that is not counted: what else runs on the machine only ever adds."""
    return by_turns([action], runs, clock)[0]


def by_turns(
    actions: Sequence[Callable[[], object]], runs: int, clock: Callable[[], float] = time.process_time
) -> list[float]:
    """The same for several that are compared: they run in turn, so that a busy spell strikes all of them."""
    for action in actions:
        action()
    times: list[list[float]] = [[] for _ in actions]
    for _ in range(runs):
        for action, found in zip(actions, times, strict=True):
            start = clock()
            action()
            found.append(clock() - start)
    return [min(found) for found in times]


def children_s(children: Sequence[Child], folder: Path, runs: int) -> list[float]:
    """Least processor time of each process, run by turns in that folder, in seconds."""

    def run(child: Child) -> Callable[[], object]:
        return lambda: subprocess.run(
            child.words, cwd=folder, check=True, capture_output=True, text=True, input=child.given
        )

    return by_turns([run(child) for child in children], runs, _of_children_s)


def _of_children_s() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def imported(code: str, words: Sequence[str], folder: Path) -> list[str]:
    """The modules that Python has loaded when it has run that code with these words, but for our own."""
    command = [sys.executable, "-c", RECORD.format(code=code), *words]
    seen = subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True).stderr.split()
    there = packages_distributions().keys() | sys.stdlib_module_names
    return [name for name in seen if name.partition(".")[0] in there - {"boardgen", "__main__"}]


def packages(modules: Sequence[str]) -> str:
    """The packages of these modules, in words."""
    found = sorted({module.partition(".")[0] for module in modules} - sys.stdlib_module_names)
    return f"importing what it uses ({', '.join(found)} and the standard library)"


def report(what: str, ours_s: float, peer: str, peer_s: float, limit: float) -> bool:
    """Prints one line; whether ours over the peer's time is within its limit."""
    ratio = ours_s / peer_s
    state = "met" if ratio <= limit else "FALLS SHORT"
    sys.stdout.write(
        f"{what}: {ours_s * 1e3:.0f} ms, {ratio:.2f} of {peer} ({peer_s * 1e3:.0f} ms), at most {limit:.2f}: {state}\n"
    )
    return ratio <= limit

"""A user in an empty folder with an empty home, who runs the program as a child process."""

import os
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from boardgen.spec.template import with_ways
from tests.cli import forked

TEMPLATES = ("eight-way", "four-way", "four-way-472-khz", "four-way-cascaded", "four-way-feeds", "two-way")
TITLES = {
    "eight-way": "Larkfield eight-way",
    "four-way": "Larkfield four-way",
    "four-way-472-khz": "Larkfield medium-wave four-way",
    "four-way-cascaded": "Larkfield cascaded four-way",
    "four-way-feeds": "Larkfield four-way with feeds",
    "two-way": "Larkfield two-way",
}
PORTS = {"two-way": 6, "eight-way": 18}
"""Ports in the S parameters of each template, two to a coax; 10 of the others."""
PLAIN = {
    "appendix.html", "assembly-bill.csv", "bench-bill.html",
    "bill.csv", "bill.xlsx", "board-bottom.svg", "board-top.svg", "book.html", "drill-template.svg", "labels.svg",
    "board-editor/fp-lib-table", "manifest.json", "needs.json", "netlist.net", "values.json",
    "fabrication/copper-bottom.gbr", "fabrication/copper-top.gbr",
    "fabrication/drill-plated.drl", "fabrication/drill-unplated.drl", "fabrication/fabrication-note.txt",
    "fabrication/mask-bottom.gbr", "fabrication/mask-top.gbr", "fabrication/outline.gbr", "fabrication/positions.csv",
    "fabrication/silkscreen-top.gbr", "fabrication/test-list.ipc",
    "response.cir", "response.csv", "response.svg", "schematic.svg",
}  # fmt: skip


def built_of(template: str, title: str = "") -> set[str]:
    """Names of the files that a build of that template writes, under its own title or another; footprints apart."""
    title = title or TITLES[template]
    named = {f"fabrication/{title.replace(' ', '-')}-A.zip"}
    named |= {f"board-editor/{title}.kicad_pcb", f"board-editor/{title}.kicad_pro"}
    return PLAIN | named | {f"response.s{PORTS.get(template, 10)}p"}


def listed(names: Iterable[str]) -> set[str]:
    """The names without those of the footprints, which hang on the parts."""
    return {name for name in names if not name.endswith(".kicad_mod")}


BUILT = built_of("four-way")

READ_BY_THE_PROGRAM = {"SOURCE_DATE_EPOCH"}
"""Variables of the environment that the program itself reads, when it runs: Python has read the others at its start."""

# a process whose files may be short must leave no short code of a module for the next one
LIMITED = """
import ctypes, os, resource, sys
limit = sys.argv[1]
if limit == "unprivileged" and sys.platform == "linux":
    for capability in (1, 2):  # the superuser's right to pass over permissions
        ctypes.CDLL(None).prctl(24, capability, 0, 0, 0)
elif limit.isdigit():
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(limit), int(limit)))
elif limit == "closed":
    os.close(1)
os.execv(sys.executable, [sys.executable, "-B", "-m", "boardgen", *sys.argv[2:]])
"""

Finished = subprocess.CompletedProcess


def tree(folder: Path) -> dict[str, object]:
    """Everything below a folder: bytes of files, targets of links, None for folders."""
    found: dict[str, object] = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_symlink():
            found[name] = path.readlink()
        else:
            found[name] = path.read_bytes() if path.is_file() else None
    return found


@dataclass(frozen=True)
class User:
    """Runs commands in `here`; `home` and `temporary` are folders of its own, empty at first."""

    top: Path

    def __post_init__(self) -> None:
        for folder in (self.here, self.home, self.temporary):
            folder.mkdir(parents=True, exist_ok=True)

    @property
    def here(self) -> Path:
        return self.top / "here"

    @property
    def home(self) -> Path:
        return self.top / "home"

    @property
    def temporary(self) -> Path:
        return self.top / "temporary"

    def environment(self, **more: str) -> dict[str, str]:
        """A bare environment: nothing of the one the tests run in but where programs are."""
        path = os.environ["PATH"]
        return {"PATH": path, "HOME": str(self.home), "TMPDIR": str(self.temporary), "COLUMNS": "80"} | more

    def run(self, *words: str, apart: bool = False, limit: str = "", **environment: str) -> Finished[str]:
        """The command with these words, in a copy of this process; an interpreter of its own where more is asked.

        `apart` asks for that alone; `limit` is "unprivileged", "closed" (output), or the most bytes of a file.
        """
        apart = apart or bool(limit) or not environment.keys() <= READ_BY_THE_PROGRAM
        if not apart and hasattr(os, "fork"):
            return forked.run(words, self.here, self.environment(**environment))
        start = ["-c", LIMITED, limit] if limit else ["-m", "boardgen"]
        return subprocess.run(
            [sys.executable, *start, *words],
            cwd=self.here,
            env=self.environment(**environment),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )

    def good(self, *words: str, apart: bool = False, **environment: str) -> str:
        """The output of a command that must end with exit 0 and say nothing beside it."""
        done = self.run(*words, apart=apart, **environment)
        assert (done.returncode, done.stderr) == (0, ""), (done.returncode, done.stderr[-500:], done.stdout[-500:])
        return done.stdout

    def refused(self, *words: str, limit: str = "", **environment: str) -> str:
        """The message of a command that must end with exit 2, print nothing, and change nothing anywhere."""
        before = tree(self.top)
        done = self.run(*words, limit=limit, **environment)
        assert done.returncode == 2, done.stderr
        assert done.stdout == ""
        assert "Traceback" not in done.stderr, done.stderr
        assert tree(self.top) == before
        return done.stderr

    def start(self, template: str = "four-way", name: str = "board.toml") -> Path:
        """A specification from a template, in `here`."""
        spec = self.here / name
        spec.write_text(with_ways(template, None), encoding="utf-8")
        return spec

    def built(self, title: str = TITLES["four-way"], out: str = "output") -> dict[str, bytes]:
        """The files of a build."""
        home = self.here / out / title
        return {path.relative_to(home).as_posix(): path.read_bytes() for path in home.rglob("*") if path.is_file()}

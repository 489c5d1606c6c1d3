"""The fast loop, `make quick`: lint of what changed, import rules, and the quick tests of the folders that changed.

What changed is what differs from where this branch left main, with what is not committed yet. A file of boardgen/X
stands for tests/X; tests/house, which looks at the whole tree, always runs. Tests with the mark slow or peer are left
to `make test`. Arguments are handed to pytest.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

TOP = Path(__file__).resolve().parents[1]
ALWAYS = "tests/house"
PAGES = "tests/docs"
"""Follows the pages, and what they are made from."""
OF_FILES = {
    "__init__": "public",
    "design": "cli",
    "inputs": "cli",
    "order_design": "purchasing",
    "request": "sizing",
    "station_design": "station",
}
"""The folder of tests for what has none of its own name."""


def git(*words: str) -> list[str]:
    """The lines that git prints; none where it fails."""
    done = subprocess.run(["git", "-C", str(TOP), *words], capture_output=True, text=True, check=False)
    return done.stdout.splitlines() if done.returncode == 0 else []


def changed() -> list[str]:
    """Files that differ from where this branch left main, those without a commit too; none that are gone."""
    base = (git("merge-base", "HEAD", "main") or ["HEAD"])[0]
    names = {*git("diff", "--name-only", base), *git("ls-files", "--others", "--exclude-standard")}
    return sorted(name for name in names if (TOP / name).is_file())


def folders(names: Iterable[str]) -> list[str]:
    """The folders of tests for these files, tests/house last."""
    found = set()
    for name in names:
        parts = Path(name).with_suffix("").parts
        if parts[0] == "boardgen" and len(parts) > 1:
            found.add(f"tests/{OF_FILES.get(parts[1], parts[1])}")
        elif parts[0] == "tests" and len(parts) > 2:
            found.add(f"tests/{parts[1]}")
        elif parts[0] == "docs" or name.endswith(".md"):
            found.add(PAGES)
        elif parts[0] in ("parts", "templates"):
            found.add({"parts": "tests/catalogue", "templates": "tests/spec"}[parts[0]])
    there = {folder for folder in found - {ALWAYS, "tests/bench"} if (TOP / folder).is_dir()}
    return [*sorted(there), ALWAYS]


def main(words: list[str]) -> int:
    """Runs all of it, and fails where any of it does."""
    names = changed()
    python = [name for name in names if name.endswith(".py")]
    run = [sys.executable, "-m"]
    commands = [[*run, "ruff", "check", *python], [*run, "ruff", "format", "--check", "-q", *python]] if python else []
    if any(name.startswith("boardgen/") for name in python):
        commands.append([str(Path(sys.executable).with_name("lint-imports"))])
    quick = ["-q", "-n", "auto", "--dist", "loadgroup", "--no-loadscope-reorder", "-m", "not slow and not peer"]
    commands.append([*run, "pytest", *quick, *folders(names), *words])
    sys.stdout.write(f"{len(names)} files changed: {' '.join(folders(names))}\n")
    sys.stdout.flush()
    return max(subprocess.run(command, cwd=TOP, check=False).returncode for command in commands)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""The template station against a build of one eight-way board, in processor time of one run: `make bench`.

Exit 1 where the ratio exceeds its limit.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
from pathlib import Path

from boardgen.spec.template import station_files, with_ways

LIMIT = 2.5
RUNS = 2


def least_s(folder: Path, *words: str) -> float:
    """Least processor time of a command in that folder, in seconds."""
    times = []
    for _ in range(RUNS):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-m", "boardgen", *words, "--quiet"], cwd=folder, check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(times)


def main() -> int:
    """Both in an empty folder."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "eight.toml").write_text(with_ways("eight-way", None), encoding="utf-8")
        for file, text in station_files("two-boxes").items():
            (folder / file).write_text(text, encoding="utf-8")
        board, station = least_s(folder, "build", "eight.toml"), least_s(folder, "station", "station.toml")
    ratio = station / board
    print(f"station of two boxes {station:.1f} s, eight-way board {board:.1f} s: ratio {ratio:.2f}, limit {LIMIT}")  # noqa: T201
    return int(ratio > LIMIT)


if __name__ == "__main__":
    sys.exit(main())

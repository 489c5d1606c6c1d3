"""The template station against a build of one eight-way board, in processor time of one run: `make bench`.

Exit 1 where the ratio exceeds its limit.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from timing import children_s, python, report

from boardgen.spec.template import station_files, with_ways

LIMIT = 2.5
RUNS = 2


def main() -> int:
    """Both in an empty folder."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "eight.toml").write_text(with_ways("eight-way", None), encoding="utf-8")
        for file, text in station_files("two-boxes").items():
            (folder / file).write_text(text, encoding="utf-8")
        commands = ("station", "station.toml"), ("build", "eight.toml")
        children = [python("-m", "boardgen", *words, "--quiet") for words in commands]
        station_s, board_s = children_s(children, folder, RUNS)
    return int(not report("station of two boxes", station_s, "an eight-way board", board_s, LIMIT))


if __name__ == "__main__":
    sys.exit(main())

"""Boards that `explore` makes on two processes against one at a time in this process: `make bench`.

By the clock, so it wants two idle processors. Exit 1 where the ratio exceeds its limit.
"""

from __future__ import annotations

import pickle
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from timing import report

from boardgen.cli.process import settle

PROCESSES, LIMIT = 2, 1 / 0.85
TEMPLATE = Path(__file__).parents[2] / "templates" / "four-way.toml"


def main() -> int:
    """Prints the ratio with its limit."""
    # as the command does, before the linear algebra is loaded: its sums depend on its threads in their last digits
    settle()
    from boardgen.cli.explore import begin
    from boardgen.explore.options import CIRCUIT, Option
    from boardgen.explore.walk import Asked, boards, explored, walk
    from boardgen.inputs.board import Sources, read_board

    inputs = read_board(TEMPLATE, Sources())
    asked = Asked(inputs.request, inputs.offers, None)
    wanted = boards(asked, [Option(*each) for each in CIRCUIT])
    packed = pickle.dumps(asked)
    explored(packed, wanted[0])
    start = time.monotonic()
    alone = [explored(packed, overrides) for overrides in wanted]
    alone_s = time.monotonic() - start
    with ProcessPoolExecutor(PROCESSES, initializer=begin) as pool:
        start = time.monotonic()
        together = list(walk(asked, wanted, pool, {}, lambda _: None))
        together_s = time.monotonic() - start
    if together != alone:
        sys.exit("two processes gave another answer than one")
    what = f"{len(wanted)} boards explored on {PROCESSES} processes, time of both"
    return 0 if report(what, together_s * PROCESSES, "the same one at a time", alone_s, LIMIT) else 1


if __name__ == "__main__":
    raise SystemExit(main())

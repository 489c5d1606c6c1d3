"""Speed as ratios to stated peers, measured in one run: `make bench`. Exit 1 where a ratio exceeds its limit."""

from __future__ import annotations

import compileall
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from boardgen.catalogue import load as load_catalogue
from boardgen.catalogue.load import parts_folder
from boardgen.design import make_design
from boardgen.documents.order_files import order_files
from boardgen.purchasing.price_tables import read_offers
from boardgen.request import Request
from boardgen.spec.load import read_text
from boardgen.spec.template import templates_folder, with_ways
from boardgen.tables.text_file import read_tables

RUNS = 9
IMPORTS_FOR_VALUES = "from pydantic import BaseModel; from cyclopts import App"
ORDER = """
import sys
from pathlib import Path
from boardgen.design import make_design
from boardgen.documents.json.values import values_document
from boardgen.documents.order_files import order_files
from boardgen.inputs.board import Sources, read_board
inputs = read_board(Path(sys.argv[1]), Sources())
design = make_design(inputs.request, inputs.offers)
order_files(design, {}, "")
values_document(design.spec, design.choices, design.problems, ())
"""
"""Sizing, netlist and bill of one board, from its file: what a build does before it predicts."""
IMPORTS_FOR_ORDER = "from boardgen.circuit.quiet_skidl import load; load(); import pandas, openpyxl, openpyxl.workbook"


def median_s(action: Callable[[], object], runs: int = RUNS) -> float:
    """Median wall time of an action, in seconds, after one run that is not counted."""
    action()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def process(*arguments: str, cwd: Path) -> Callable[[], object]:
    """A child process that must succeed."""

    def run() -> object:
        return subprocess.run([sys.executable, *arguments], cwd=cwd, check=True, capture_output=True)

    return run


def order_of(ways: int) -> Callable[[], object]:
    """Sizing, netlist and bill in this process, the band changed each time."""
    catalogue = load_catalogue()
    offers, _ = read_offers(read_tables([parts_folder() / "prices" / "demo-cad.csv"]))
    text = with_ways("eight-way" if ways > 4 else "four-way", ways)
    bands = iter(range(1, 1000))

    def run() -> object:
        lowest = f"{1.8 + 0.01 * next(bands):.2f} MHz"
        spec = read_text(text, overrides={"band.lowest": lowest})
        return order_files(make_design(Request(spec, catalogue), offers), {}, "")

    return run


def report(what: str, ours_s: float, peer: str, peer_s: float, limit: float) -> bool:
    """Prints one line; whether the ratio is within its limit."""
    ratio = ours_s / peer_s
    print(f"{what}: {ours_s * 1e3:.0f} ms, {ratio:.2f} of {peer} ({peer_s * 1e3:.0f} ms), at most {limit:.2f}")  # noqa: T201
    return ratio <= limit


def main() -> int:
    """All measurements."""
    compileall.compile_dir(str(Path(sys.modules["boardgen"].__file__ or "").parent), quiet=2)
    os.environ.pop("SOURCE_DATE_EPOCH", None)
    eight, four = (str(templates_folder() / f"{name}.toml") for name in ("eight-way", "four-way"))
    with tempfile.TemporaryDirectory() as folder:
        cwd = Path(folder)
        imports = median_s(process("-c", IMPORTS_FOR_VALUES, cwd=cwd))
        values = median_s(process("-m", "boardgen", "values", four, cwd=cwd))
        libraries = median_s(process("-c", IMPORTS_FOR_ORDER, cwd=cwd))
        order = median_s(process("-c", ORDER, eight, cwd=cwd))
    warm = median_s(order_of(8))
    ways_4, ways_16 = median_s(order_of(4)), median_s(order_of(16))
    good = [
        report("values, four-way", values, "importing pydantic and cyclopts", imports, 2.5),
        report("netlist and bill, eight-way", order, "importing SKiDL, pandas and openpyxl", libraries, 1.6),
        report("the same again after a change of band", warm, "those imports", libraries, 1 / 3),
        report("16 ways", ways_16, "4 ways", ways_4, 4.0),
    ]
    return 0 if all(good) else 1


if __name__ == "__main__":
    raise SystemExit(main())

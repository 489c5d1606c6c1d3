"""Speed as ratios to stated peers, measured in one run: `make bench`. Exit 1 where a ratio exceeds its limit."""

from __future__ import annotations

import compileall
import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from timing import by_turns, children_s, imported, imports, packages, python, report

from boardgen.catalogue import load as load_catalogue
from boardgen.catalogue.load import parts_folder
from boardgen.cli.process import settle
from boardgen.design import make_design
from boardgen.documents.netlist_and_bill import netlist_and_bill
from boardgen.inputs.table_files import read_tables
from boardgen.purchasing.price_tables import read_offers
from boardgen.request import Request
from boardgen.spec.load import read_text
from boardgen.spec.template import templates_folder, with_ways

RUNS = 9
COMMAND = """
import sys
from boardgen.cli.app import main
main(sys.argv[1:])
"""
"""A command, as a process says what it has imported."""
ORDER = """
import sys
from pathlib import Path
from boardgen.cli.process import settle
settle()
from boardgen.design import make_design
from boardgen.documents.json.values import values_document
from boardgen.documents.netlist_and_bill import netlist_and_bill
from boardgen.inputs.board import Sources, read_board
inputs = read_board(Path(sys.argv[1]), Sources())
design = make_design(inputs.request, inputs.offers)
netlist_and_bill(design, {}, "")
values_document(design.spec, design.choices, design.problems, ())
"""
"""Sizing, netlist and bill of one board, from its file: what a build does before it predicts, in a process set up as
the command sets up its own."""


def order_of(ways: int) -> Callable[[], object]:
    """Sizing, netlist and bill in this process, the band changed each time."""
    catalogue = load_catalogue()
    offers, _ = read_offers(read_tables([parts_folder() / "prices" / "demo-cad.csv"]))
    text = with_ways("eight-way" if ways > 4 else "four-way", ways)
    bands = iter(range(1, 1000))

    def run() -> object:
        lowest = f"{1.8 + 0.01 * next(bands):.2f} MHz"
        spec = read_text(text, overrides={"band.lowest": lowest})
        return netlist_and_bill(make_design(Request(spec, catalogue), offers), {}, "")

    return run


def main() -> int:
    """All measurements, in processor time."""
    settle()
    compileall.compile_dir(str(Path(sys.modules["boardgen"].__file__ or "").parent), quiet=2)
    os.environ.pop("SOURCE_DATE_EPOCH", None)
    eight, four = (str(templates_folder() / f"{name}.toml") for name in ("eight-way", "four-way"))
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        uses = (
            imported(COMMAND, ["values", four], folder),
            imported(COMMAND, ["response", eight], folder),
            imported(ORDER, [eight], folder),
        )
        commands = (
            python("-m", "boardgen", "values", four),
            python("-m", "boardgen", "response", eight),
            python("-c", ORDER, eight),
        )
        *ours, values_s, response_s, order_s = children_s([*commands, *map(imports, uses)], folder, RUNS)
    warm, ways_4, ways_16 = by_turns([order_of(ways) for ways in (8, 4, 16)], RUNS)
    of_values, of_response, of_order = map(packages, uses)
    good = [
        report("values, four-way", ours[0], of_values, values_s, 2.0),
        report("response, eight-way", ours[1], of_response, response_s, 1.5),
        report("netlist and bill, eight-way", ours[2], of_order, order_s, 1.6),
        report("the same again after a change of band", warm, "those imports", order_s, 1 / 3),
        report("16 ways", ways_16, "4 ways", ways_4, 4.0),
    ]
    return 0 if all(good) else 1


if __name__ == "__main__":
    raise SystemExit(main())

"""The layout's speed against independent readers of its files, in processor time of one run: `make bench`.

Exit 1 where a ratio exceeds its limit.
"""

from __future__ import annotations

import logging
import sys
from collections.abc import Callable
from functools import partial

from gerbonara import GerberFile
from gerbyx.parser import GerberParser
from gerbyx.processor import GerberProcessor
from gerbyx.tokenizer import tokenize_gerber
from timing import by_turns, report

from boardgen.board.layout import lay_out
from boardgen.catalogue import load as load_catalogue
from boardgen.cli.process import settle
from boardgen.design import make_design
from boardgen.documents.fabrication import fabrication_files
from boardgen.request import Request
from boardgen.spec.load import read_text
from boardgen.spec.template import with_ways

RUNS = 7
READERS_LIMIT, LINEAR_LIMIT = 0.25, 1.25
COPPER = ("fabrication/copper-top.gbr", "fabrication/copper-bottom.gbr")


def caches() -> list[Callable[[], None]]:
    """What clears all that the modules of the layout remember; the letters of the font, which are data, stay."""
    return [
        value.cache_clear
        for name, module in list(sys.modules.items())
        if name.startswith("boardgen.board.") and name != "boardgen.board.stroke_font"
        for value in vars(module).values()
        if hasattr(value, "cache_clear")
    ]


def board(ways: int) -> Callable[[], dict[str, bytes]]:
    """Generating, checking and writing the board of the eight-way template with so many ways, nothing remembered."""
    design = make_design(Request(read_text(with_ways("eight-way", ways)), load_catalogue()))
    netlist, rules, footprints = design.netlist, design.rules, design.catalogue.footprints
    clear = caches()

    def run() -> dict[str, bytes]:
        for each in clear:
            each()
        made = lay_out(netlist, footprints, rules)
        if made.faults:
            sys.exit(f"{ways} ways: {made.faults[0].sentence}")
        return fabrication_files(made.board, netlist, rules, made.faults, (), "boardgen 0", "")

    return run


def read_gerbonara(files: dict[str, bytes]) -> None:
    """Both copper layers as gerbonara reads them, to their extent."""
    for name in COPPER:
        GerberFile.from_string(files[name].decode()).bounding_box(unit="mm")


def read_gerbyx(files: dict[str, bytes]) -> None:
    """Both copper layers as gerbyx reads them, to areas."""
    for name in COPPER:
        processor = GerberProcessor()
        GerberParser(processor).parse(tokenize_gerber(files[name].decode()))
        if not processor.geometries:
            sys.exit(f"{name}: nothing was read")


def main() -> int:
    """Prints each ratio with its limit; both sides run in a process set up as the command sets up its own."""
    settle()
    logging.disable(logging.INFO)
    boards = [board(ways) for ways in (4, 8, 16)]
    files = boards[1]()
    readers = [partial(read, files) for read in (read_gerbonara, read_gerbyx)]
    four_s, eight_s, sixteen_s, *readers_s = by_turns([*boards, *readers], RUNS)
    what = "generated, checked and written"
    good = [
        report(f"board of 8 ways {what}", eight_s, "gerbonara and gerbyx reading it", sum(readers_s), READERS_LIMIT),
        report(f"board of 16 ways {what}", sixteen_s, "four times that of 4 ways", 4 * four_s, LINEAR_LIMIT),
    ]
    return 0 if all(good) else 1


if __name__ == "__main__":
    raise SystemExit(main())

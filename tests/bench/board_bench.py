"""The layout's speed against independent readers of its files, in processor time of one run: `make bench`.

Exit 1 where a ratio exceeds its limit.
"""

from __future__ import annotations

import logging
import sys
import time
from collections.abc import Callable

from gerbonara import GerberFile
from gerbyx.parser import GerberParser
from gerbyx.processor import GerberProcessor
from gerbyx.tokenizer import tokenize_gerber
from timing import least_s

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
    times: dict[int, float] = {}
    failed = 0
    for ways in (4, 8, 16):
        run = board(ways)
        files = run()
        times[ways] = least_s(run, RUNS, time.process_time)
        sys.stdout.write(f"board of {ways} ways: generated, checked and written in {times[ways] * 1e3:.0f} ms\n")
        if ways == 8:
            one, other = (
                least_s(lambda r=reader, f=files: r(f), RUNS, time.process_time)
                for reader in (read_gerbonara, read_gerbyx)
            )
            sys.stdout.write(f"  its copper read back: gerbonara {one * 1e3:.0f} ms, gerbyx {other * 1e3:.0f} ms\n")
            readers = one + other
    for words, ratio, limit in (
        ("8 ways / both readers", times[8] / readers, READERS_LIMIT),
        ("16 ways / four times 4 ways", times[16] / (4 * times[4]), LINEAR_LIMIT),
    ):
        failed += ratio > limit
        sys.stdout.write(f"{words}: {ratio:.2f}, at most {limit:.2f}: {'met' if ratio <= limit else 'FALLS SHORT'}\n")
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(main())

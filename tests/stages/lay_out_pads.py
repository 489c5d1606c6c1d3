"""Lays boards out that have so many pads in the output, each on a line of its own; prints what the checks found."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import boardgen.stages
from boardgen.stages.stage import BoardStage, StripStage
from tests.stages.pad import pad


def with_pads(count: int) -> None:
    """Every board has so many from here on; whatever reads the list must be imported later."""
    more = [pad(f"pad {step}") for step in range(1, count + 1)]
    at = boardgen.stages.STAGES.index(boardgen.stages.BUS)
    stages = (*boardgen.stages.STAGES[:at], *more, *boardgen.stages.STAGES[at:])
    boardgen.stages.STAGES = stages
    boardgen.stages.STRIP_STAGES = tuple(stage for stage in stages if isinstance(stage, StripStage))
    boardgen.stages.BOARD_STAGES = tuple(stage for stage in stages if isinstance(stage, BoardStage))


def lay_out_specification(path: Path) -> dict[str, object]:
    """Faults of the board, and the nets of its pads' lines."""
    from boardgen.catalogue import load as load_catalogue
    from boardgen.design import make_design
    from boardgen.request import Request
    from boardgen.spec.load import load

    design = make_design(Request(load(path), load_catalogue(None)), predicted=False, laid_out=True)
    assert design.layout
    lines = [line.net for line in design.netlist.control_lines if line.stage]
    return {"lines": lines, "faults": [problem.sentence for problem in design.layout.faults]}


if __name__ == "__main__":
    with_pads(int(sys.argv[1]))
    sys.stdout.write(json.dumps([lay_out_specification(Path(path)) for path in sys.argv[2:]]))

"""The independent reading of a board's files sees a fault that is planted, so that it cannot pass blindly."""

from __future__ import annotations

import pytest

from tests.board.boards import made
from tests.board.independent_copper import files_of, read_copper


@pytest.mark.parametrize("fault", ["bridge", "missing hole"])
def test_the_reading_sees_a_planted_fault(fault: str) -> None:
    layout, netlist, rules = made({"feed": "plain"}, 1)
    files = files_of(layout.board, netlist, rules)
    good = read_copper(files).groups
    if fault == "bridge":
        text = files["copper-top.gbr"].decode()
        # straight down the middle of the board, over the rails
        x, high = layout.board.width_nm // 2, layout.board.height_nm
        line = f"%ADD99C,0.3*%\nD99*\nX{x}Y5000000D02*\nX{x}Y{high - 5000000}D01*\nM02*"
        assert read_copper(files | {"copper-top.gbr": text.replace("M02*", line).encode()}).groups < good
        return
    x, y = next(via.at for via in layout.board.vias if via.net == "bus braid")
    drill = files["drill-plated.drl"].decode().replace(f"X{x / 1e6:.6f}Y{y / 1e6:.6f}\n", "")
    assert read_copper(files | {"drill-plated.drl": drill.encode()}).groups > good

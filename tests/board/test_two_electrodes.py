"""Two tubes of two electrodes at each port stand along the strip: connected and clean as three electrodes are."""

from __future__ import annotations

import itertools

import pytest

from boardgen.board.port_cell import Tubes
from boardgen.model.copper import Board
from tests.board.boards import made_text
from tests.circuit.options import specification

PINNED = '\n[parts]\nsurge_tube = "gas-tube-2049-09"\n'
FED = {"feed": "local rail", "feed_lines": "shared", "output_feed": True}
LOW = {"drive": "low side", "idle": "open", "bus_braid": "floating"}


def earth_rails(board: Board) -> set[int]:
    """Heights of level surge copper of earth across the board."""
    return {
        t.start[1]
        for t in board.tracks
        if t.net == "earth" and t.surge and t.start[1] == t.end[1] and t.side == "bottom"
    }


@pytest.mark.parametrize("ways", [1, 4, 8, 16])
@pytest.mark.parametrize("entry", ["terminals", "studs"])
@pytest.mark.parametrize("option", [{"feed": "none", "braid_breakers": "none"}, FED, LOW], ids=["bare", "fed", "low"])
def test_two_electrodes_at_the_ports(ways: int, entry: str, option: dict[str, object]) -> None:
    layout, netlist, _ = made_text(specification(option | {"entry": entry}, ways) + PINNED, pour=ways == 4)
    assert layout.faults == ()
    tubes = [c for c in netlist.of_kind("gas tube") if c.subject.stage == "surge"]
    assert len(tubes) == 2 * (ways + 1)


def test_one_rail_joins_the_ports_and_passes_a_strip_of_common_terminals() -> None:
    """A strip without a port has no tubes of its own, and the rail is no nearer to the edge there."""
    layout, _, _ = made_text(specification(FED, 4).replace("returns = 2", "returns = 9") + PINNED, pour=False)
    assert layout.faults == ()
    assert layout.board.layout.strips > 5
    assert len(earth_rails(layout.board)) == 1


def test_no_strip_is_tried_that_is_narrower_than_its_tubes() -> None:
    layout, _, _ = made_text(specification({"feed": "none"}, 2) + PINNED, pour=False)
    bodies = sorted(s.body for s in layout.board.parts if s.kind == "gas tube")
    level = [b for b in bodies if b[3] == bodies[0][3]]
    assert len(level) == 6
    assert all(two[0] - one[2] >= 500_000 for one, two in itertools.pairwise(level))


def test_three_electrodes_ask_for_nothing_more() -> None:
    assert Tubes().least_columns == 0
    assert Tubes().foot(to_the_side=True) == Tubes().foot(to_the_side=False)

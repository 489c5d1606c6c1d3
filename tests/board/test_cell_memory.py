"""A cell's layout is remembered; what was asked of it before never shows in what is laid out next."""

from __future__ import annotations

import pytest

from boardgen.board import cell_layout, strip_rows
from boardgen.board.cell_layout import NO_LIMIT, lay_out_cell, squeezed_cell
from boardgen.board.cell_task import CellTask
from boardgen.board.router import TooTallError
from tests.board.boards import made


@pytest.fixture
def squeezed_tasks(monkeypatch: pytest.MonkeyPatch) -> set[CellTask]:
    """The tasks that are squeezed while a board is laid out whose fullest strip has a loose cell."""
    tasks: set[CellTask] = set()

    def noted(task: CellTask) -> object:
        tasks.add(task)
        return squeezed_cell(task)

    monkeypatch.setattr(strip_rows, "squeezed_cell", noted)
    made({"drive": "low side", "feed": "none"}, 1)
    return tasks


def test_a_squeezed_cell_is_asked_for_anew(squeezed_tasks: set[CellTask]) -> None:
    lower = 0
    for task in squeezed_tasks:
        cell_layout._attempts.cache_clear()
        first = lay_out_cell(task)
        lower += squeezed_cell(task).rows < first.rows
        assert lay_out_cell(task) == first
    assert lower


def test_a_limit_holds_for_what_is_remembered(squeezed_tasks: set[CellTask]) -> None:
    """Whether a cell is too tall does not hang on how far another board looked before."""
    for task in squeezed_tasks:
        rows = lay_out_cell(task, NO_LIMIT).rows
        with pytest.raises(TooTallError):
            lay_out_cell(task, rows - 1)
        cell_layout._attempts.cache_clear()
        with pytest.raises(TooTallError):
            lay_out_cell(task, rows - 1)

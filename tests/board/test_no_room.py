"""What is said where a board cannot be laid out."""

import pytest

from boardgen.model.problem import InputError
from tests.board.boards import made


def test_more_nets_than_a_cell_can_have(monkeypatch):
    from boardgen.board import cell_layout, router

    monkeypatch.setattr(router, "MOST_NETS", 3)
    cell_layout._attempts.cache_clear()
    with pytest.raises(InputError) as caught:
        made({"feed": "none"}, 2)
    (problem,) = caught.value.problems
    assert problem.id == "B002 no room"
    assert "a cell of more than 3 nets" in problem.place.key
    cell_layout._attempts.cache_clear()


def test_a_part_wider_than_any_strip(monkeypatch):
    from boardgen.board import arrange

    monkeypatch.setattr(arrange, "COLUMNS", (4, 6))
    with pytest.raises(InputError) as caught:
        made({"feed": "none"}, 2)
    assert [problem.id for problem in caught.value.problems] == ["B002 no room"]

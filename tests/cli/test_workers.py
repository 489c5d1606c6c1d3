"""Copies of the process do tasks, and their results come in order; an error comes through."""

from functools import partial

import pytest

from boardgen.cli import workers
from boardgen.model.tasks import in_turn


def square(number):
    return number * number


@pytest.mark.parametrize("processors", [1, 2])
@pytest.mark.parametrize("count", [0, 3, 20])
def test_results_come_in_order(processors, count, monkeypatch):
    monkeypatch.setattr(workers, "_processors", lambda: processors)
    tasks = [partial(square, n) for n in range(count)]
    assert list(workers.side_by_side(tasks)) == list(in_turn(tasks)) == [n * n for n in range(count)]
    assert workers._tasks == []


def test_a_copy_sees_what_its_original_had(monkeypatch):
    """Closures cannot be passed to a process; a copy has them already."""
    monkeypatch.setattr(workers, "_processors", lambda: 2)
    held = object()
    tasks = [lambda n=n: (n, held is not None) for n in range(10)]
    assert list(workers.side_by_side(tasks)) == [(n, True) for n in range(10)]


def test_an_error_in_a_copy_comes_through(monkeypatch):
    monkeypatch.setattr(workers, "_processors", lambda: 2)
    with pytest.raises(ZeroDivisionError):
        list(workers.side_by_side([partial(divmod, 1, 0)] * 9))

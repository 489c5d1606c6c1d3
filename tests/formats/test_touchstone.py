"""Touchstone version 1.1 as its specification has it."""

import numpy as np
import pytest

from boardgen.formats.touchstone import touchstone


def test_touchstone_with_two_ports_keeps_the_old_order():
    """S21 comes before S12 in files of two ports only."""
    matrix = [[11 + 0j, 12 + 0j], [21 + 0j, 22 + 0j]]
    text = touchstone([1e6], [matrix], ["a", "b"], 50, ["tést"]).decode()
    assert text.splitlines()[0] == "! t?st"
    numbers = [float(x) for x in text.splitlines()[-1].split()]
    assert numbers[1::2] == [11, 21, 12, 22]


@pytest.mark.parametrize(
    ("ports", "pairs"), [(1, [1]), (3, [3, 3, 3]), (4, [4] * 4), (5, [4, 1] * 5), (9, [4, 4, 1] * 9)]
)
def test_a_row_of_the_matrix_begins_a_line_and_four_pairs_end_it(ports: int, pairs: list[int]) -> None:
    """EIA/IBIS Open Forum, revision 1.1: of three ports and more each row begins a line, the first by the frequency."""
    matrix = np.arange(ports**2).reshape(ports, ports) * (1 + 1j)
    head, *lines = touchstone([1e6, 2e6], [matrix, matrix], ["port"] * ports, 75, []).decode().splitlines()[ports:]
    assert head == "# HZ S RI R 75"
    assert [len(line.split()) for line in lines] == [2 * n + (at == 0) for _ in range(2) for at, n in enumerate(pairs)]
    numbers = [float(word) for line in lines[: len(pairs)] for word in line.split()]
    assert numbers[0] == 1e6
    assert numbers[1::2] == numbers[2::2] == list(range(ports**2))

"""The block solver against the dense one, and the laws that every passive reciprocal network obeys."""

from itertools import combinations

import numpy as np
import pytest

from boardgen.model.selection import AT_REST
from tests.rf.dense import dense_matrix, dense_s
from tests.rf.rf_boards import BOARDS, band, made, states


def rounding(name):
    """What elimination may lose: more where pairs hang on one another by contacts of little resistance."""
    return 100 if "changeover" in name else 1


@pytest.mark.parametrize("name", BOARDS)
def test_block_is_dense(name):
    """Entrywise, for every state tried."""
    network, frequencies = made(name), band(name, 21)
    blocks = network.blocks(frequencies)
    for selection in states(name):
        ours = network.solve(selection.operated, blocks).matrix()[0]
        oracle = dense_s(network, selection.operated, frequencies)
        assert np.abs(ours - oracle).max() < 1e-12 * rounding(name)
        # relative as well, so that the smallest common-mode entry counts like the largest; a reflection is a difference
        # of impedances, and has no digits left where these are nearly equal
        there = (np.abs(oracle) > 1e-12) & ~np.eye(oracle.shape[-1], dtype=bool)
        assert np.abs(ours[there] / oracle[there] - 1).max() < 1e-11 * rounding(name)


@pytest.mark.parametrize("name", BOARDS)
def test_reciprocal_and_passive(name):
    """S equals its transpose, and no vector of waves comes out larger than it went in."""
    network = made(name)
    blocks = network.blocks(band(name, 41))
    for selection in states(name):
        solution = network.solve(selection.operated, blocks)
        s = solution.matrix()[0]
        for row, column in combinations(range(len(solution.terminals)), 2):
            # the matrix holds what is worked out one way; this is the other
            back = solution.s(solution.terminals[row], solution.terminals[column])[0]
            forth = s[:, column, row]
            there = np.abs(back) > 1e-300
            assert np.all(np.abs(forth / back - 1)[there] < 1e-12 * rounding(name))
        assert np.linalg.svd(s, compute_uv=False).max() <= 1 + 1e-12


def in_doubles(network, operated, frequencies, *, local):
    """Impedance matrix by LAPACK alone, without the oracle's corrections."""
    matrix, ports = dense_matrix(network, operated, frequencies, local=local)
    return ports.T @ np.linalg.solve(matrix.astype(complex), np.broadcast_to(ports, (frequencies.size, *ports.shape)))


def test_local_references_keep_small_entries():
    """The reason for them: in doubles, plain node voltages lose what local ones keep."""
    network, frequencies = made("cascaded"), band("cascaded", 5)
    operated = network.operated(network.antennas[0])
    solution = network.solve(operated, network.blocks(frequencies))
    exact = [[solution.impedance(to, source)[0] for source in solution.terminals] for to in solution.terminals]
    exact = np.moveaxis(np.array(exact), 2, 0)
    plain, local = (in_doubles(network, operated, frequencies, local=local) for local in (False, True))
    there = np.abs(exact) > 1e-12 * 75
    assert np.abs(plain / exact - 1)[there].max() < 1e-6
    assert np.abs(local / exact - 1)[there].max() < 0.5 * np.abs(plain / exact - 1)[there].max()


def test_equal_strips_are_reduced_once():
    """Their closed blocks are the same arrays of numbers."""
    network = made("default")
    blocks = network.blocks(band("default", 3))
    first, last = (blocks[a, AT_REST] for a in (network.antennas[0], network.antennas[-1]))
    assert np.array_equal(first.shared, last.shared)


def test_outside_the_permeability_table():
    """Nothing is extrapolated."""
    network = made("default")
    with pytest.raises(ValueError, match="covers"):
        network.blocks(np.array([1e6, 40e6]))

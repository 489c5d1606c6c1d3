"""One board entry by entry against arithmetic with fifty digits, element laws included."""

import numpy as np
import pytest

from boardgen.rf.spice_netlist import state_elements
from boardgen.rf_network.device_models import LAWS
from boardgen.rf_network.element import GROUND
from tests.rf.dense import dense_s
from tests.rf.rf_boards import made
from tests.rf.rf_peers import module


def exact_outputs(mp, network, element, omega, frequency_hz):
    """The laws themselves, on exact numbers."""
    values = {p.name: np.array([[mp.mpf(p.value)]], dtype=object) for p in element.parameters}
    mu = None
    if element.material:
        table = network.permeability[element.material]
        mu = np.array([mp.mpc(table.at(frequency_hz))], dtype=object)
    return [output[0, 0] for output in LAWS[element.law](values, omega, mu)]


def exact_s(mp, network, operated, frequency_hz):
    """Plain node voltages with exact numbers need no local references."""
    elements = state_elements(network, operated)
    nets = list(dict.fromkeys(n for e in elements for n in e.nets if n != GROUND))
    matrix = mp.zeros(len(nets))

    def vector(one, other):
        return [(nets.index(net), sign) for net, sign in ((one, 1), (other, -1)) if net != GROUND]

    def stamp(left, right, value):
        for row, sign in left:
            for column, other in right:
                matrix[row, column] += sign * other * value

    omega = np.array([2 * mp.pi * mp.mpf(frequency_hz)], dtype=object)
    for element, outputs in ((e, exact_outputs(mp, network, e, omega, frequency_hz)) for e in elements):
        sides = [vector(*pair) for pair in element.pairs]
        stamp(sides[0], sides[0], outputs[0])
        if len(sides) == 2:
            stamp(sides[0], sides[1], outputs[1])
            stamp(sides[1], sides[0], outputs[1])
            stamp(sides[1], sides[1], outputs[2])
    ports, ohm = [], []
    for port in network.ports:
        for pair, load in (
            ((port.centre, port.braid), network.port_ohm[port.strip]),
            ((port.braid, GROUND), network.common_mode_ohm),
        ):
            ports.append(vector(*pair))
            ohm.append(mp.mpf(load))
            stamp(ports[-1], ports[-1], 1 / ohm[-1])
    found = mp.zeros(len(ports))
    for column, source in enumerate(ports):
        right = mp.zeros(len(nets), 1)
        for row, sign in source:
            right[row] = sign
        voltages = mp.lu_solve(matrix, right)
        for row, port in enumerate(ports):
            value = sum(sign * voltages[at] for at, sign in port)
            found[row, column] = 2 * value / mp.sqrt(ohm[row] * ohm[column]) - (row == column)
    return found


@pytest.mark.peer
@pytest.mark.parametrize("frequency_hz", [1.8e6, 9.7e6])
def test_entrywise(frequency_hz):
    """A fed board, whose entries span ten orders of magnitude."""
    mpmath = module("mpmath")
    network = made("common-mode choked")
    operated = network.operated(network.antennas[0])
    ours = network.solve(operated, network.blocks(np.array([frequency_hz]))).matrix()[0, 0]
    with mpmath.workdps(50):
        exact = exact_s(mpmath, network, operated, frequency_hz)
        for row in range(ours.shape[0]):
            for column in range(ours.shape[1]):
                assert abs(mpmath.mpc(ours[row, column]) / exact[row, column] - 1) < 1e-8


@pytest.mark.peer
def test_small_entries_of_both_solvers():
    """Where contacts of 12 S meet strays of a microsiemens: the block solver and its oracle, within 1e-11 of exact."""
    mpmath = module("mpmath")
    network, frequencies = made("no breakers"), np.array([1.7e6])
    operated = network.operated(network.antennas[0])
    block = network.solve(operated, network.blocks(frequencies)).matrix()[0, 0]
    dense = dense_s(network, operated, frequencies)[0]
    with mpmath.workdps(50):
        exact = exact_s(mpmath, network, operated, 1.7e6)
        for row, column in np.ndindex(block.shape):
            for ours in (block, dense):
                assert abs(mpmath.mpc(ours[row, column]) / exact[row, column] - 1) < 1e-11

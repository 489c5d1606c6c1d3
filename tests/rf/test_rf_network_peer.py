"""Differential entries against an independent library of network analysis, which joins the elements itself."""

import numpy as np
import pytest

from boardgen.rf.spice_netlist import state_elements
from boardgen.rf_network.element import GROUND
from tests.rf.dense import admittances
from tests.rf.rf_boards import band, made
from tests.rf.rf_peers import module

OHM = 75.0


def element_s(skrf, element, network, frequencies):
    """S of an element as a network with one port for each of its ends, each against 0V."""
    outputs = admittances(element, network, frequencies)
    ends = 2 * len(element.pairs)
    y = np.zeros((frequencies.size, ends, ends), complex)
    sides = [(0, 0)] if ends == 2 else [(0, 0), (0, 1), (1, 0), (1, 1)]
    for first, second in sides:
        admittance = outputs[first + second]
        for row, sign in ((2 * first, 1), (2 * first + 1, -1)):
            for column, other in ((2 * second, 1), (2 * second + 1, -1)):
                y[:, row, column] += sign * other * admittance
    return skrf.network.y2s(y, z0=OHM)


def connections(skrf, network, operated, frequencies):
    """What is joined at each net: centre and braid of every port against 0V, in order, then all others."""
    circuit = module("skrf.circuit")
    axis = skrf.Frequency.from_f(frequencies, unit="hz")
    nodes = {}
    for number, element in enumerate(state_elements(network, operated)):
        part = skrf.Network(frequency=axis, s=element_s(skrf, element, network, frequencies), z0=OHM, name=f"e{number}")
        for end, net in enumerate(element.nets):
            nodes.setdefault(net, []).append((part, end))
    order = []
    for port in network.ports:
        for net in (port.centre, port.braid):
            nodes.setdefault(net, []).insert(0, (circuit.Circuit.Port(axis, f"p{len(order)}", z0=OHM), 0))
            order.append(net)
    nodes[GROUND].append((circuit.Circuit.Ground(axis, "earth", z0=OHM), 0))
    # the library numbers ports in the order in which it meets them
    return [nodes.pop(net) for net in order] + list(nodes.values())


@pytest.mark.peer
@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("name", ["default", "cascaded", "common-mode choked", "output only"])
def test_differential_entries(name):
    """Isolation, loss and match within 1e-7 dB."""
    skrf = module("skrf")
    network, frequencies = made(name), band(name, 5)
    operated = network.operated(network.antennas[0])
    joined = module("skrf.circuit").Circuit(connections(skrf, network, operated, frequencies)).network.s
    pairs = skrf.network.s2y(joined, z0=OHM)
    count = len(network.ports)
    turn = np.kron(np.eye(count), [[1.0, 1.0], [0.0, 1.0]])
    loads = np.array([r for p in network.ports for r in (network.port_ohm[p.strip], network.common_mode_ohm)])
    impedance = np.linalg.inv(turn.T @ pairs @ turn + np.diag(1 / loads))
    theirs = 2 / np.sqrt(np.outer(loads, loads)) * impedance - np.eye(2 * count)
    ours = network.solve(operated, network.blocks(frequencies)).matrix()[0]
    ours, theirs = ours[:, ::2, ::2], theirs[:, ::2, ::2]
    there = np.abs(ours) > 1e-7
    assert np.abs(20 * np.log10(np.abs(theirs[there] / ours[there]))).max() < 1e-7
    assert there.any(axis=0).sum() >= count

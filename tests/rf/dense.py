"""The oracle: the same elements as one full matrix, solved by LAPACK frequency by frequency."""

from __future__ import annotations

import numpy as np

from boardgen.model.selection import SelectionState
from boardgen.rf.curves import complex_permeability
from boardgen.rf.network import Network
from boardgen.rf.reference import across, strongest_tree
from boardgen.rf.spice_netlist import state_elements
from boardgen.rf_network.device_models import LAWS, Array
from boardgen.rf_network.element import GROUND, Element

CORRECTIONS = 2
"""Without them, and with a matrix of doubles, entries were off by up to 5e-11 against fifty digits."""


def admittances(element: Element, network: Network, frequency_hz: Array) -> tuple[Array, ...]:
    """The admittance of one element, or Y11, Y12 and Y22 of its windings: each (points,)."""
    values = {p.name: np.array([[p.value]]) for p in element.parameters}
    table = network.permeability.get(element.material)
    mu = complex_permeability(table, frequency_hz) if table else None
    return tuple(output[0] for output in LAWS[element.law](values, 2 * np.pi * frequency_hz, mu))


def dense_s(network: Network, operated: SelectionState, frequency_hz: Array, *, local: bool = True) -> Array:
    """The whole S matrix (points, terminals, terminals) as `Solution.matrix` orders it.

    `local` measures every net against its strongest neighbour; else all are plain voltages against 0V.
    """
    matrix, ports = dense_matrix(network, operated, frequency_hz, local=local)
    ohm = np.array([r for p in network.ports for r in (network.port_ohm[p.strip], network.common_mode_ohm)])
    sources = np.broadcast_to(ports, (frequency_hz.size, *ports.shape))
    impedance = np.swapaxes(sources, 1, 2) @ _refined(matrix, sources)
    scale = 2 / np.sqrt(np.outer(ohm, ohm))
    result: Array = (scale * impedance - np.eye(ohm.size)).astype(complex)
    return result


def _refined(matrix: Array, sources: Array) -> Array:
    """LAPACK's solution, corrected by what is left over in the longest floating-point format."""
    plain = matrix.astype(complex)
    found = np.linalg.solve(plain, sources).astype(np.clongdouble)
    for _ in range(CORRECTIONS):
        found = found + np.linalg.solve(plain, (sources - matrix @ found).astype(complex))
    return found


def dense_matrix(
    network: Network, operated: SelectionState, frequency_hz: Array, *, local: bool = True
) -> tuple[Array, Array]:
    """The admittance matrix with all loads (points, n, n), and the voltage of each terminal in its variables (n, m).

    The matrix is in the longest floating-point format, which LAPACK does not take.
    """
    elements = state_elements(network, operated)
    nets = dict.fromkeys(net for e in elements for net in e.nets if net != GROUND)
    nets |= dict.fromkeys(net for p in network.ports for net in (p.centre, p.braid))
    pairs = [pair for p in network.ports for pair in ((p.centre, p.braid), (p.braid, GROUND))]
    middle = np.array([np.sqrt(frequency_hz[0] * frequency_hz[-1])])
    ties = [
        (*pair, float(abs(outputs[side][0])))
        for e in elements
        for outputs in [admittances(e, network, middle)]
        for pair, side in zip(e.pairs, (0, -1), strict=False)
    ]
    tree = strongest_tree(dict(pairs), nets, ties) if local else dict.fromkeys(nets, GROUND)
    place = {net: n for n, net in enumerate(nets)}

    def vector(one: str, other: str) -> Array:
        found = np.zeros(len(nets))
        for net, sign in across(tree, one, other).items():
            found[place[net]] = sign
        return found

    # a contact's 12 S and a stray's microsiemens meet in one entry: doubles would round the stray away
    matrix = np.zeros((frequency_hz.size, len(nets), len(nets)), np.clongdouble)
    for element in elements:
        outputs = admittances(element, network, frequency_hz)
        voltages = [vector(*pair) for pair in element.pairs]
        sides = [(0, 0)] if len(voltages) == 1 else [(0, 0), (0, 1), (1, 1)]
        for (first, second), admittance in zip(sides, outputs, strict=True):
            stamp = np.outer(voltages[first], voltages[second])
            matrix += admittance[:, None, None] * (stamp if first == second else stamp + stamp.T)
    ports = np.stack([vector(*pair) for pair in pairs], -1)
    for number, port in enumerate(ports.T):
        owner = network.ports[number // 2].strip
        matrix += np.outer(port, port) / (network.common_mode_ohm if number % 2 else network.port_ohm[owner])
    return matrix, ports

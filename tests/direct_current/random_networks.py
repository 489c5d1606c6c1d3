"""Random networks with junction diodes, as elements and as a deck for a circuit simulator."""

import os
import random
import shutil

import pytest

from boardgen.direct_current.curves import exponential, through
from boardgen.direct_current.elements import CurrentSource, Curve, Resistor, VoltageSource
from boardgen.direct_current.network import Network

SATURATION_A, EMISSION, SERIES_OHM = 2.5e-9, 1.75, 0.6
CURRENTS = [10 ** (n / 8) for n in range(-72, 9)]
POINTS = exponential(SATURATION_A, EMISSION, 27.0, CURRENTS, SERIES_OHM)


def junction(name, a, b):
    return through(name, a, b, POINTS)


def random_network(seed):
    """A tree of resistors so that all hangs together, and then more of everything."""
    pick = random.Random(seed)
    nodes = ["0V", *(f"n{n}" for n in range(pick.randint(4, 25)))]
    made = [Resistor(f"T{n}", nodes[n], pick.choice(nodes[:n]), 10 ** pick.uniform(0, 5)) for n in range(1, len(nodes))]
    made += [
        Resistor(f"R{n}", *pick.sample(nodes, 2), 10 ** pick.uniform(-1, 4)) for n in range(pick.randint(0, len(nodes)))
    ]
    made += [junction(f"D{n}", *pick.sample(nodes, 2)) for n in range(pick.randint(1, len(nodes)))]
    made += [CurrentSource(f"I{n}", *pick.sample(nodes, 2), pick.uniform(0, 0.05)) for n in range(pick.randint(0, 3))]
    made += [
        VoltageSource(f"V{n}", plus, "0V", pick.uniform(-15, 15))
        for n, plus in enumerate(pick.sample(nodes[1:], pick.randint(1, 3)))
    ]
    return Network(tuple(made))


def cards(network):
    """The elements as a simulator's deck has them; 0V is its node 0."""
    at = {node: str(n) for n, node in enumerate(network.nodes)}
    for e in network.elements:
        a, b = (at[end] for end in e.ends)
        match e:
            case Resistor(name=name, ohm=ohm):
                yield f"R{name} {a} {b} {ohm!r}"
            case VoltageSource(name=name, volt=volt):
                yield f"V{name} {a} {b} {volt!r}"
            case CurrentSource(name=name, ampere=ampere):
                yield f"I{name} {a} {b} {ampere!r}"
            case Curve(name=name):
                yield f"D{name} {a} {b} junction"
                yield f"Rleak{name} {a} {b} 1e9"


def deck(network):
    model = f".model junction d(is={SATURATION_A} n={EMISSION} rs={SERIES_OHM})"
    options = ".options temp=27 tnom=27 gmin=1e-15 reltol=1e-6 abstol=1e-13"
    return "\n".join(["random network", *cards(network), model, options])


def simulator():
    """The path of the circuit simulator: missing, it fails in CI and is skipped loudly elsewhere."""
    found = shutil.which("ngspice")
    if found is None and os.environ.get("CI"):
        pytest.fail("ngspice must be there in CI")
    if found is None:
        pytest.skip("ngspice IS ABSENT: this comparison with an outside program was NOT made")
    return found

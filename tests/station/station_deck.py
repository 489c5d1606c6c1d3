"""A station's network as a deck for a general circuit simulator, with junction models for its diodes."""

import math
import os
import shutil

import pytest

from boardgen.direct_current.elements import CurrentSource, Curve, Resistor, VoltageSource

MODELS = {
    "1N4148": "d(is=2.52n n=1.752 rs=0.568 bv=100 ibv=0.1m)",
    "1N4007": "d(is=7.027n n=1.808 rs=0.0342 bv=1000 ibv=5u)",
    "1N5819": "d(is=0.6u n=1.05 rs=0.1 bv=40 ibv=1m)",
    "WP710A10SGC": "d(is=1e-17 n=2.5 rs=10)",
    "suppressor": "d(is=1e-14 n=1 rs=1 bv=15.3 ibv=1m)",
}
"""Common simulator models of these diodes, recalled; that of 1N5819 made to pass 0.26 V at 10 mA."""


def cards(network, model_of, celsius=27.0):
    """Elements as cards; `model_of` tells the part of a diode. Suppressors are two diodes back to back."""
    at = node_numbers(network)
    yield "* station"
    for number, e in enumerate(network.elements):
        a, b = (at[end] for end in e.ends)
        match e:
            case Resistor(ohm=ohm):
                if 0 < ohm < math.inf:
                    yield f"R{number} {a} {b} {ohm!r}"
            case VoltageSource(volt=volt):
                yield f"V{number} {a} {b} {volt!r}"
            case CurrentSource(ampere=ampere):
                yield f"I{number} {a} {b} {ampere!r}"
            case Curve(name=name, points=points) if name.endswith(" load"):
                # its whole current from the least volts that suffice on, a resistance below
                least_v, ampere = points[1]
                yield f"B{number} {a} {b} I=min(V({a},{b})*{ampere / least_v!r},{ampere!r})"
            case Curve(name=name, points=points):
                model = model_of(name)
                if model == "suppressor":
                    yield f"D{number}a m{number} {a} suppressor"
                    yield f"D{number}b m{number} {b} suppressor"
                else:
                    yield f"D{number} {a} {b} m{model}"
                    yield f"R{number}leak {a} {b} {leak_ohm(points)!r}"
    yield from (f".model {'' if name == 'suppressor' else 'm'}{name} {law}" for name, law in MODELS.items())
    yield f".options temp={celsius} tnom=27 gmin=1e-11 reltol=1e-4"
    yield ".end"


def leak_ohm(points):
    """What a diode's sheet guarantees of its reverse current, as a resistance: the models leak as typical ones do."""
    (volts, ampere), (volts_2, ampere_2) = points[:2]
    return (volts_2 - volts) / (ampere_2 - ampere)


def node_numbers(network):
    """The simulator's node of every point; the reference is its node 0."""
    first = {}
    for n, node in enumerate(network.nodes):
        first.setdefault(network.joined[node], n)
    return {node: first[network.joined[node]] for node in network.nodes}


def simulator():
    """The path of the circuit simulator: missing, it fails in CI and is skipped loudly elsewhere."""
    found = shutil.which("ngspice")
    if found is None and os.environ.get("CI"):
        pytest.fail("ngspice must be there in CI")
    if found is None:
        pytest.skip("ngspice IS ABSENT: this comparison with an outside program was NOT made")
    return found

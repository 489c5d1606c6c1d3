"""Published measurements go through the program's own element models and solver."""

import math

import numpy as np

from boardgen.model.netlist import Port
from boardgen.model.selection import AT_REST
from boardgen.rf.network import Network
from boardgen.rf.strip_blocks import Strip
from boardgen.rf_network.block import Shape
from boardgen.rf_network.element import Element, exact
from tests.catalogue.shipped import CATALOGUE
from tests.rf.dense import dense_s

TABLES = CATALOGUE.permeability


def element(law, *pairs, material="", **values):
    """An element whose parameters are given by name, underscores for spaces."""
    parameters = tuple(exact(name.replace("_", " "), value, "", "published") for name, value in values.items())
    return Element("", "X1", law, pairs, parameters, material)


def winding(material, path_constant_m, turns, second_turns=1.0, pairs=(("a", "b"), ("u", "v")), **strays):
    """A winding, or two, on a core, without resistance and leakage unless given."""
    values = {
        "first_turns": turns,
        "second_turns": second_turns,
        "first_leakage": 1e-13,
        "second_leakage": 1e-13,
        "first_resistance": 1e-6,
        "second_resistance": 1e-6,
        "permeability_scale": 1.0,
        # a thin wire that lies alone: its resistance is that of direct current
        "wire_radius": 1e-6,
        "first_proximity": 1.0,
        "second_proximity": 1.0,
    } | strays
    return element("transformer", *pairs, material=material, path_constant=path_constant_m, **values)


def network(elements, ports, ohms):
    """The elements between ports, each a pair of nets with its own load; a second winding's end v is held at 0V."""
    if any("v" in e.nets for e in elements):
        elements = [*elements, element("resistor", ("v", "0V"), resistance=1.0)]
    made = tuple(Port(f"J{n}", f"port {n}", *pair) for n, pair in enumerate(ports, 1))
    whole = Strip("", Shape((), 0, 0), tuple(range(len(elements))), (), 0)
    loads = {port.strip: ohm for port, ohm in zip(made, ohms, strict=True)}
    return Network(tuple(elements), made, (), {("", AT_REST): whole}, (), TABLES, loads, 75.0)


def scattering(elements, ports, ohms, frequency_hz):
    """S of the differential ports at one frequency."""
    return dense_s(network(elements, ports, ohms), AT_REST, np.array([float(frequency_hz)]))[0, ::2, ::2]


def impedance(elements, frequency_hz, port=("a", "b"), ohm=1000.0):
    """What is seen at a pair of nets."""
    s = scattering(elements, [port], [ohm], frequency_hz)[0, 0]
    return ohm * (1 + s) / (1 - s)


def ring(outside_mm, inside_mm, height_mm):
    """Path constant of a ring core in metres, h ln(OD/ID)/(2 pi)."""
    return height_mm * 1e-3 * math.log(outside_mm / inside_mm) / (2 * math.pi)


FT240, FT140, FT114 = ring(61, 35.55, 12.7), ring(35.55, 23.0, 12.7), ring(29, 19, 7.5)
FT50, FT37 = ring(12.7, 7.15, 4.9), ring(9.53, 4.75, 3.18)

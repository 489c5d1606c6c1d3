"""The field of round wires against closed formulas, finite elements and a published pair."""

import math

import numpy as np
import pytest
import skfem
from scipy.spatial import Delaunay
from skfem.helpers import dot, grad

from boardgen.handbook import round_wires
from boardgen.handbook.constants import ELECTRIC_CONSTANT_F_PER_M, MAGNETIC_CONSTANT_H_PER_M

LIGHT = MAGNETIC_CONSTANT_H_PER_M * ELECTRIC_CONSTANT_F_PER_M


@pytest.mark.parametrize("apart", [1.08, 1.2, 2.0, 10.0])
def test_two_wire_line(apart):
    """mu0/pi acosh(D/d), pi eps0/acosh(D/d), and loss D/sqrt(D^2 - d^2): any textbook on lines (recalled)."""
    radius = 0.2e-3
    at = apart * radius
    found = round_wires.inductance([-at, at], [1, -1], radius)
    assert found.h_per_m == pytest.approx(MAGNETIC_CONSTANT_H_PER_M / math.pi * math.acosh(apart), rel=0.02)
    assert found.proximity == pytest.approx(apart / math.sqrt(apart**2 - 1), rel=0.03)
    farad = round_wires.capacitance(([-at], [at]), radius, radius, 1)
    assert farad == pytest.approx(math.pi * ELECTRIC_CONSTANT_F_PER_M / math.acosh(apart), rel=0.02)


@pytest.mark.parametrize("half_spacing", [0.2, 0.35, 0.5])
def test_balanced_pair_in_a_shield(half_spacing):
    """Z0 = 276 log10(2 v (1 - s^2)/(1 + s^2)) for thin wires: ITT Reference Data, shielded balanced line (recalled).

    A wall of high permeability turns the sign of the image, and s^2 with it.
    """
    shield, radius = 10e-3, 0.05e-3
    at, v = half_spacing * shield, half_spacing * shield / radius
    s2 = half_spacing**2
    expected = math.pi * ELECTRIC_CONSTANT_F_PER_M / math.log(2 * v * (1 - s2) / (1 + s2))
    assert round_wires.capacitance(([-at], [at]), radius, radius, 1, shield) == pytest.approx(expected, rel=1e-3)
    henry = MAGNETIC_CONSTANT_H_PER_M / math.pi * math.log(2 * v * (1 + s2) / (1 - s2))
    assert round_wires.inductance([-at, at], [1, -1], radius, shield).h_per_m == pytest.approx(henry, rel=1e-3)


def test_a_coat_of_enamel_is_a_capacitor_in_series():
    """Two coated wires far apart: the coat's own ln(b/a)/eps beside the air's, any textbook (recalled)."""
    bare, coated, at = 0.2e-3, 0.3e-3, 20e-3
    air = math.log(2 * at / coated)
    expected = math.pi * ELECTRIC_CONSTANT_F_PER_M / (air + math.log(coated / bare) / 3.5)
    assert round_wires.capacitance(([-at], [at]), bare, coated, 3.5) == pytest.approx(expected, rel=1e-3)


def test_no_wave_is_faster_than_light():
    """Wires that are one conductor each way carry a wave of light's speed in air; equal currents are a little above."""
    first, second = (0.5e-3 + 0.3e-3j, 0.6e-3 - 0.4e-3j), (-0.5e-3 + 0.4e-3j, -0.7e-3 - 0.3e-3j)
    henry = round_wires.inductance([*first, *second], [0.5, 0.5, -0.5, -0.5], 0.1e-3).h_per_m
    farad = round_wires.capacitance((first, second), 0.1e-3, 0.1e-3, 1)
    assert LIGHT <= henry * farad <= 1.05 * LIGHT


def test_twisted_pair_of_awg_30():
    """212 nH and 147 pF a metre: "Designing wideband RF impedance transformers", Microwaves & RF, web version p. 4."""
    bare, coated = 0.2546e-3, 0.2910e-3
    henry = round_wires.inductance([-coated / 2, coated / 2], [1, -1], bare / 2).h_per_m
    assert henry == pytest.approx(212e-9, rel=0.03)
    farad = round_wires.capacitance(([-coated / 2], [coated / 2]), bare / 2, coated / 2, 3.5)
    assert 147e-12 / farad == pytest.approx(1.45, rel=0.03)


HOLE, BARE, COATED = 1.775e-3, 0.2025e-3, 0.222e-3
FIRST = (0.4e-3 + 0.9e-3j, 0.5e-3 + 0.1e-3j, 1.3e-3 + 0.5e-3j, 0.7e-3 - 0.9e-3j)
SECOND = (-0.3e-3 + 0.6e-3j, -1.1e-3 + 0.9e-3j, -0.6e-3 - 0.4e-3j, -0.9e-3 - 1.1e-3j)


@skfem.BilinearForm
def _stiffness(u, v, w):
    return w.material * dot(grad(u), grad(v))


def _mesh(coats):
    """Triangles between wires and wall: rings of points about each, a loose grid elsewhere, joined by Delaunay."""
    wires = np.array([*FIRST, *SECOND])
    turn = np.exp(2j * np.pi * np.arange(48) / 48)
    radii = [BARE, (BARE + COATED) / 2, COATED, 1.06 * COATED, 1.2 * COATED, 1.45 * COATED]
    rings = [centre + radius * turn for centre in wires for radius in radii]
    wall = HOLE * np.exp(2j * np.pi * np.arange(300) / 300)
    side = np.linspace(-HOLE, HOLE, 90)
    grid = (side[:, None] + 1j * side[None, :]).ravel()
    away = np.abs(grid[:, None] - wires).min(axis=1)
    grid = grid[(np.abs(grid) < 0.98 * HOLE) & (away > 1.5 * COATED)]
    outer = np.concatenate(rings)
    nearest = np.abs(outer[:, None] - wires)
    own = np.repeat(np.arange(len(wires)), len(radii) * len(turn))
    foreign = np.where(np.arange(len(wires)) == own[:, None], np.inf, nearest).min(axis=1)
    outer = outer[(foreign > COATED) | (nearest.min(axis=1) <= COATED * 1.001)]
    outer = outer[np.abs(outer) < 0.995 * HOLE]
    points = np.concatenate((outer, wall, grid))
    triangles = Delaunay(np.stack((points.real, points.imag), axis=1)).simplices
    middle = points[triangles].mean(axis=1)
    kept = np.abs(middle[:, None] - wires).min(axis=1) > 0.99 * BARE
    mesh = skfem.MeshTri(np.stack((points.real, points.imag)), triangles[kept].T)
    basis = skfem.Basis(mesh, skfem.ElementTriP2())
    to_wire = np.abs(middle[kept][:, None] - wires).min(axis=1)
    material = np.where((to_wire < COATED) & coats, 3.5, 1.0)
    stiffness = _stiffness.assemble(basis, material=np.repeat(material[:, None], basis.X.shape[1], axis=1))
    at = basis.doflocs[0] + 1j * basis.doflocs[1]
    surfaces = [np.flatnonzero(np.abs(np.abs(at - wire) - BARE) < 0.004 * BARE) for wire in wires]
    return basis, stiffness, surfaces, np.flatnonzero(np.abs(np.abs(at) - HOLE) < 2e-4 * HOLE)


def _partial(basis, stiffness, groups):
    """Charge over eps0 on each group of nodes for one volt on each in turn."""
    found = np.zeros((len(groups), len(groups)))
    fixed = np.concatenate(groups)
    for number, group in enumerate(groups):
        volts = np.zeros(basis.N)
        volts[group] = 1
        volts = skfem.solve(*skfem.condense(stiffness, x=volts, D=fixed))
        flux = stiffness @ volts
        found[:, number] = [flux[other].sum() for other in groups]
    return found


def test_leakage_of_eight_wires_in_a_hole_by_finite_elements():
    """Scikit-fem, quadratic triangles; the wall of high permeability is its natural boundary."""
    basis, stiffness, surfaces, _ = _mesh(coats=False)
    partial = _partial(basis, stiffness, surfaces)
    currents = np.array([1.0] * 4 + [-1.0] * 4)
    potentials = np.linalg.lstsq(partial, currents, rcond=None)[0]
    expected = MAGNETIC_CONSTANT_H_PER_M * currents @ potentials
    found = round_wires.inductance([*FIRST, *SECOND], currents, BARE, HOLE).h_per_m
    assert found == pytest.approx(expected, rel=0.02)


def test_capacitance_of_eight_enamelled_wires_in_a_hole_by_finite_elements():
    """Scikit-fem, quadratic triangles; the conducting wall is one more electrode, left alone."""
    basis, stiffness, surfaces, wall = _mesh(coats=True)
    groups = [np.concatenate(surfaces[:4]), np.concatenate(surfaces[4:]), wall]
    partial = _partial(basis, stiffness, groups) * ELECTRIC_CONSTANT_F_PER_M
    direct, to_a, to_b = -partial[0, 1], -partial[0, 2], -partial[1, 2]
    expected = direct + to_a * to_b / (to_a + to_b)
    found = round_wires.capacitance((FIRST, SECOND), BARE, COATED, 3.5, HOLE)
    assert found == pytest.approx(expected, rel=0.03)

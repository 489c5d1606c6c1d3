"""Capacitances of copper from its field, against published formulas and against a field worked out another way."""

import mpmath
import numpy as np
import pytest
from scipy.sparse import diags, lil_matrix
from scipy.sparse.linalg import spsolve

from boardgen.board.copper_raster import CELL_NM, FREE, ZERO
from boardgen.board.field_solver import charges
from boardgen.board.parasitics import COPPER_TOLERANCE

E0 = 8.8541878128e-12
CELL_MM = CELL_NM * 1e-6
LONG = 8
"""Cells along the strips. The transform repeats the window, so that they are endless."""


def cross_section(spans, bottom=ZERO, wide_mm=60.0, cell_mm=CELL_MM, rest=ZERO):
    """Labels of endless strips: (number, from mm, to mm) on the top, the rest and the whole bottom as stated."""
    half = round(wide_mm / cell_mm / 2)
    x = np.arange(-half, half + 1) * cell_mm
    labels = np.full((2, LONG, x.size), bottom, np.int16)
    labels[0] = rest
    for number, low, high in spans:
        labels[0][:, (x > low) & (x < high)] = number
    return labels


def per_metre(labels, number, cell_mm=CELL_MM, permittivity=4.4):
    return charges(labels, number, cell_mm * 1e-3, 1.6e-3, permittivity)[0] / (LONG * cell_mm * 1e-3)


def ratio(k):
    return float(mpmath.ellipk(k**2) / mpmath.ellipk(1 - k**2))


def grounded_coplanar(width, gap, high, permittivity):
    """Coplanar line over a plane: 2 e0 (K(k)/K(k') + er K(k1)/K(k1')) (handbooks of planar lines, recalled)."""
    above = width / (width + 2 * gap)
    below = np.tanh(np.pi * width / (4 * high)) / np.tanh(np.pi * (width + 2 * gap) / (4 * high))
    return 2 * E0 * (ratio(above) + permittivity * ratio(below))


LINES = [(1.5, 0.4), (0.6, 0.4), (1.0, 1.0), (2.54, 0.635), (1.0, 5.0)]


@pytest.mark.parametrize(("width", "gap"), LINES)
@pytest.mark.parametrize("offset", [0.0, 0.2, 0.4])
def test_coplanar_line(width, gap, offset):
    """Tracks in a pour over a pour, on the middles of cells or off them: within the error that is stated."""
    low = -width / 2 + offset * CELL_MM
    spans = [(FREE, low - gap, low + width + gap), (1, low, low + width)]
    found = per_metre(cross_section(spans), 1)[1]
    assert found == pytest.approx(grounded_coplanar(width, gap, 1.6, 4.4), rel=COPPER_TOLERANCE)


@pytest.mark.parametrize(("width", "gap"), LINES)
def test_finer_cells_come_nearer(width, gap):
    """With an eighth of the cell the formula is met within a twentieth: what is off is the size of the cells."""
    fine = CELL_MM / 8
    spans = [(FREE, -width / 2 - gap, width / 2 + gap), (1, -width / 2, width / 2)]
    found = per_metre(cross_section(spans, wide_mm=30, cell_mm=fine), 1, fine)[1]
    assert found == pytest.approx(grounded_coplanar(width, gap, 1.6, 4.4), rel=0.05)


@pytest.mark.parametrize("width", [1.2, 2.4, 4.8])
def test_microstrip(width):
    """A track over a whole plane: Hammerstad's formulas of 1975 (recalled), good to one per cent."""
    u = width / 1.6
    effective = 2.7 + 1.7 / np.sqrt(1 + 12 / u) + (1.7 * 0.04 * (1 - u) ** 2 if u < 1 else 0)
    if u <= 1:
        ohm = 60 / np.sqrt(effective) * np.log(8 / u + u / 4)
    else:
        ohm = 120 * np.pi / np.sqrt(effective) / (u + 1.393 + 0.667 * np.log(u + 1.444))
    wanted = np.sqrt(effective) / (299792458 * ohm)
    fine = CELL_MM / 2
    found = per_metre(cross_section([(1, -width / 2, width / 2)], rest=FREE, wide_mm=40, cell_mm=fine), 1, fine)[1]
    assert found == pytest.approx(wanted, rel=0.1)


def test_wide_plates():
    """A wide strip over a plane is a plate capacitor and two edges, each between a half and one and a half 1.6 mm."""
    found = per_metre(cross_section([(1, -20, 20)], rest=FREE), 1)[1]
    plate = E0 * 4.4 * 40 / 1.6
    assert plate < found < plate * (1 + 2 * 1.5 * 1.6 / 40)


def relaxed(spans, permittivity=4.4, step=0.1, wide=24.0, high=12.0, deep=1.6):
    """Charges per metre on strips 1 and 2 with strip 1 at 1 V, by five-point differences in a box of 0 V.

    The bottom of the slab is a plane; the strips and a pour lie on its top.
    """
    columns, rows, face = round(wide / step) + 1, round((deep + high) / step) + 1, round(deep / step)
    x = np.arange(columns) * step - wide / 2
    number = np.zeros(columns, int)
    free = np.zeros(columns, bool)
    for which, low, up in spans:
        inside = (x > low - 1e-9) & (x < up + 1e-9)
        free[inside], number[inside] = which == FREE, max(which, 0)
    fixed = np.zeros((rows, columns), bool)
    fixed[[0, -1]] = fixed[:, [0, -1]] = True
    fixed[face] = ~free
    volts = np.zeros((rows, columns))
    volts[face, (number == 1) & ~free] = 1
    # permittivity of the upright and of the level edges of the grid
    upright = np.where(np.arange(rows - 1) < face, permittivity, 1.0)
    level = np.where(np.arange(rows) < face, permittivity, 1.0)
    level[face] = (permittivity + 1) / 2
    matrix = _laplace(rows, columns, upright, level)
    inner = np.flatnonzero(~fixed.ravel())
    flat = volts.ravel()
    flat[inner] = spsolve(matrix[inner][:, inner].tocsc(), -(matrix[inner] @ flat))
    charge = (E0 * (matrix @ flat)).reshape(rows, columns)[face]
    return [charge[(number == n) & ~free].sum() for n in (1, 2)]


def _laplace(rows, columns, upright, level):
    size = rows * columns
    matrix = lil_matrix((size, size))
    up = np.repeat(upright, columns)
    matrix.setdiag(-up, columns)
    matrix.setdiag(-up, -columns)
    right = np.repeat(level, columns)[:-1].copy()
    right[columns - 1 :: columns] = 0
    matrix.setdiag(-right, 1)
    matrix.setdiag(-right, -1)
    matrix = matrix.tocsr()
    return matrix + diags(-np.asarray(matrix.sum(axis=1)).ravel())


PAIRS = {
    "pair of a port": [(1, -2.0, -1.0), (2, 1.0, 2.0)],
    "pair of the bus": [(1, -2.0, -0.5), (2, 0.5, 2.0)],
    "across a fence": [(1, -3.0, -2.0), (ZERO, -0.5, 0.5), (2, 2.0, 3.0)],
}


@pytest.mark.parametrize("name", PAIRS)
@pytest.mark.parametrize("poured", [True, False])
def test_coupling(name, poured):
    """Two strips against finite differences: their own capacitance within the stated error, the mutual one too."""
    strips = PAIRS[name]
    edges = 0.5 if poured else 8.0
    spans = [(FREE, strips[0][1] - edges, strips[-1][2] + edges), *strips]
    own, mutual = relaxed(spans)
    found = per_metre(cross_section(spans), 1)
    assert found[1] == pytest.approx(own, rel=COPPER_TOLERANCE)
    assert -found[2] == pytest.approx(-mutual, rel=COPPER_TOLERANCE, abs=1e-13)

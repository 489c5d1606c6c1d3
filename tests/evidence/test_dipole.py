"""Coupling of open chokes against the field of drum cores and the exact sphere."""

import math

import numpy as np
import pytest
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

from boardgen.handbook import dipole

CELL, FAR = 0.2, 30.0
"""Side of a cell and reach of the field in millimetres."""


def drum_field(diameter, height, shaft, flange):
    """k d^3 of two drums of high permeability far apart, in cubic millimetres.

    Outside of them the scalar potential follows Laplace's equation; along the shaft it rises with the turns, from 0 in
    the middle to 1 at the flange. Moment p and mean flux Q of the charges give k d^3 = p^2/(8 pi Q).
    """
    n = int(FAR / CELL)
    at = (np.arange(n) + 0.5) * CELL
    r, z = np.meshgrid(at, at, indexing="ij")
    wound = height / 2 - flange
    body = (z < height / 2) & (((r < diameter / 2) & (z > wound)) | (r < shaft / 2))
    held = body | (r > at[-2]) | (z > at[-2])
    number = np.where(held, -1, np.cumsum(~held).reshape(held.shape) - 1)
    value = np.where(body, np.minimum(z / wound, 1.0), 0.0)
    rim = 2 * np.pi * (np.arange(n - 1)[:, None] + 1) * CELL * np.ones(n)
    ring = 2 * np.pi * at[:, None] * np.ones(n - 1)
    size = int((~held).sum())
    rows, columns, entries, driven = [], [], [], np.zeros(size)
    for here, there, volts, area in (
        (number[:-1], number[1:], value[1:], rim), (number[1:], number[:-1], value[:-1], rim),
        (number[:, :-1], number[:, 1:], value[:, 1:], ring), (number[:, 1:], number[:, :-1], value[:, :-1], ring),
    ):  # fmt: skip
        own = here >= 0
        both = own & (there >= 0)
        rows += [here[own], here[both]]
        columns += [here[own], there[both]]
        entries += [area[own], -area[both]]
        np.add.at(driven, here[own & (there < 0)], (area * volts)[own & (there < 0)])
    # in the middle the potential is 0, half a cell away
    middle = number[:, 0] >= 0
    rows, columns = [*rows, number[middle, 0]], [*columns, number[middle, 0]]
    entries.append(4 * np.pi * at[middle])
    matrix = coo_array((np.concatenate(entries), (np.concatenate(rows), np.concatenate(columns))), (size, size)).tocsc()
    potential = value.copy()
    potential[~held] = spsolve(matrix, driven)
    charge = np.zeros_like(potential)
    outward = rim * (potential[:-1] - potential[1:])
    upward = ring * (potential[:, :-1] - potential[:, 1:])
    charge[:-1] += outward
    charge[1:] -= outward
    charge[:, :-1] += upward
    charge[:, 1:] -= upward
    charge[:, 0] += 4 * np.pi * at * potential[:, 0]
    charge *= body
    moment = 2 * (charge * z).sum()
    flux = np.mean([charge[:, at > level].sum() for level in np.linspace(0, wound, 30)])
    return moment**2 / (8 * np.pi * flux)


@pytest.mark.parametrize(
    ("diameter", "height", "share"), [(9.3, 11.8, (0.82, 0.9)), (9.3, 9.8, (0.68, 0.76)), (13.0, 14.0, (0.75, 0.83))]
)
def test_drums_are_coupled_less_than_spheres_of_their_volume(diameter, height, share):
    """Sizes of three series on offer, shaft half as wide as the drum and flanges of 1.5 mm."""
    volume = math.pi / 4 * diameter**2 * height * 1e-9
    field = drum_field(diameter, height, diameter / 2, 1.5) * 1e-9 / 20e-3**3
    assert share[0] < field / dipole.most_coupling(volume, 20e-3) < share[1]


def test_a_sphere():
    """By hand: a radius of 5 mm at 20 mm is 1.5/64."""
    volume = 4 / 3 * math.pi * 5e-3**3
    assert dipole.most_coupling(volume, 20e-3) == pytest.approx(1.5 / 64, rel=1e-12)
    assert dipole.apart_for_m(volume, 1.5 / 64) == pytest.approx(20e-3, rel=1e-12)
    assert dipole.most_coupling(volume, 1e-3) == 1

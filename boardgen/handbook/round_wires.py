"""The static field of parallel round wires, in the open or along a round hole, in two dimensions.

Algorithm: a line charge and multipoles in every wire, joined by Fourier modes on each wire's surface (Rayleigh 1892,
"On the influence of obstacles"); the wall of a hole by images (the circle theorem, Milne-Thomson 1940).
The same potential serves twice. As the magnetic vector potential it belongs to currents on the surface of wires that
are thick beside the depth of penetration, in a hole whose permeability is high: no field along the wall. As the
electric potential it belongs to charges on enamelled wires, in a hole whose wall conducts and is joined to nothing.
Cost: one dense system of (2 orders + 2) unknowns a wire; 8 wires of 6 orders take a millisecond.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from boardgen.handbook import require
from boardgen.handbook.constants import ELECTRIC_CONSTANT_F_PER_M, MAGNETIC_CONSTANT_H_PER_M

Array = NDArray[np.float64]

TOUCHING: Final = 6
"""Multipoles of each wire with which touching enamelled wires come out within 2 % of many more."""
LOOSE: Final = 3
"""The same for wires laid loosely, within 1 %."""
_SLACK: Final = 1e-9
"""Share by which rounding may let wires overlap, stand out of the hole, or currents not sum to nothing."""
_IMAGE: Final = {"magnetic": 1.0, "conducting": -1.0}
"""Sign of the image of a charge: alike where no flux leaves through the wall, opposite where it is a conductor."""


class Inductance(NamedTuple):
    """Inductance in henries a metre, and the share by which neighbours raise the resistance of the wires."""

    h_per_m: float
    proximity: float


def inductance(
    centres_m: Sequence[complex],
    currents_a: Sequence[float],
    radius_m: float,
    hole_radius_m: float | None = None,
    orders: int = TOUCHING,
) -> Inductance:
    """Inductance of wires whose currents sum to nothing, seen from a circuit of one ampere.

    Parameters: `centres_m` (n,) positions in the plane, metres from the middle of the hole; `currents_a` (n,) amperes
    in each wire for one ampere of the circuit; `radius_m` of the bare wire; `hole_radius_m` of a hole in material of
    high permeability, None in the open; `orders` of multipoles.
    Returns the inductance in henries a metre, from twice the energy outside the wires, and the ratio of their loss to
    that of as many wires far from each other, where the depth of penetration is small beside the radius.
    Raises ValueError where the currents do not sum to nothing, wires overlap or one is not inside the hole.

    Source: energy of magnetic fields, any textbook (recalled); the field as in the head of this file.
    """
    _check(centres_m, radius_m, hole_radius_m)
    if abs(math.fsum(currents_a)) > _SLACK * max(abs(a) for a in currents_a):
        raise ValueError("the currents must sum to nothing", tuple(currents_a))
    field = _Field(np.asarray(centres_m, complex), radius_m, radius_m, 1.0, hole_radius_m, "magnetic", orders)
    charges = np.asarray(currents_a, float)
    potentials, multipoles = field.of_charges(charges)
    order = np.arange(1, orders + 1)
    loss = charges**2 + 2 * np.sum(order**2 * np.sum(multipoles**2, axis=2), axis=1)
    henry = MAGNETIC_CONSTANT_H_PER_M / (2 * math.pi) * float(charges @ potentials)
    return Inductance(henry, float(loss.sum() / np.sum(charges**2)))


def capacitance(
    groups_m: tuple[Sequence[complex], Sequence[complex]],
    radius_m: float,
    coated_radius_m: float,
    permittivity: float,
    hole_radius_m: float | None = None,
    orders: int = TOUCHING,
) -> float:
    """Capacitance in farads a metre between two groups of wires, each group at one potential.

    Parameters: `groups_m` positions of the wires of each group, metres from the middle of the hole; `radius_m` of the
    bare wire, `coated_radius_m` with its enamel, whose relative permittivity is `permittivity`; `hole_radius_m` of a
    hole whose wall conducts and is joined to nothing, None in the open; `orders` of multipoles.
    Raises ValueError where wires overlap, one is not inside the hole, or a permittivity is below one.

    Source: partial capacitances of three conductors, the third left alone, any textbook (recalled).
    """
    first, second = groups_m
    if permittivity < 1:
        raise ValueError("a relative permittivity is at least one", permittivity)
    centres = np.asarray([*first, *second], complex)
    _check(centres, coated_radius_m, hole_radius_m)
    field = _Field(centres, radius_m, coated_radius_m, permittivity, hole_radius_m, "conducting", orders)
    is_first = np.arange(len(centres)) < len(first)
    scale = 2 * math.pi * ELECTRIC_CONSTANT_F_PER_M
    if hole_radius_m is None:
        return scale * field.between(is_first)
    own_a, mutual = field.charges_at(is_first)
    own_b = field.charges_at(~is_first)[0]
    to_wall_a, to_wall_b, direct = own_a + mutual, own_b + mutual, -mutual
    return scale * (direct + to_wall_a * to_wall_b / (to_wall_a + to_wall_b))


class _Field:
    """The system of equations of one set of wires; potentials are in units of a charge of -ln r."""

    def __init__(
        self,
        centres: NDArray[np.complex128],
        bare: float,
        coated: float,
        permittivity: float,
        hole: float | None,
        wall: Literal["magnetic", "conducting"],
        orders: int,
    ) -> None:
        self.count, self.orders, self.width = len(centres), orders, 1 + 2 * orders
        self.samples = 4 * orders + 4
        self.angles = 2 * np.pi * np.arange(self.samples) / self.samples
        incoming = self._incoming(centres, coated, hole, _IMAGE[wall] if hole is not None else 0.0)
        self.mean = incoming.mean(axis=1)
        own = np.arange(self.count) * self.width
        self.mean[np.arange(self.count), own] += -math.log(coated) + math.log(coated / bare) / permittivity
        self.modes = self._modes(incoming, bare / coated, permittivity)

    def _incoming(self, centres: NDArray[np.complex128], radius: float, hole: float | None, sign: float) -> Array:
        """What each charge and multipole gives on each wire's surface, its own direct share left out.

        Shape (wires, samples, wires * (1 + 2 orders)).
        """
        points = centres[:, None] + radius * np.exp(1j * self.angles)
        offset = points[:, :, None] - centres
        foreign = ~np.eye(self.count, dtype=bool)[:, None, :]
        given = np.empty((*offset.shape, self.width))
        given[..., 0] = -np.log(np.abs(offset)) * foreign
        ratio = radius / offset * foreign
        if hole is not None:
            given[..., 0] -= sign * np.log(np.abs(hole**2 - points[:, :, None] * centres.conj()) / hole)
            # the image of a point z is hole^2 / z*: written without a division by a point in the middle
            mirrored = radius * points.conj()[:, :, None] / (hole**2 - points.conj()[:, :, None] * centres)
        for order in range(1, self.orders + 1):
            power = ratio**order
            if hole is not None:
                power = power + sign * mirrored**order
            given[..., 2 * order - 1], given[..., 2 * order] = power.real, -power.imag
        return given.reshape(self.count, self.samples, -1)

    def _modes(self, incoming: Array, bare_share: float, permittivity: float) -> Array:
        """The rows that tie each multipole to the field that meets its wire. Shape (wires * 2 orders, unknowns)."""
        rows = np.zeros((self.count, 2 * self.orders, self.count * self.width))
        for order in range(1, self.orders + 1):
            share = bare_share ** (2 * order)
            answer = ((1 - share) - permittivity * (1 + share)) / ((1 - share) + permittivity * (1 + share))
            waves = np.stack((np.cos(order * self.angles), np.sin(order * self.angles))) * 2 / self.samples
            rows[:, 2 * order - 2 : 2 * order] = -answer * np.einsum("ws,nsu->nwu", waves, incoming)
        for wire in range(self.count):
            at = wire * self.width + 1
            rows[wire, :, at : at + 2 * self.orders] += np.eye(2 * self.orders)
        return rows.reshape(self.count * 2 * self.orders, -1)

    def _solve(self, charges: Array) -> Array:
        """Charge and multipoles of each wire for columns of given charges; shape (unknowns, columns)."""
        unit = np.zeros((self.count, self.count * self.width))
        unit[np.arange(self.count), np.arange(self.count) * self.width] = 1.0
        zero = np.zeros((len(self.modes), charges.shape[1]))
        return np.linalg.solve(np.concatenate((unit, self.modes)), np.concatenate((charges, zero)))

    def of_charges(self, charges: Array) -> tuple[Array, Array]:
        """Potential of each wire, and its multipoles of shape (wires, orders, 2)."""
        found = self._solve(charges[:, None])
        multipoles = found.reshape(self.count, self.width)[:, 1:].reshape(self.count, self.orders, 2)
        return (self.mean @ found)[:, 0], multipoles

    @cached_property
    def _elastance(self) -> Array:
        """Potential of each wire for a charge on each; shape (wires, wires)."""
        return np.asarray(self.mean @ self._solve(np.eye(self.count)))

    def charges_at(self, chosen: NDArray[np.bool_]) -> tuple[float, float]:
        """Charge on the chosen wires and on the others, with the chosen at one volt and the others at none."""
        charges = np.linalg.solve(self._elastance, chosen.astype(float))
        return float(charges[chosen].sum()), float(charges[~chosen].sum())

    def between(self, chosen: NDArray[np.bool_]) -> float:
        """Charge on the chosen wires for one volt between them and the others, all charges summing to nothing."""
        count = self.count
        system = np.zeros((count + 1, count + 1))
        system[:count, :count], system[:count, count], system[count, :count] = self._elastance, 1.0, 1.0
        charges = np.linalg.solve(system, np.append(chosen.astype(float), 0.0))[:count]
        return float(charges[chosen].sum())


def _check(centres_m: Sequence[complex] | NDArray[np.complex128], radius_m: float, hole_m: float | None) -> None:
    require.positive(radius_m=radius_m)
    centres = np.asarray(centres_m, complex)
    gaps = np.abs(centres[:, None] - centres) + np.where(np.eye(len(centres), dtype=bool), np.inf, 0.0)
    if gaps.min() < 2 * radius_m * (1 - _SLACK):
        raise ValueError("wires overlap", tuple(centres))
    if hole_m is not None and np.abs(centres).max() + radius_m > hole_m * (1 + _SLACK):
        raise ValueError("a wire is not inside the hole", tuple(centres))

"""Admittance of each kind of element, for all frequencies and all copies at once.

A law takes its parameters by name as arrays of shape (copies, 1) or (elements, copies, 1), the angular frequency as
(points,), and the complex permeability mu' - j mu'' as (points,) where it has a core. It gives arrays of shape (copies,
points) or (elements, copies, points): the admittance in siemens, or Y11, Y12 and Y22 of two windings.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M
from boardgen.handbook.coplanar import Crowding, strip_resistance_ratio
from boardgen.handbook.eddy_currents import alternating_resistance_ratio

Array = npt.NDArray[Any]
Values = Mapping[str, Array]
Law = Callable[[Values, Array, Array | None], tuple[Array, ...]]


def resistor(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """1/R."""
    return (1 / values["resistance"] + 0j * omega,)


def capacitance(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """A stray without loss, j w C."""
    return (1j * omega * values["capacitance"],)


def between_starts(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """The share of an interwinding capacitance that lies between the starts, j w C s."""
    return (1j * omega * (values["interwinding capacitance"] * values["split"]),)


def between_ends(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """The share between the ends, j w C (1 - s)."""
    return (1j * omega * (values["interwinding capacitance"] * (1 - values["split"])),)


def capacitor(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """Written as j w C / (1 + j w C (R + j w L)), which stays finite however small the frequency."""
    susceptance = 1j * omega * values["capacitance"]
    series = values["series resistance"] + 1j * omega * values["series inductance"]
    return (susceptance / (1 + susceptance * series),)


def conductor(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """1/(R + j w L): a closed contact or a link."""
    return (1 / (values["resistance"] + 1j * omega * values["inductance"]),)


def contact_and_tracks(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """1/(R + Rt r + j w L): a closed contact with the tracks behind it, whose resistance rises with frequency."""
    crowding = Crowding(values["crowding"], values["crowding reach"])
    ratio = strip_resistance_ratio(values["track thickness"], crowding, omega / (2 * np.pi))
    ohm = values["resistance"] + values["track resistance"] * ratio
    return (1 / (ohm + 1j * omega * values["inductance"]),)


def choke(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """(R + j w L) || C || Q w L, with C from the nominal inductance and the self resonance."""
    reactance = omega * values["inductance"]
    coil = 1 / (values["dc resistance"] + 1j * reactance)
    return (coil + 1j * omega * values["parallel capacitance"] + 1 / choke_loss_ohm(values["quality"], reactance),)


def choke_loss_ohm(quality: Array, reactance: Array) -> Array:
    """What lies in parallel with the reactance of a coil of that quality, Q w L."""
    lost: Array = quality * reactance
    return lost


def transformer(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """Two windings on a core whose permeability is `mu`: Zm = j w mu0 S N1^2 mu behind leakage and resistance.

    The resistance of the wire rises with frequency.
    """
    n1, n2 = values["first turns"], values["second turns"]
    core = MAGNETIC_CONSTANT_H_PER_M * values["path constant"] * values["permeability scale"] * n1 * n1
    magnetising = 1j * omega * core * (1.0 if mu is None else mu)
    radius, frequency = values["wire radius"], omega / (2 * np.pi)
    first, second = (
        values[f"{winding} resistance"]
        * alternating_resistance_ratio(radius, values[f"{winding} proximity"], frequency)
        + 1j * omega * values[f"{winding} leakage"]
        for winding in ("first", "second")
    )
    return coupled(magnetising, first, second, n2 / n1)


def bifilar(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """Two equal windings: Zm = j w L || C || Q w L behind half the leakage and the resistance of each."""
    reactance = omega * values["inductance"]
    across = 1 / (1j * reactance) + 1j * omega * values["parallel capacitance"]
    across = across + 1 / choke_loss_ohm(values["quality"], reactance)
    each = values["dc resistance"] + 0.5j * omega * values["leakage inductance"]
    return coupled(1 / across, each, each, np.ones_like(values["dc resistance"]))


def coupled(magnetising: Array, first: Array, second: Array, ratio: Array) -> tuple[Array, ...]:
    """Y11, Y12, Y22 of a magnetising branch seen from the first winding, with both series impedances.

    Z11 Z22 - Z12^2 is never formed: it cancels as the coupling nears one.
    """
    other = ratio * ratio * magnetising
    determinant = first * second + first * other + second * magnetising
    inverse = 1 / determinant
    return (second + other) * inverse, -ratio * magnetising * inverse, (first + magnetising) * inverse


def measured(values: Values, omega: Array, mu: Array | None) -> tuple[Array, ...]:
    """1/Z of a measured curve, which stands in the place of the permeability."""
    return (1 / (values["scale"] * mu),)


def constants(law: str, values: Values) -> tuple[Array, Array] | None:
    """Conductance in siemens and capacitance in farads of a law in CONSTANT, in the shape of its values; else None."""
    if law == "resistor":
        return 1 / values["resistance"], np.zeros_like(values["resistance"])
    if law == "capacitance":
        farads = values["capacitance"]
    elif law in ("starts", "ends"):
        split = values["split"]
        farads = values["interwinding capacitance"] * (split if law == "starts" else 1 - split)
    else:
        return None
    return np.zeros_like(farads), farads


CONSTANT: Final = frozenset({"resistor", "capacitance", "starts", "ends"})
"""Laws that are a conductance or a capacitance and nothing else: these are summed before use."""
LAWS: Final[Mapping[str, Law]] = {
    "resistor": resistor,
    "capacitance": capacitance,
    "starts": between_starts,
    "ends": between_ends,
    "capacitor": capacitor,
    "conductor": conductor,
    "contact and tracks": contact_and_tracks,
    "choke": choke,
    "transformer": transformer,
    "bifilar": bifilar,
    "measured": measured,
}

"""What a network is made of. Volts, amperes and ohms throughout."""

from __future__ import annotations

import math

from msgspec import Struct

OPEN = math.inf
"""Resistance of what is not joined."""


class Resistor(Struct, frozen=True):
    """A resistance from `a` to `b`: 0 makes one point of the two, `OPEN` leaves them apart."""

    name: str
    a: str
    b: str
    ohm: float

    @property
    def ends(self) -> tuple[str, str]:
        """Both points."""
        return self.a, self.b


class VoltageSource(Struct, frozen=True):
    """Holds `plus` at `volt` above `minus`, whatever the current."""

    name: str
    plus: str
    minus: str
    volt: float

    @property
    def ends(self) -> tuple[str, str]:
        """Both points."""
        return self.plus, self.minus


class CurrentSource(Struct, frozen=True):
    """Takes `ampere` from `a` and gives it to `b`, whatever the voltage: a load that draws a known current."""

    name: str
    a: str
    b: str
    ampere: float

    @property
    def ends(self) -> tuple[str, str]:
        """Both points."""
        return self.a, self.b


class Curve(Struct, frozen=True):
    """A part whose current from `a` to `b` follows straight lines through `points`, (volt, ampere) each.

    Both rise from point to point; beyond the ends the outer lines go on. A diode is a curve from anode to cathode.
    """

    name: str
    a: str
    b: str
    points: tuple[tuple[float, float], ...]

    @property
    def ends(self) -> tuple[str, str]:
        """Both points."""
        return self.a, self.b


Element = Resistor | VoltageSource | CurrentSource | Curve


def switch(name: str, a: str, b: str, *, closed: bool, ohm: float = 0.0) -> Resistor:
    """A contact: `ohm` where it is closed, open otherwise."""
    return Resistor(name, a, b, ohm if closed else OPEN)

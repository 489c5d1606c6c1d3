"""The control cable at direct current: resistance of its conductors, feed currents, and the voltage left at a coil.

Rule: Ohm's law over the whole cable at the hottest, with the resistance that data cable may have at most.
Source: textbook; the limit of 24 AWG data cable is in handbook/data_cable.py.
"""

from __future__ import annotations

from msgspec import Struct

from boardgen.handbook import data_cable, wire
from boardgen.request import Request
from boardgen.spec.cable import Conductor

SOURCE = "Ohm's law over the whole cable; conductor limit of 24 AWG data cable, ANSI/TIA/EIA-568"


def ohm_per_m(conductor: Conductor) -> float:
    """Resistance of a conductor at 20 degC, ohm per metre.

    A stated one is taken as it is; one from a gauge or an area gets the allowance of data cable.
    """
    if conductor.ohm_per_m_20c is not None:
        return conductor.ohm_per_m_20c
    if conductor.gauge is not None:
        return wire.awg_resistance_ohm_per_m(conductor.gauge) * data_cable.LIMIT_ALLOWANCE
    if conductor.area_m2 is None:
        raise ValueError("a conductor needs a resistance, a gauge or an area", conductor.text)
    return wire.resistance_ohm_per_m(conductor.area_m2) * data_cable.LIMIT_ALLOWANCE


class Currents(Struct, frozen=True):
    """Feed currents of one selection state, in amperes: on the selected line itself, and in all through 0V."""

    on_line: float
    through_0v: float


class Loop(Struct, frozen=True):
    """The DC loop of one line that works relays, per metre of cable so that its length stays free.

    `out` and `back` are ohm per metre of what carries the coil's current there and back; `shared` is ohm per metre of
    0V, through which feeds return as well (0 where the coil does not use 0V); `common` is ohm per metre of the
    conductor that it has in common with the coils of other lines: 0V, or the coil supply.
    `coil_ohm` is that of all coils on the line together. `drop_v` is what diodes take.
    """

    out: float
    back: float
    shared: float
    coil_ohm: float
    drop_v: float
    common: float = 0.0

    def coil_v(
        self, supply_v: float, length_m: float, currents: Currents, lamp_a: float = 0.0, others_a: float = 0.0
    ) -> float:
        """Voltage at the coil.

        Parameters
        ----------
        supply_v, length_m
            At the source, and of the cable.
        currents
            Of the feeds meanwhile.
        lamp_a
            What an indicator beside the coil draws, amperes.
        others_a
            What the coils of other lines draw from the common conductor, amperes.

        """
        out, back, shared = (r * length_m for r in (self.out, self.back, self.shared))
        free = supply_v - self.drop_v - (currents.on_line + lamp_a) * out - lamp_a * back - currents.through_0v * shared
        free -= others_a * self.common * length_m
        return free / (1 + (out + back) / self.coil_ohm)

    def longest_m(
        self, supply_v: float, needed_v: float, currents: Currents, lamp_a: float = 0.0, others_a: float = 0.0
    ) -> float:
        """The cable length in metres at which the coil is left with just `needed_v`; 0 where even none is too long.

        The other parameters are those of `coil_v`.
        """
        room = supply_v - self.drop_v - needed_v
        per_metre = (
            (currents.on_line + lamp_a) * self.out
            + lamp_a * self.back
            + currents.through_0v * self.shared
            + others_a * self.common
            + needed_v * (self.out + self.back) / self.coil_ohm
        )
        return max(0.0, room / per_metre)


def hot_ohm_per_m(request: Request) -> float:
    """Resistance of one conductor at the hottest, ohm per metre."""
    control = request.spec.control
    return data_cable.at_temperature(ohm_per_m(control.cable), control.hottest)


def feed_currents(request: Request) -> dict[str, Currents]:
    """Feed currents by selected antenna: every feed that can be on while that antenna is selected."""
    following = request.spec.switching.feed_lines == "with selection"
    fitted = [s for s in request.strips if s.feed and s.fitted]
    always = sum(s.feed.current for s in fitted if s.feed and (s.is_output or not following))
    states = {}
    for strip in request.antennas:
        own = strip.feed.current if strip.feed and following else 0.0
        states[strip.label] = Currents(own, always + own)
    return states

"""The closed table of roles that a choice can play: its unit and what it means."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple


class Role(NamedTuple):
    """Unit of the numbers of a choice in this role, and what is chosen."""

    unit: str
    meaning: str


RoleName = Literal[
    "turns",
    "port turns",
    "winding inductance",
    "winding reactance",
    "winding loss resistance",
    "leakage reactance",
    "compensation capacitor",
    "compensated return loss",
    "ratio return loss",
    "winding wire",
    "wire length",
    "choke",
    "choke impedance",
    "common-mode impedance",
    "blocking capacitor",
    "rail capacitor",
    "bypass capacitor",
    "capacitor voltage",
    "termination",
    "bleeder",
    "resistance",
    "attenuation",
    "attenuator return loss",
    "surge tube",
    "earth tube",
    "line suppressor",
    "flyback diode",
    "series diode",
    "indicator",
    "relay",
    "relay voltage",
    "control loop resistance",
    "longest cable",
    "feed voltage",
    "highest feed voltage",
    "conductors",
    "feed fuse",
    "cable fuse",
    "dissipation",
    "direct current",
    "track width",
    "clearance",
]
"""The roles; a name that is not among them is a type error."""

ROLES: Mapping[RoleName, Role] = {
    "turns": Role("1", "turns of the winding on the board's own side, through both holes"),
    "port turns": Role("1", "turns of the winding on the port's side"),
    "winding inductance": Role("H", "inductance of the board's own winding at the lowest frequency, lowest core"),
    "winding reactance": Role("ohm", "parallel reactance of the board's own winding, worst in the band"),
    "winding loss resistance": Role("ohm", "parallel loss resistance of that winding, worst in the band"),
    "leakage reactance": Role("ohm", "series reactance of the leakage at the top of the band"),
    "compensation capacitor": Role("F", "capacitor across the pair at one end of a transformer, against its leakage"),
    "compensated return loss": Role("dB", "return loss that leakage leaves at the top, worst of its range"),
    "ratio return loss": Role("dB", "return loss that the turns ratio alone would give"),
    "winding wire": Role("m", "diameter of the winding wire with its enamel; required is what still fits the holes"),
    "wire length": Role("m", "wire of one winding with its leads"),
    "choke": Role(
        "H", "inductance of a feed choke; achieved is its worst impedance at the lowest frequency as henries"
    ),
    "choke impedance": Role("ohm", "least impedance of a feed choke anywhere in the band"),
    "common-mode impedance": Role(
        "ohm", "least impedance of the chokes in the path from braid to 0V, as far as targeted"
    ),
    "blocking capacitor": Role("F", "capacitor in series with the signal that blocks the feed"),
    "rail capacitor": Role("F", "capacitance from a feed rail to its return"),
    "bypass capacitor": Role("F", "capacitor from a relay coil's pin to 0V"),
    "capacitor voltage": Role("V", "rated voltage of a capacitor"),
    "termination": Role("ohm", "resistance between the conductors of an idle antenna"),
    "bleeder": Role("ohm", "resistor that carries static charge away"),
    "resistance": Role("ohm", "a resistor that a stage sizes for itself"),
    "attenuation": Role("dB", "loss of one step of the attenuator, by its resistors"),
    "attenuator return loss": Role("dB", "least return loss of one step by its resistors, worst of their tolerances"),
    "surge tube": Role("V", "lowest spark-over of a tube at a port"),
    "earth tube": Role("V", "lowest spark-over of the tube from earth to 0V"),
    "line suppressor": Role("V", "stand-off voltage of the suppressor on a control or feed line"),
    "flyback diode": Role("A", "rated current of the diode across a coil"),
    "series diode": Role("V", "reverse voltage of the diode that guards against a reversed line"),
    "indicator": Role("ohm", "resistor in series with an indicator"),
    "relay": Role("V", "highest voltage at the coil against the highest it may bear"),
    "relay voltage": Role("V", "lowest voltage at the coil, worst selection state, against must-operate there"),
    "control loop resistance": Role("ohm", "select conductor out and 0V back at the hottest"),
    "longest cable": Role("m", "greatest cable length at which everything still works"),
    "feed voltage": Role("V", "lowest voltage of a feed at its port"),
    "highest feed voltage": Role("V", "highest voltage of a feed at its port against what equipment takes"),
    "conductors": Role("1", "conductors of the control cable"),
    "feed fuse": Role("A", "hold current of the resettable fuse of a feed, at the hottest"),
    "cable fuse": Role("A", "fuse at the source end that protects the control cable"),
    "dissipation": Role("W", "most heat in a part against what it is rated for at the hottest"),
    "direct current": Role("A", "most direct current through a part against what it is rated for"),
    "track width": Role("m", "width of a copper track"),
    "clearance": Role("m", "distance between copper of different nets"),
}

"""What a bridge reads of a wound core before it is soldered in, and what it reads of a winding that runs backwards.

Inductances are A_L N^2 at low frequency, and jw mu0 S N^2 (mu' - j mu'') at the lowest of the band, as a coil with its
loss in series and in parallel. Source: handbook/winding.py; limits are the material's spread.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from boardgen.circuit.windings import inductance_factor, with_spread
from boardgen.handbook import winding
from boardgen.kinds.core import REVERSED, TURN_SHORT
from boardgen.model.choices import Choices
from boardgen.model.figure import Figure
from boardgen.model.netlist import Component
from boardgen.model.transformer import PRIMARY, SECONDARY, Mistake, same_sense
from boardgen.request import Request

TEST_HZ = 10e3
"""Hand-held bridges measure here, and permeability is still what it is at low frequency: common practice, no source."""


class BridgeReading(Struct, frozen=True):
    """A figure with its range, in henries or farads, and how it is read.

    `joined` are ends joined for it, `tips` those the bridge is at, by role, None for one reading over another, whose
    unit is "1"; `connection` is which of a bridge's two readings it is, "" where both are alike. `mistake` is one that
    the reading tells, and what it then is.
    """

    name: str
    figure: Figure
    at_hz: float
    tips: tuple[str, str] | None
    joined: tuple[tuple[str, str], ...] = ()
    connection: str = ""
    mistake: tuple[Mistake, float] | None = None
    key: str = ""


def bridge_readings(request: Request, choices: Choices, component: Component) -> tuple[BridgeReading, ...]:
    """All that is measured of that transformer, in order."""
    at = component.subject
    port, board = (choices.choice(role, at).chosen for role in ("port turns", "turns"))
    wound, lowest = choices.windings[at], request.spec.band.lowest
    factor = inductance_factor(component.part, request.catalogue.permeability)
    leakage = wound.leakage.value
    # what ends are joined so that both windings add
    near, far = SECONDARY if same_sense() else SECONDARY[::-1]
    series = BridgeReading(
        "both in series",
        _times(factor, (port + board) ** 2),
        TEST_HZ,
        (PRIMARY[0], far),
        ((PRIMARY[1], near),),
        mistake=(REVERSED, factor.value * (port - board) ** 2 + leakage),
    )
    return (
        BridgeReading("port winding", _times(factor, port**2), TEST_HZ, PRIMARY, key="port_winding_inductance"),
        BridgeReading("board winding", _times(factor, board**2), TEST_HZ, SECONDARY),
        BridgeReading(
            "port winding over board winding",
            Figure((port / board) ** 2, "1", "computed", "both on one core"),
            TEST_HZ,
            None,
            mistake=(TURN_SHORT, ((port - 1) / board) ** 2),
        ),
        series,
        *_at_radio_frequency(request, component, port, lowest),
        BridgeReading("leakage: port winding shorted", wound.leakage, lowest, SECONDARY, (PRIMARY,), key="leakage"),
        BridgeReading(
            "capacitance between the windings",
            wound.interwinding,
            lowest,
            (PRIMARY[0], SECONDARY[0]),
            (PRIMARY, SECONDARY),
            key="interwinding_capacitance",
        ),
    )


def _at_radio_frequency(request: Request, component: Component, turns: float, at_hz: float) -> Iterator[BridgeReading]:
    """The port winding as a bridge shows it where the core has loss; nothing where the core is no coil any more."""
    table = request.catalogue.permeability[component.part.attributes["material"]]
    path = component.part.figures["path constant"]
    ohm = winding.impedance(at_hz, path.value, turns, table.at(at_hz))
    if ohm.imag <= 0:
        return
    _, parallel_ohm = winding.parallel_equivalents(ohm)
    for connection, reactance in (("series", ohm.imag), ("parallel", parallel_ohm)):
        henry = Figure(reactance / (2 * math.pi * at_hz), "H", path.standing, table.source)
        figure = with_spread(component.part, henry)
        yield BridgeReading("port winding", figure, at_hz, PRIMARY, connection=connection)


def _times(figure: Figure, factor: float) -> Figure:
    return Figure(
        figure.value * factor,
        figure.unit,
        figure.standing,
        figure.source,
        figure.least * factor,
        figure.most * factor,
    )

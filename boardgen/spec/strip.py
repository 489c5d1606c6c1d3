"""One strip of the board for each port, with its settings worked out from the defaults."""

from __future__ import annotations

from typing import TypeVar

from msgspec import Struct

from boardgen.spec.keys import Antenna, Connector, Idle, Spec
from boardgen.spec.label import ascii_name
from boardgen.spec.values import Feed

Setting = TypeVar("Setting")


class Strip(Struct, frozen=True):
    """A port of the board with everything that was asked for there.

    `label` is the user's spelling, `name` its ASCII form for nets and files. `number` counts antennas from 1 and is 0
    for the output, whose `idle` is None. `impedance` in ohm, `feed` in V and A or None.
    `rest` marks the port that is through while nothing is energised.
    """

    label: str
    name: str
    number: int
    is_output: bool
    impedance: float
    feed: Feed | None
    idle: Idle | None
    braid_breaker: bool
    surge: bool
    connector: Connector
    fitted: bool
    rest: bool = False
    split_termination: bool = False


def strips(spec: Spec) -> tuple[Strip, ...]:
    """The strips of a board: the antennas in their order, the output last. A port's own key wins over a default."""
    antennas = (_of_antenna(spec, antenna, number) for number, antenna in enumerate(spec.antenna, 1))
    return (*antennas, _of_output(spec))


def _of_antenna(spec: Spec, antenna: Antenna, number: int) -> Strip:
    idle = _own(antenna.idle, "open" if spec.switching.rest else spec.switching.idle)
    braid_breaker = _own(antenna.braid_breaker, spec.switching.braid_breakers in ("all", "antennas"))
    return Strip(
        label=antenna.label,
        name=ascii_name(antenna.label, number),
        number=number,
        is_output=False,
        impedance=_own(antenna.impedance, spec.band.impedance),
        feed=antenna.feed,
        idle=idle,
        braid_breaker=braid_breaker,
        surge=_own(antenna.surge, spec.protection.surge),
        connector=antenna.connector,
        fitted=antenna.fitted,
        rest=antenna.label == spec.switching.rest,
        split_termination=idle == "terminated" and braid_breaker and spec.switching.termination == "split",
    )


def _of_output(spec: Spec) -> Strip:
    return Strip(
        label="output",
        name="output",
        number=0,
        is_output=True,
        impedance=_own(spec.output.impedance, spec.band.impedance),
        feed=spec.output.feed,
        idle=None,
        braid_breaker=_own(spec.output.braid_breaker, spec.switching.braid_breakers in ("all", "output")),
        surge=spec.protection.surge,
        connector=spec.output.connector,
        fitted=True,
    )


def _own(own: Setting | None, default: Setting) -> Setting:
    return default if own is None else own

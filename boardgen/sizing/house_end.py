"""The entry panel at the house: a gas tube for the main coax, suppressors for the lines, an earth bar, a disconnect.

Rule: each line of the control cable has the suppressor that the board's own rule takes, to 0V; one gas tube leads from
0V to the earth bar. Source: common practice, no source. Sizes of earth wires and electrodes are the local code's alone.
"""

from __future__ import annotations

import math
from typing import Final

from boardgen.model.extra import Extra
from boardgen.model.part import Part
from boardgen.request import Request
from boardgen.sizing.surge import SPARK_RATIO, earth_tube, line_suppressor
from boardgen.spec.strip import Strip
from boardgen.stages.line_nets import Line
from boardgen.stages.lines import lines

SHIELD_IMPEDANCE_OHM: Final = 60.0
"""Below this a port is taken for 50 ohm practice with BNC, above it for 75 ohm practice with F."""
WAYS: Final = 4
"""Of one plug-in terminal block."""
SHARED: Final = ("hardware-house-panel", "hardware-earth-bar")
"""Keys of what one house has once, however many boxes lead into it."""


def family(strip: Strip) -> str:
    """F or BNC at a port."""
    if strip.connector != "pigtail":
        return strip.connector
    return "BNC" if strip.impedance < SHIELD_IMPEDANCE_OHM else "F"


def guarded(request: Request) -> tuple[Line, ...]:
    """The lines of the control cable that have a suppressor at the panel: all that are fitted but 0V."""
    return tuple(line for line in lines(request) if line.kind != "0V" and line.fitted)


def suppressor(request: Request) -> Part:
    """What stands from each line to 0V."""
    return line_suppressor(request).parts[0]


def tube(request: Request) -> Part:
    """What stands from 0V to the earth bar. Raises InputError as sizing of the earth tube does."""
    return earth_tube(request).parts[0]


def least_spark_v(request: Request) -> float | None:
    """Below this no tube on the main coax may fire, volts; None where the coax is not fed."""
    feed = request.output.feed
    return SPARK_RATIO * max(feed.voltage, request.spec.control.supply.high) if feed else None


def house_end(request: Request) -> tuple[Extra, ...]:
    """What is bought for the panel; earth wires are not, for their size is the local code's."""
    catalogue, count = request.catalogue, len(guarded(request))
    blocks = math.ceil((count + request.spec.control.returns) / WAYS)
    panel, bar = (catalogue.part(key) for key in SHARED)
    return (
        Extra(panel, 1, spare=False, note="house end: one for all cables of a house"),
        Extra(bar, 1, spare=False, note="house end: one for all cables of a house"),
        Extra(_protector(request), 1, spare=False, note="house end: main coax"),
        Extra(suppressor(request), count, spare=True, note="house end: one a line, to 0V"),
        Extra(tube(request), 1, spare=True, note="house end: from 0V to the earth bar"),
        Extra(catalogue.part("hardware-plug-in-terminal"), blocks, spare=False, note="house end: control cable"),
        Extra(catalogue.part("hardware-gland-m16"), request.spec.control.cables, spare=False, note="house end"),
    )


def _protector(request: Request) -> Part:
    return request.catalogue.part(f"hardware-coax-protector-{family(request.output).lower()}")

"""The sketches of all stages of the signal path, by the name of the stage."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from boardgen.model.cell import Pair
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.stages.braid_breaker.symbol import symbol as braid_breaker
from boardgen.stages.bus.symbol import symbol as bus
from boardgen.stages.changeover.symbol import symbol as changeover
from boardgen.stages.feed.symbol import symbol as feed
from boardgen.stages.pen import Pen
from boardgen.stages.port.symbol import symbol as port
from boardgen.stages.selector.symbol import symbol as selector
from boardgen.stages.surge.symbol import symbol as surge

MakeSketch = Callable[[tuple[Component, ...], Pen, Pair], Sketch]

SIGNAL: Mapping[str, MakeSketch] = {
    "port": port,
    "surge": surge,
    "feed": feed,
    "braid breaker": braid_breaker,
    "selector": selector,
    "changeover": changeover,
    "bus": bus,
}
"""From the port inward."""

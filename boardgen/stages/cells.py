"""The cells of all stages, by the name of the stage."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from boardgen.model.cell import Cell, Joins, Pair
from boardgen.model.netlist import Component
from boardgen.stages.braid_breaker.cell import cell as braid_breaker
from boardgen.stages.bus.cell import cell as bus
from boardgen.stages.changeover.cell import cell as changeover
from boardgen.stages.control_entry.cell import edge, guards
from boardgen.stages.earth.cell import cell as earth
from boardgen.stages.feed.cell import cell as feed
from boardgen.stages.port.cell import cell as port
from boardgen.stages.selector.cell import cell as selector
from boardgen.stages.surge.cell import cell as surge

MakeCell = Callable[[tuple[Component, ...], Joins, Pair], Cell]

CELLS: Mapping[str, MakeCell] = {
    "port": port,
    "surge": surge,
    "feed": feed,
    "braid breaker": braid_breaker,
    "selector": selector,
    "changeover": changeover,
    "bus": bus,
    "earth": earth,
    "guards": guards,
    "entry": edge,
}

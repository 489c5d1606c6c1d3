"""Whether the prediction knows of every part of the board."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from boardgen.kinds import kind_of
from boardgen.kinds.kind import NOT_SAID, Without
from boardgen.model.netlist import Netlist
from boardgen.model.problem import Place, Problem
from boardgen.rf.network import Network
from boardgen.rf_network.element import GROUND


def unmodelled(netlist: Netlist, network: Network, held: Collection[str]) -> Iterator[Problem]:
    """A fault for every fitted part without an element in the network, unless its kind says why it has none.

    Parts all of whose pins are on one net, or on nets that their source holds, have nothing to add.
    """
    known = {element.ref for element in network.elements}
    for component in netlist.components:
        law = kind_of(component.part).radio
        nodes = {GROUND if net in held else net for net in netlist.joins[component.ref].values()}
        silent = law is NOT_SAID if isinstance(law, Without) else component.ref not in known and len(nodes) > 1
        if component.fitted and silent:
            found = f"the prediction knows nothing of {component.ref}, a {component.part.kind}"
            wanted = f"wanted is a law for radio frequencies in boardgen/kinds, or why a {component.part.kind} has none"
            yield Problem("R006 modelled", "shortfall", Place(key=component.ref), found, wanted)

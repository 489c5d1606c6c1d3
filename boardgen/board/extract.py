"""Which pieces of copper are joined, found from their geometry alone, and what that says against the netlist."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from boardgen.board.fault import at, fault
from boardgen.board.solids import Solids
from boardgen.model.copper import PlacedPad
from boardgen.model.netlist import Netlist
from boardgen.model.problem import Problem

Pin = tuple[str, str]


def groups(count: int, one: NDArray[np.int64], two: NDArray[np.int64]) -> NDArray[np.int64]:
    """The group of each piece, joined by pairs that touch; a group is numbered by its first piece."""
    group = np.arange(count)
    while True:
        joined = group.copy()
        # the lower number goes to the other piece's group and, through it, to all that belong there
        np.minimum.at(joined, group[one], group[two])
        np.minimum.at(joined, group[two], group[one])
        joined = joined[joined]
        if (joined == group).all():
            return group
        group = joined


def wanted(netlist: Netlist) -> dict[Pin, str]:
    """The net of every pin that the netlist joins."""
    return {(node.ref, node.pad): net.name for net in netlist.nets for node in net.nodes}


def compare(
    solids: Solids,
    pads: tuple[PlacedPad, ...],
    group: NDArray[np.int64],
    nets: Mapping[Pin, str],
) -> list[Problem]:
    """Pins that are missing, nets open or joined, copper without a pin. Labels on the copper play no part."""
    member: dict[int, list[int]] = {}
    for piece, root in enumerate(group.tolist()):
        member.setdefault(root, []).append(piece)
    pin_of = solids.pin.tolist()
    found: list[Problem] = []
    where: dict[str, dict[int, int]] = {}
    present: Counter[Pin] = Counter()
    for root, pieces in member.items():
        pins = [pin_of[piece] for piece in pieces if pin_of[piece] >= 0]
        if not pins:
            place = solids.place(pieces[0])
            kind = solids.what[pieces[0]]
            found.append(fault("B104 loose copper", place, f"a {kind} is joined to no pin"))
            continue
        names: dict[str, int] = {}
        for pin in pins:
            key = (pads[pin].ref, pads[pin].number)
            present[key] += 1
            name = nets.get(key, f"free pin {key[0]}-{key[1]}")
            names.setdefault(name, pin)
            where.setdefault(name, {})[root] = pin
        if len(names) > 1:
            listed = " and ".join(sorted(names))
            place = at(pads[next(iter(names.values()))])
            found.append(
                fault("B102 nets joined", place, f"{listed} are one piece of copper", "they are different nets")
            )
    for name, roots in where.items():
        if len(roots) > 1:
            ends = [pads[pin] for pin in roots.values()]
            listed = ", ".join(f"{pad.ref}-{pad.number}" for pad in ends)
            found.append(fault("B101 net open", at(ends[1]), f"{name} is in {len(roots)} pieces, at {listed}"))
    found += [
        fault("B103 pin missing", (0.0, 0.0), f"{ref}-{pad} has no land", "every pin of the netlist needs one")
        for ref, pad in nets
        if not present[ref, pad]
    ]
    return found

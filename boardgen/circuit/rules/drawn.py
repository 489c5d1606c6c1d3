"""Whether the schematic shows the whole board."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.circuit.sketches import drawn_refs
from boardgen.kinds import kind_of
from boardgen.model.netlist import Netlist
from boardgen.request import Request


def every_part_is_drawn(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """Each part of the netlist has a symbol of its kind in the sketch of its stage."""
    try:
        drawn = drawn_refs(netlist)
    except (LookupError, ValueError):
        yield (
            "schematic",
            "it cannot be drawn: a part is missing, or a pin is on another net than its stage draws it at",
        )
        return
    for component in netlist.components:
        if not kind_of(component.part).symbols:
            yield component.ref, f"{component.ref} is drawn as a plain box: a {component.part.kind} has no symbol"
        if component.ref not in drawn:
            place = f"{component.subject.stage} {component.subject.place}".strip()
            yield component.ref, f"{component.ref} ({place}) is missing from the schematic: its stage does not draw it"

"""Where the 0V copper between the tracks is not to be."""

from __future__ import annotations

import shapely
from msgspec.structs import replace

from boardgen.board.layout import lay_out
from boardgen.model.netlist import Component
from tests.board.boards import CATALOGUE, made

OWN = "two-hole block of our own drawing"


def test_no_pour_beneath_a_core_whatever_its_footprint_is_called() -> None:
    """The same patterns under another key, as a user's own drawing has it."""
    _, netlist, rules = made({"feed": "none"}, 1, pour=False)

    def renamed(component: Component) -> Component:
        if component.part.kind != "core":
            return component
        return replace(component, part=replace(component.part, footprint=f"{OWN} {component.part.footprint}"))

    components = tuple(map(renamed, netlist.components))
    keys = {one.part.footprint: new.part.footprint for one, new in zip(netlist.components, components, strict=True)}
    own = {new: replace(CATALOGUE.footprints[key], key=new) for key, new in keys.items()}
    board = lay_out(replace(netlist, components=components), own, rules).board
    poured = [shapely.Polygon(region.outline, region.clear) for region in board.regions]
    cores = [shapely.box(*part.body) for part in board.parts if part.kind == "core"]
    assert poured
    assert cores
    # the pour of the next cell may come by a hair under a body that reaches the edge of its own
    for core in cores:
        assert shapely.area(shapely.intersection(poured, core)).sum() < 1e-3 * core.area

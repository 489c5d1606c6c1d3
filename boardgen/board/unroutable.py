"""What cannot be laid out whatever the arrangement, each with what to choose instead."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping

from boardgen.board.port_cell import ACROSS, is_pair_in_line
from boardgen.board.rules import MOST_CLEARANCE_NM, VIA_HOLE_NM, VIA_PAD_NM, Rules
from boardgen.kinds import kind_of
from boardgen.model.netlist import Component, Netlist
from boardgen.model.part import Footprint
from boardgen.model.problem import Place, Problem

EDGE_NM, HOLE_EDGE_NM = 550_000, 1_100_000
"""From the pads and the surge copper of a port, and from their holes, to the edge of the board."""
HOUSE = "Take a house for which that is enough, in limits/board_houses.toml of your own parts folder (--parts)"
"""What to do about a limit that no layout keeps."""


def unroutable(netlist: Netlist, footprints: Mapping[str, Footprint], rules: Rules) -> list[Problem]:
    """Parts without a footprint; else limits of the house, tubes and ports that no layout suits."""
    unknown = _unknown_footprints(netlist, footprints)
    if unknown:
        return unknown
    found = [*_house(rules)]
    if rules.surge_clearance_nm:
        of_part = {(c.subject.stage, c.part.key): c for c in netlist.components if c.subject.stage in ("port", "surge")}
        for (stage, _), component in of_part.items():
            footprint = footprints[component.part.footprint]
            found += _port(component, footprint) if stage == "port" else _tube(component, footprint, rules)
    return found


def _unknown_footprints(netlist: Netlist, footprints: Mapping[str, Footprint]) -> list[Problem]:
    """A sentence for every part whose hole pattern is not known; nothing is guessed."""
    found: dict[str, Problem] = {}
    for component in netlist.components:
        part = component.part
        footprint = footprints.get(part.footprint)
        want = "supply the pattern in a [[footprint]] of your own parts folder (--parts), from the maker's drawing"
        name = part.footprint or "a footprint"
        text = ""
        if footprint is None:
            text = f"{part.maker} {part.number}: {name} is not in the catalogue"
        elif footprint.gap:
            text = f"{part.maker} {part.number}: {name} has no hole pattern"
        elif any(pad.hole_nm is None for pad in footprint.pads):
            text = f"{part.maker} {part.number}: {name} has no hole size, since the lead is not known"
            want = "supply lead_mm or hole_mm for it in a parts folder of your own (--parts), from the maker's drawing"
        elif unknown := set(part.pins.values()) - {pad.number for pad in footprint.pads}:
            text = f"{part.maker} {part.number}: {name} lacks pad {', '.join(sorted(unknown))}"
        if text:
            instead = kind_of(part).instead
            want = f"{want}; parts/README.md shows how{instead and f'. {instead}'}"
            found.setdefault(part.key, Problem("B001 pattern unknown", "error", Place(key=component.ref), text, want))
    return list(found.values())


def _house(rules: Rules) -> Iterator[Problem]:
    house = rules.house
    most = {
        "clearance": MOST_CLEARANCE_NM,
        "ring": (VIA_PAD_NM - VIA_HOLE_NM) // 2,
        "hole_least": VIA_HOLE_NM,
        "copper_to_edge": EDGE_NM,
        "hole_to_edge": HOLE_EDGE_NM,
    }
    for name, drawn in most.items():
        asked = getattr(house, f"{name}_nm")
        if asked > drawn:
            found = f"{house.name} asks for a {name} of {asked * 1e-6:.2f} mm"
            wanted = f"boards are drawn with {drawn * 1e-6:.2f} mm at most"
            yield Problem("B003 board house", "error", Place(key=f"board_house.{name}"), found, wanted, HOUSE)


def _tube(component: Component, footprint: Footprint, rules: Rules) -> Iterator[Problem]:
    """Between surge copper at one pin of three and the pad of the next there must be the clearance of a surge."""
    pads = sorted(footprint.pads, key=lambda pad: pad.x_nm)
    if len(pads) < ACROSS:
        return
    gaps = [b.x_nm - a.x_nm - max(a.width_nm, b.width_nm) / 2 for a, b in itertools.pairwise(pads)]
    gap = min(gaps) - rules.surge_nm / 2
    if gap < rules.surge_clearance_nm:
        part = component.part
        found = f"{part.maker} {part.number}: copper for a surge leaves {gap * 1e-6:.1f} mm between its pins"
        wanted = f"{rules.surge_clearance_nm * 1e-6:.1f} mm are needed for its spark-over"
        hint = "Take a tube of lower spark-over, or one of two electrodes, as surge_tube under [parts]"
        yield Problem("B004 tube pins", "error", Place(key=component.ref), found, wanted, hint)


def _port(component: Component, footprint: Footprint) -> Iterator[Problem]:
    """Copper for a surge starts at two pads as far apart as the pair."""
    if not is_pair_in_line(footprint):
        part = component.part
        found = f"{part.maker} {part.number}: {footprint.key} has other pads than two, 5.08 mm apart in a line"
        wanted = "copper for a surge starts at such pads"
        hint = 'Take connector = "pigtail", and a connector in the wall of the box, or surge = false under [protection]'
        yield Problem("B005 port pads", "error", Place(key=component.ref), found, wanted, hint)

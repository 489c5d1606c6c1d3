"""Writes what stands beside a board of KiCad 6: its project with net classes and rules, the table of libraries.

Source: files of that version (recalled): the project is JSON, the table S-expressions.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

from msgspec import Struct

from boardgen.formats.kicad_footprint import LIBRARY
from boardgen.formats.s_expression import document
from boardgen.model.board_house import BoardHouse

MEANT = ("track_dangling",)
"""What the editor would warn of and is meant: tracks of the bus and of 0V end past their last part."""


class NetClass(Struct, frozen=True):
    """How nets of one class are drawn, in nanometres, and their names."""

    name: str
    width_nm: int
    clearance_nm: int
    nets: tuple[str, ...]


def library_table() -> bytes:
    """The file by which the editor finds the library beside the board."""
    place = [["type", "KiCad"], ["uri", f"${{KIPRJMOD}}/{LIBRARY}.pretty"]]
    entry = ["lib", ["name", LIBRARY], *place, ["options", ""], ["descr", "what this board uses"]]
    return document(["fp_lib_table", entry]).encode()


def limits(house: BoardHouse) -> dict[str, float]:
    """What a board house makes at least, in millimetres, by the names of the format."""
    least_nm = {
        "min_clearance": house.clearance_nm,
        "min_track_width": house.track_nm,
        "min_via_annular_width": house.ring_nm,
        "min_through_hole_diameter": house.hole_least_nm,
        "min_hole_to_hole": house.hole_to_hole_nm,
        "min_copper_edge_clearance": house.copper_to_edge_nm,
    }
    return {key: size / 1e6 for key, size in least_nm.items()}


def project_file(classes: Sequence[NetClass], via_nm: tuple[int, int], house: BoardHouse, name: str) -> bytes:
    """The project of a board.

    Parameters
    ----------
    classes : each class of nets; the first is also that of nets that are added
    via_nm : a via's pad and hole
    house : whose limits are the editor's rules
    name : of the file

    """
    via = {"via_diameter": via_nm[0] / 1e6, "via_drill": via_nm[1] / 1e6}
    drawn = [("Default", classes[0], ()), *((each.name, each, each.nets) for each in classes)]
    settings = {
        "rules": limits(house),
        "rule_severities": dict.fromkeys(MEANT, "ignore"),
    }
    nets = [
        {
            "name": title,
            "clearance": each.clearance_nm / 1e6,
            "track_width": each.width_nm / 1e6,
            **via,
            "nets": members,
        }
        for title, each, members in drawn
    ]
    project = {
        "board": {"design_settings": settings},
        "meta": {"filename": name, "version": 1},
        "net_settings": {"classes": nets, "meta": {"version": 2}},
    }
    return (json.dumps(project, indent=2) + "\n").encode()

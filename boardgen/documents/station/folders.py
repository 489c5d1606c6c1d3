"""Where the boards of a station lie within its folder."""

from __future__ import annotations

from boardgen.design import Design
from boardgen.spec.label import folder_name
from boardgen.station_design import StationDesign

SELECTOR = "selector"


def box_folder(name: str) -> str:
    """The folder of a box within the station's."""
    return f"boxes/{folder_name(name) or 'box'}"


def folders(design: StationDesign) -> dict[str, Design]:
    """Every board of the station by its folder, the selector's last."""
    found = {box_folder(name): board for name, board in design.boxes.items()}
    return found if design.selector is None else {**found, SELECTOR: design.selector}

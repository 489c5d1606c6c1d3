"""Writes the folders of a board and of a station."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from boardgen.design import Design
from boardgen.documents.build_files import build_files
from boardgen.documents.station.files import station_files
from boardgen.documents.station.folders import box_folder
from boardgen.inputs.board import BoardInputs
from boardgen.inputs.digests import digest
from boardgen.inputs.station import StationInputs
from boardgen.model.part import FootprintName
from boardgen.public.folder import Written, written
from boardgen.public.made_with import BOARD, DXF, PDF
from boardgen.station.consistency import GENERATED
from boardgen.station_design import StationDesign


def write_board(
    target: Path,
    design: Design,
    inputs: BoardInputs,
    footprint_names: Mapping[str, FootprintName],
    *,
    pdf: bool = False,
    dxf: bool = False,
) -> Written:
    """Everything that a build writes. Raises InputError where the folder holds somebody's work or cannot be written."""
    files = build_files(design, footprint_names, inputs.date_text, pdf=pdf, dxf=dxf)
    libraries = (*BOARD, *(PDF if pdf else ()), *(DXF if dxf else ()))
    return written(target, files, design.spec.title, design.spec.revision, inputs.manifest, libraries)


def write_station(
    target: Path, design: StationDesign, inputs: StationInputs, footprint_names: Mapping[str, FootprintName]
) -> Written:
    """Everything that a station's folder holds, its boards in folders of their own. Raises InputError as above."""
    files = station_files(design, footprint_names, inputs.date_text)
    origin = {
        "plan": digest(inputs.path, inputs.path.parent),
        "boxes": {box_folder(name): dict(box.manifest) for name, box in inputs.boxes.items()},
        "selector": dict(inputs.selector.manifest) if inputs.selector else GENERATED,
    }
    return written(target, files, design.plan.title, design.plan.revision, origin, BOARD)

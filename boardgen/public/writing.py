"""Writes the folders of a board and of a station."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from msgspec.structs import replace

from boardgen.design import Design
from boardgen.documents.build_files import build_files
from boardgen.documents.named import narrow_holes
from boardgen.documents.station.files import station_files
from boardgen.documents.station.folders import box_folder, folders
from boardgen.inputs.board import BoardInputs
from boardgen.inputs.digests import digest
from boardgen.inputs.station import StationInputs
from boardgen.model.part import FootprintName
from boardgen.model.problem import Problem
from boardgen.model.progress import Tell, tell_nobody
from boardgen.model.tasks import Run, in_turn
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
    done = written(
        target, files, design.spec.title, design.spec.revision, inputs.manifest, libraries, design.rules.house
    )
    return replace(done, problems=(*done.problems, *_narrow_holes(design, footprint_names)))


def write_station(
    target: Path,
    design: StationDesign,
    inputs: StationInputs,
    footprint_names: Mapping[str, FootprintName],
    tell: Tell = tell_nobody,
    run: Run = in_turn,
) -> Written:
    """Everything that a station's folder holds, its boards in folders of their own. Raises InputError as above."""
    files = station_files(design, footprint_names, inputs.date_text, tell, run)
    origin = {
        "plan": digest(inputs.path, inputs.path.parent),
        "boxes": {box_folder(name): dict(box.manifest) for name, box in inputs.boxes.items()},
        "selector": dict(inputs.selector.manifest) if inputs.selector else GENERATED,
    }
    house = next((board.rules.house for board in folders(design).values()), None)
    done = written(target, files, design.plan.title, design.plan.revision, origin, BOARD, house)
    narrow = (each for board in folders(design).values() for each in _narrow_holes(board, footprint_names))
    return replace(done, problems=(*done.problems, *dict.fromkeys(narrow)))


def _narrow_holes(design: Design, footprint_names: Mapping[str, FootprintName]) -> tuple[Problem, ...]:
    board = design.layout.board if design.layout else None
    return narrow_holes(design.netlist, board, design.catalogue.footprints, footprint_names)

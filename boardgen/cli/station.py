"""boardgen station: several boxes worked out and proved together, everything into one folder."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal, told
from boardgen.cli.build import LIBRARIES
from boardgen.cli.described import digest
from boardgen.cli.footprint_names import read_footprint_names
from boardgen.cli.inputs import Inputs
from boardgen.cli.options import Data, Talk
from boardgen.cli.station_inputs import named, of_boxes, read_station
from boardgen.cli.versions import version_of
from boardgen.documents import problems
from boardgen.documents.order_files import PROGRAM
from boardgen.documents.station import summary
from boardgen.documents.station.files import station_files
from boardgen.documents.station.folders import box_folder, folders
from boardgen.formats.manifest import MANIFEST, Origin
from boardgen.formats.output_folder import check_folder, write_folder
from boardgen.model.problem import Problem
from boardgen.spec.label import folder_name
from boardgen.station.consistency import GENERATED
from boardgen.station.load import Loaded
from boardgen.station_design import StationDesign


def run(plan: Path, out: Path, data: Data, talk: Talk) -> int:
    """Works everything out into a folder of `out` and prints the summary; exit 1 where something falls short."""
    with terminal.progress("reading", talk.quiet):
        inputs = read_station(plan, data)
        names = read_footprint_names(data.parts)
    loaded, boxes, design = inputs.loaded, inputs.boxes, inputs.design
    target = out / folder_name(loaded.plan.title)
    check_folder(target)
    with terminal.progress("wiring", talk.quiet):
        _ = design.station
    with terminal.progress("proving", talk.quiet):
        _ = design.proof
    date = next(iter(boxes.values())).date_text
    with terminal.progress("writing", talk.quiet):
        files = station_files(design, names, date)
        left = write_folder(target, files, _origin(plan, loaded, boxes, inputs.selector))
    found = (*inputs.problems, *of_boxes(boxes), *_of_selector(design), *left)
    _tell(design, found, target, sorted([*files, MANIFEST]), talk)
    return told.exit_code(found)


def _of_selector(design: StationDesign) -> list[Problem]:
    return [named("selector", p) for p in design.selector.problems] if design.selector else []


def _origin(plan: Path, loaded: Loaded, boxes: dict[str, Inputs], selector: Inputs | None) -> Origin:
    inputs = {
        "plan": digest(plan, plan.parent),
        "boxes": {box_folder(n): dict(i.manifest) for n, i in boxes.items()},
        "selector": dict(selector.manifest) if selector else GENERATED,
    }
    versions = {name: version_of(name) for name in LIBRARIES}
    return Origin(loaded.plan.title, loaded.plan.revision, inputs, PROGRAM, versions)


def _tell(design: StationDesign, found: tuple[Problem, ...], target: Path, names: list[str], talk: Talk) -> None:
    if talk.json:
        terminal.print_json(summary.document(design, str(target), names) | problems.document(found))
    elif not talk.quiet:
        terminal.print_lines([f"{design.plan.title}, revision {design.plan.revision}", ""])
        terminal.print_pairs(summary.lines(design))
        told.print_found(found)
        own = [name for name in names if "/" not in name]
        told.print_written(str(target), [*own, *(f"{folder}/" for folder in folders(design))])

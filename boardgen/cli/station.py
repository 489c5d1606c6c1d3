"""boardgen station: several boxes worked out and proved together, everything into one folder."""

from __future__ import annotations

from dataclasses import replace
from importlib.metadata import version
from pathlib import Path

from boardgen.catalogue import Catalogue
from boardgen.catalogue import load as load_catalogue
from boardgen.cli import terminal
from boardgen.cli.build import LIBRARIES
from boardgen.cli.described import digest
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.footprint_names import read_footprint_names
from boardgen.cli.inputs import Inputs, read_inputs
from boardgen.cli.options import Data, Override, Talk
from boardgen.documents import problems, station_summary
from boardgen.documents.order_files import PROGRAM
from boardgen.documents.station.folders import box_folder, folders
from boardgen.documents.station_files import station_files
from boardgen.files.manifest import Origin
from boardgen.files.output_folder import check_folder, write_folder
from boardgen.model.problem import InputError, Problem
from boardgen.spec.label import folder_name
from boardgen.spec.load import placed
from boardgen.station.consistency import GENERATED, selector_faults
from boardgen.station.load import Loaded, load_plan
from boardgen.station_design import StationDesign


def run(plan: Path, out: Path, data: Data, talk: Talk) -> int:
    """Works everything out into a folder of `out` and prints the summary; exit 1 where something falls short."""
    with terminal.progress("reading", talk.quiet):
        loaded = load_plan(plan)
        boxes = _boxes(plan, loaded, data)
        names = read_footprint_names(data.parts)
        catalogue = next(iter(boxes.values())).design.catalogue
        selector = _own_selector(plan, loaded, data, catalogue)
    made = {name: inputs.design for name, inputs in boxes.items()}
    design = StationDesign(loaded.plan, made, catalogue, selector.design if selector else None)
    if selector and (faults := selector_faults(loaded.plan, selector.design.spec, design.rest)):
        raise InputError(placed(faults, set(), loaded.text, loaded.file_name))
    target = out / folder_name(loaded.plan.title)
    check_folder(target)
    with terminal.progress("wiring", talk.quiet):
        _ = design.station
    with terminal.progress("proving", talk.quiet):
        _ = design.proof
    date = next(iter(boxes.values())).date_text
    with terminal.progress("writing", talk.quiet):
        files = station_files(design, names, date)
        left = write_folder(target, files, _origin(plan, loaded, boxes, selector))
    found = (*loaded.at_lines(design.problems), *_of_boxes(boxes), *_of_selector(design), *left)
    _tell(design, found, target, sorted([*files, "manifest.json"]), talk)
    return ExitCode.FALLS_SHORT if problems.shortfalls(found) else ExitCode.DONE


def _boxes(plan: Path, loaded: Loaded, data: Data) -> dict[str, Inputs]:
    """Every box with the plan's cables; every fault of them at once."""
    catalogue = load_catalogue(data.parts)
    found: dict[str, Inputs] = {}
    faults: list[Problem] = []
    for box in loaded.plan.box:
        try:
            path = plan.parent / box.spec
            found[box.name] = read_inputs(path, Override(), data, catalogue, whole=True, spec=loaded.specs[box.name])
        except InputError as error:
            faults += error.problems
    if faults:
        raise InputError(faults)
    return found


def _own_selector(plan: Path, loaded: Loaded, data: Data, catalogue: Catalogue) -> Inputs | None:
    """The selector that the plan names; None where it is generated, or one box needs none."""
    named = loaded.plan.receiver.selector
    if named == GENERATED or len(loaded.plan.box) == 1:
        return None
    return read_inputs(plan.parent / named, Override(), data, catalogue, whole=True)


def _of_selector(design: StationDesign) -> list[Problem]:
    return [_named("selector", p) for p in design.selector.problems] if design.selector else []


def _of_boxes(boxes: dict[str, Inputs]) -> tuple[Problem, ...]:
    """What falls short in each box, its name before it; what several boxes share is said once by the printing."""
    found: list[Problem] = []
    for name, inputs in boxes.items():
        found += [_named(name, p) for p in inputs.design.problems]
        found += [p for p in inputs.price_problems if p not in found]
    return tuple(found)


def _named(name: str, problem: Problem) -> Problem:
    key = f"{name}: {problem.place.key}" if problem.place.key else name
    return replace(problem, place=replace(problem.place, key=key))


def _origin(plan: Path, loaded: Loaded, boxes: dict[str, Inputs], selector: Inputs | None) -> Origin:
    inputs = {
        "plan": digest(plan, plan.parent),
        "boxes": {box_folder(n): dict(i.manifest) for n, i in boxes.items()},
        "selector": dict(selector.manifest) if selector else GENERATED,
    }
    versions = {name: version(name) for name in LIBRARIES}
    return Origin(loaded.plan.title, loaded.plan.revision, inputs, PROGRAM, versions)


def _tell(design: StationDesign, found: tuple[Problem, ...], target: Path, names: list[str], talk: Talk) -> None:
    short = problems.shortfalls(found)
    if talk.json:
        document = station_summary.document(design, str(target), names)
        document["shortfalls"] = problems.as_json(short)
        document["warnings"] = problems.as_json(problems.warnings(found))
        terminal.print_json(document)
    elif not talk.quiet:
        terminal.print_lines([f"{design.plan.title}, revision {design.plan.revision}", ""])
        terminal.print_pairs(station_summary.lines(design))
        terminal.print_problems("\nto know:", problems.warnings(found))
        terminal.print_problems("\nfalls short:", short)
        own = [name for name in names if "/" not in name]
        boxes = ", ".join(f"{folder}/" for folder in folders(design))
        terminal.print_lines(["", f"written to {target}: {', '.join(own)}; {boxes}"])

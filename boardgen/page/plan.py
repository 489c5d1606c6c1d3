"""What a station's plan comes to, view after view: its boxes, its drawings, the selection table, the proof."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from msgspec import Struct

from boardgen.catalogue import Catalogue
from boardgen.design import Step
from boardgen.documents.station import summary, tables
from boardgen.documents.station.drawings import drawings
from boardgen.documents.station.source import Source
from boardgen.formats.output_folder import check_folder
from boardgen.inputs.footprint_names import read_footprint_names
from boardgen.inputs.station import read_station
from boardgen.model.problem import shortfalls, warnings
from boardgen.page.job import Files, Job, View
from boardgen.page.render import fill
from boardgen.public.folder import folder_of
from boardgen.public.writing import write_station
from boardgen.station_design import all_problems, make_station


class BoxFile(Struct, frozen=True):
    """A box of the plan, and the specification that makes it."""

    box: str
    file: str


def plan_views(job: Job, catalogue: Catalogue, step: Step) -> Iterator[View]:
    """The views of a plan. Raises InputError with every fault of the first input that fails."""
    inputs = read_station(Path(job.path), job.sources, catalogue, job.text)
    boxes = [BoxFile(box.name, box.spec) for box in inputs.loaded.plan.box]
    yield View("boxes", fill("boxes.html", boxes=boxes))
    design = make_station(inputs, step=step)
    found = all_problems(inputs, design)
    yield View("verdict", fill("plan_summary.html", lines=summary.lines(design), short=shortfalls(found)))
    with step("drawing"):
        yield View("maps", fill("maps.html", drawings=drawings(Source(design, inputs.date_text))))
    yield View("selection", _table("selection", tables.SELECTION, tables.selection(design)))
    yield View("cables", _table("conductors of the cables", tables.CONDUCTORS, tables.conductors(design)))
    yield View("proof", _table("proof", tables.PROOF, tables.proof(design)))
    yield View("known", fill("known.html", known=warnings(found)))


def _table(caption: str, headings: tuple[str, ...], rows: list[list[str]]) -> str:
    return fill("rows.html", caption=caption, headings=headings, rows=rows)


def write_plan(job: Job, catalogue: Catalogue, step: Step) -> Files:
    """Everything that `boardgen station` writes, under its rules. Raises InputError as that does."""
    inputs = read_station(Path(job.path), job.sources, catalogue)
    target = folder_of(Path(job.out), inputs.loaded.plan.title)
    check_folder(target)
    design = make_station(inputs, step=step)
    names = read_footprint_names(job.sources.parts)
    with step("writing"):
        written = write_station(target, design, inputs, names)
    return Files(str(target), written.files, "station.html", written.problems)

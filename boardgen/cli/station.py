"""boardgen station: several boxes worked out and proved together, everything into one folder."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.options import Data, Override, Talk
from boardgen.cli.report import print_found, print_written, report
from boardgen.cli.sources import dated_sources
from boardgen.cli.workers import side_by_side
from boardgen.documents.json.station import station_document
from boardgen.documents.station import summary
from boardgen.formats.output_folder import check_folder
from boardgen.inputs.footprint_names import read_footprint_names
from boardgen.inputs.station import read_station
from boardgen.public.folder import folder_of
from boardgen.public.writing import write_station
from boardgen.station_design import all_problems, make_station


def run(plan: Path, out: Path, data: Data, talk: Talk) -> int:
    """Works everything out into a folder of `out` and prints the summary; exit 1 where something falls short."""
    step = terminal.steps(talk.quiet, logged=True)
    with step("reading"):
        inputs = read_station(plan, dated_sources(Override(), data))
        names = read_footprint_names(data.parts)
    target = folder_of(out, inputs.loaded.plan.title)
    check_folder(target)
    design = make_station(inputs, step=step, run=side_by_side)
    with step("writing") as tell:
        written = write_station(target, design, inputs, names, tell, side_by_side)
    found = (*all_problems(inputs, design), *written.problems)

    def words() -> None:
        terminal.print_lines([f"{design.plan.title}, revision {design.plan.revision}", ""])
        terminal.print_pairs(summary.lines(design))
        print_found(found)
        print_written(str(target), written.files, "station.html")

    return report(
        talk,
        found,
        lambda: station_document(design, found, str(target), written.files),
        words,
    )

"""boardgen build: everything, into one folder."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.options import Data, Override, Talk
from boardgen.cli.report import print_found, print_targets, print_written, report
from boardgen.cli.sources import dated_sources
from boardgen.design import make_design
from boardgen.documents import build_summary
from boardgen.documents.json.build import build_document
from boardgen.formats.dxf import load as load_dxf
from boardgen.formats.output_folder import check_folder
from boardgen.formats.pdf import load as load_pdf
from boardgen.inputs.board import read_board
from boardgen.inputs.footprint_names import read_footprint_names
from boardgen.public.folder import folder_of
from boardgen.public.writing import write_board


def run(
    spec: Path, out: Path, override: Override, data: Data, talk: Talk, *, pdf: bool = False, dxf: bool = False
) -> int:
    """Builds into a folder of `out` and prints the summary; exit 1 where something falls short."""
    if pdf:
        # said before any work is done
        load_pdf()
    if dxf:
        load_dxf()
    step = terminal.steps(talk.quiet)
    with step("reading"):
        inputs = read_board(spec, dated_sources(override, data))
        names = read_footprint_names(data.parts)
    target = folder_of(out, inputs.spec.title)
    check_folder(target)
    design = make_design(inputs.request, inputs.offers, inputs.on, predicted=True, laid_out=True, step=step)
    with step("writing"):
        written = write_board(target, design, inputs, names, pdf=pdf, dxf=dxf)
    found = (*design.problems, *inputs.price_problems, *written.problems)

    def words() -> None:
        terminal.print_lines([f"{design.spec.title}, revision {design.spec.revision}", ""])
        terminal.print_wrapped(build_summary.first_lines(design, found, str(target)))
        terminal.print_lines([""])
        print_targets(design.prediction)
        terminal.print_lines([""])
        terminal.print_wrapped(build_summary.lines(design))
        print_found(found)
        print_written(str(target), written.files, "book.html")

    return report(
        talk,
        found,
        lambda: build_document(design, str(target), written.files, found),
        words,
    )

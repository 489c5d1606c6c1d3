"""boardgen build: everything, into one folder."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal, told
from boardgen.cli.footprint_names import read_footprint_names
from boardgen.cli.inputs import Inputs, read_inputs
from boardgen.cli.options import Data, Override, Talk
from boardgen.cli.versions import version_of
from boardgen.documents import build_summary, problems
from boardgen.documents.build_files import build_files
from boardgen.documents.order_files import PROGRAM
from boardgen.formats.dxf import load as load_dxf
from boardgen.formats.manifest import MANIFEST, Origin
from boardgen.formats.output_folder import check_folder, write_folder
from boardgen.formats.pdf import load as load_pdf
from boardgen.spec.label import folder_name

LIBRARIES = (
    "jinja2",
    "matplotlib",
    "msgspec",
    "numpy",
    "openpyxl",
    "pandas",
    "pydantic",
    "segno",
    "sexpdata",
    "shapely",
    "skidl",
)
PDF_LIBRARIES = ("weasyprint",)
DXF_LIBRARIES = ("ezdxf",)


def run(
    spec: Path, out: Path, override: Override, data: Data, talk: Talk, *, pdf: bool = False, dxf: bool = False
) -> int:
    """Builds into a folder of `out` and prints the summary; exit 1 where something falls short."""
    if pdf:
        # said before any work is done
        load_pdf()
    if dxf:
        load_dxf()
    with terminal.progress("reading", talk.quiet):
        inputs = read_inputs(spec, override, data, whole=True)
        names = read_footprint_names(data.parts)
    design = inputs.design
    target = out / folder_name(design.spec.title)
    check_folder(target)
    with terminal.progress("sizing", talk.quiet):
        _ = design.choices
    with terminal.progress("wiring", talk.quiet):
        _ = design.netlist
    with terminal.progress("laying out", talk.quiet):
        _ = design.layout
    with terminal.progress("predicting", talk.quiet):
        _ = design.prediction.problems
    with terminal.progress("writing", talk.quiet):
        files = build_files(design, names, inputs.date_text, pdf=pdf, dxf=dxf)
        left = write_folder(target, files, _origin(inputs, pdf=pdf, dxf=dxf))
    found = (*design.problems, *inputs.price_problems, *left)
    names_of_files = sorted([*files, MANIFEST])
    if talk.json:
        document = build_summary.document(design, str(target), names_of_files)
        terminal.print_json(document | problems.document(found))
    elif not talk.quiet:
        terminal.print_lines([f"{design.spec.title}, revision {design.spec.revision}", ""])
        terminal.print_pairs(build_summary.lines(design))
        told.print_found(found)
        told.print_written(str(target), names_of_files)
    return told.exit_code(found)


def _origin(inputs: Inputs, *, pdf: bool, dxf: bool) -> Origin:
    spec = inputs.design.spec
    extra = (*(PDF_LIBRARIES if pdf else ()), *(DXF_LIBRARIES if dxf else ()))
    libraries = {name: version_of(name) for name in (*LIBRARIES, *extra)}
    return Origin(spec.title, spec.revision, inputs.manifest, PROGRAM, libraries)

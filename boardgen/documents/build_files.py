"""The files of a build, as bytes by name."""

from __future__ import annotations

from msgspec.structs import replace

from boardgen.catalogue.to_verify import patterns_to_verify
from boardgen.design import Design
from boardgen.documents import PROGRAM
from boardgen.documents.bench_bill import bench_bill
from boardgen.documents.board_editor import editor_files
from boardgen.documents.book.book import book_files
from boardgen.documents.book.source import StationSide
from boardgen.documents.box import box_of
from boardgen.documents.fabrication import MARK, fabrication_files
from boardgen.documents.json.document import json_bytes
from boardgen.documents.json.response import targets_document
from boardgen.documents.json.values import cuts_document, values_document
from boardgen.documents.letters import with_letters
from boardgen.documents.named import Names, named_board
from boardgen.documents.netlist_and_bill import netlist_and_bill
from boardgen.documents.pdf_files import pdf_files
from boardgen.documents.pictures.board_picture import BUILT, board_pictures
from boardgen.documents.pictures.drill_template import drill_dxf, drill_template
from boardgen.documents.pictures.labels import labels
from boardgen.documents.pictures.schematic import schematic
from boardgen.documents.plots.response import response_svg
from boardgen.documents.response import copper_basis, state_files
from boardgen.documents.response_table import response_csv
from boardgen.formats.manifest import digest_of_made
from boardgen.sizing.cable_places import COLOURED
from boardgen.spec import quantity


def build_files(
    design: Design,
    names: Names,
    date: str,
    *,
    pdf: bool = False,
    dxf: bool = False,
    station: StationSide | None = None,
) -> dict[str, bytes]:
    """Everything that `build` writes but the manifest. `date` is written into the netlist, "" for none.

    `station` is what a station decides for the board, for its book.
    With `pdf`, what is meant for paper is there as PDF too; with `dxf`, the drill template as DXF. Raises InputError
    where that cannot be made here.
    """
    judged = targets_document(design.prediction)
    sized = replace(
        values_document(design.spec, design.choices, design.problems, judged),
        copper=copper_basis(design.prediction),
        cuts=cuts_document(design.wire_cuts),
    )
    paper = design.spec.documents.paper
    made = {
        **netlist_and_bill(design, names, date),
        "values.json": json_bytes(sized),
        "response.csv": response_csv(design.prediction),
        **state_files(design.prediction),
        **board_files(design, names, date, dxf=dxf),
    }
    drawings = {
        **book_drawings(design, date),
        "labels.svg": labels(
            design.netlist,
            design.bill,
            digest_of_made(made),
            date,
            paper,
            fed={s.label: quantity.format(s.feed.voltage, "V") for s in design.request.strips if s.feed},
            in_network_colours=design.spec.control.conductors == COLOURED,
        ),
    }
    made |= book_files(design, drawings, date, station)
    if design.layout is not None:
        made["bench-bill.html"] = bench_bill(design, design.layout.board)
    made |= {name: with_letters(svg).encode() for name, svg in drawings.items() if name != BUILT}
    return {**made, **pdf_files(made)} if pdf else made


def board_files(design: Design, names: Names, date: str, *, dxf: bool = False) -> dict[str, bytes]:
    """What the board is made by, but for its netlist; without a layout only the library that the netlist names."""
    made = design.layout
    if made is None:
        return editor_files(design, names, date)
    verify = patterns_to_verify((c.part for c in design.netlist.components), design.catalogue)
    files = fabrication_files(
        named_board(made.board, names), design.netlist, design.rules, made.faults, verify, PROGRAM, date
    )
    files |= editor_files(design, names, date, MARK if made.faults else "")
    if dxf:
        box = box_of(design)
        files |= {"drill-template.dxf": drill_dxf(box, _titled(design))} if box else {}
    return files


def book_drawings(design: Design, date: str) -> dict[str, str]:
    """The drawings of board, curves and circuit, by file name, which the book shows too."""
    return {
        **_board_drawings(design),
        "response.svg": response_svg(design.prediction),
        "schematic.svg": schematic(design.netlist, date, design.spec.documents.paper),
    }


def _board_drawings(design: Design) -> dict[str, str]:
    if design.layout is None:
        return {}
    box = box_of(design)
    template = {"drill-template.svg": drill_template(box, _titled(design))} if box else {}
    return {**board_pictures(design.layout.board), **template}


def _titled(design: Design) -> str:
    return f"{design.spec.title}, revision {design.spec.revision}"

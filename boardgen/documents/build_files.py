"""The files of a build, as bytes by name."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping

from boardgen import __version__
from boardgen.design import Design
from boardgen.documents import values
from boardgen.documents.board_picture import board_bottom, board_top
from boardgen.documents.drill_template import drill_template
from boardgen.documents.fabrication import fabrication_files
from boardgen.documents.windings import winding_rows
from boardgen.files.assumptions import assumption_rows, sentences_to_verify
from boardgen.files.bill_csv import bill_csv
from boardgen.files.netlist import netlist_text
from boardgen.files.workbook import write_workbook
from boardgen.files.workbook_rows import UnfittedRow, WorkbookContent
from boardgen.model.part import Part
from boardgen.purchasing.needs import unfitted
from boardgen.purchasing.part_name import part_name

PROGRAM = f"boardgen {__version__}"


def build_files(design: Design, footprint_names: Mapping[str, str], date: str) -> dict[str, bytes]:
    """Everything that `build` writes but the manifest. `date` is written into the netlist, "" for none."""
    labels = {s.label: s.label for s in design.request.strips}
    netlist = netlist_text(design.netlist, PROGRAM, footprint_names, labels, date)
    files = {
        "netlist.net": netlist.encode(),
        "values.json": json_bytes(values.document(design.spec, design.choices, design.problems)),
        "bill.csv": bill_csv(design.bill),
        "bill.xlsx": write_workbook(workbook_content(design)),
    }
    return files | _board_files(design, date)


def _board_files(design: Design, date: str) -> dict[str, bytes]:
    """The fabrication folder and the pictures; nothing where the board could not be laid out."""
    made = design.layout
    if made is None:
        return {}
    names = {c.ref: c.subject.strip for c in design.netlist.of_kind("connector")}
    return {
        **fabrication_files(made.board, design.netlist, design.rules, made.faults, to_verify(design), PROGRAM, date),
        "board-top.svg": board_top(made.board),
        "board-bottom.svg": board_bottom(made.board),
        "drill-template.svg": drill_template(made.board, names),
    }


def workbook_content(design: Design) -> WorkbookContent:
    """What the workbook shows."""
    return WorkbookContent(
        title=design.spec.title,
        revision=design.spec.revision,
        bill=design.bill,
        unfitted=tuple(UnfittedRow(refs, part) for refs, part in unfitted(design.netlist)),
        windings=winding_rows(design.netlist, design.choices),
        assumptions=assumption_rows(design.parts),
        verify=to_verify(design),
    )


def to_verify(design: Design) -> tuple[str, ...]:
    """What to check before ordering, part by part: pin map, own sentences, figures and patterns not read."""
    return tuple(dict.fromkeys(sentence for part in design.parts for sentence in _of_part(design, part)))


def _of_part(design: Design, part: Part) -> Iterator[str]:
    name = part_name(part)
    if test := part.attributes.get("meter test"):
        yield f"{name}: Prove its pin map with a meter before soldering: {test}."
    yield from sentences_to_verify([part])
    yield from (f"{name}: {gap}" for gap in design.catalogue.verify(part) if gap not in part.verify)


def json_bytes(document: object) -> bytes:
    """A JSON document, always the same bytes for the same content."""
    return (json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()

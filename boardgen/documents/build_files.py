"""The files of a build, as bytes by name."""

from __future__ import annotations

import json
from collections.abc import Mapping

from boardgen import __version__
from boardgen.design import Design
from boardgen.documents import values
from boardgen.documents.windings import winding_rows
from boardgen.files.assumptions import assumption_rows, sentences_to_verify
from boardgen.files.bill_csv import bill_csv
from boardgen.files.netlist import netlist_text
from boardgen.files.workbook import write_workbook
from boardgen.files.workbook_rows import UnfittedRow, WorkbookContent
from boardgen.purchasing.needs import unfitted

PROGRAM = f"boardgen {__version__}"


def build_files(design: Design, footprint_names: Mapping[str, str], date: str) -> dict[str, bytes]:
    """Everything that `build` writes but the manifest. `date` is written into the netlist, "" for none."""
    labels = {s.label: s.label for s in design.request.strips}
    netlist = netlist_text(design.netlist, PROGRAM, footprint_names, labels, date)
    return {
        "netlist.net": netlist.encode(),
        "values.json": json_bytes(values.document(design.spec, design.choices, design.problems)),
        "bill.csv": bill_csv(design.bill),
        "bill.xlsx": write_workbook(workbook_content(design)),
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
    """What to check before ordering: the parts' own sentences, unknown hole patterns, and the relay's meter test."""
    catalogue = design.catalogue
    with_gaps = [
        f"{part.number}: {gap}" for part in design.parts for gap in catalogue.verify(part) if gap not in part.verify
    ]
    meter = [
        f"{part.number}: prove its pin map with a meter before soldering: {test}"
        for part in design.parts
        if (test := part.attributes.get("meter test"))
    ]
    return tuple(dict.fromkeys((*meter, *sentences_to_verify(design.parts), *with_gaps)))


def json_bytes(document: object) -> bytes:
    """A JSON document, always the same bytes for the same content."""
    return (json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()

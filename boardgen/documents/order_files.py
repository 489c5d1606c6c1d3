"""The files that buy and wire a board: netlist and bill. They need no prediction."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from boardgen import __version__
from boardgen.design import Design
from boardgen.documents.windings import winding_rows
from boardgen.formats.netlist import netlist_text
from boardgen.model.part import Part
from boardgen.purchasing.needs import unfitted
from boardgen.workbooks.assumptions import assumption_rows, sentences_to_verify
from boardgen.workbooks.bill import BillContent, UnfittedRow, write_bill
from boardgen.workbooks.bill_csv import bill_csv

PROGRAM = f"boardgen {__version__}"


def order_files(design: Design, footprint_names: Mapping[str, str], date: str) -> dict[str, bytes]:
    """netlist.net, bill.csv and bill.xlsx. `date` is written into the netlist, "" for none."""
    labels = {s.label: s.label for s in design.request.strips}
    netlist = netlist_text(design.netlist, PROGRAM, footprint_names, labels, date)
    return {
        "netlist.net": netlist.encode(),
        "bill.csv": bill_csv(design.bill),
        "bill.xlsx": write_bill(workbook_content(design)),
    }


def workbook_content(design: Design) -> BillContent:
    """What the workbook shows."""
    return BillContent(
        title=design.spec.title,
        revision=design.spec.revision,
        bill=design.bill,
        unfitted=tuple(UnfittedRow(refs, part) for refs, part in unfitted(design.netlist)),
        windings=winding_rows(design.netlist, design.choices),
        assumptions=assumption_rows(design.parts),
        verify=to_verify(design),
        paper=design.spec.documents.paper,
    )


def to_verify(design: Design) -> tuple[str, ...]:
    """What to check before ordering, part by part: pin map, own sentences, figures and patterns not read."""
    return tuple(dict.fromkeys(sentence for part in design.parts for sentence in _of_part(design, part)))


def patterns_to_verify(design: Design) -> tuple[str, ...]:
    """What the layout rests on and nobody has read: pin maps and hole patterns, each with the parts it is about."""
    found: dict[str, list[str]] = {}
    for part in {c.part.key: c.part for c in design.netlist.components}.values():
        for sentence in (*_meter_test(part), *design.catalogue.verify(part)):
            if sentence.startswith(("Prove", "Pin map", "Footprint")):
                found.setdefault(sentence, []).append(part.name)
    return tuple(f"{', '.join(parts)}: {sentence}" for sentence, parts in found.items())


def _of_part(design: Design, part: Part) -> Iterator[str]:
    name = part.name
    yield from (f"{name}: {sentence}" for sentence in _meter_test(part))
    yield from sentences_to_verify([part])
    yield from (f"{name}: {gap}" for gap in design.catalogue.verify(part) if gap not in part.verify)


def _meter_test(part: Part) -> tuple[str, ...]:
    test = part.attributes.get("meter test")
    return (f"Prove its pin map with a meter before soldering: {test}.",) if test else ()

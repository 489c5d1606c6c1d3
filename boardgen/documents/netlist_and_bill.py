"""The files that buy and wire a board: netlist and bill. They need no prediction."""

from __future__ import annotations

from boardgen.design import Design
from boardgen.documents import PROGRAM
from boardgen.documents.json.document import json_bytes
from boardgen.documents.named import Names, named_netlist
from boardgen.documents.order.tables import assembly_bill_csv, bill_csv
from boardgen.formats.netlist import netlist_text
from boardgen.purchasing import needs_file
from boardgen.workbooks.bill import bill_workbook


def netlist_and_bill(design: Design, names: Names, date: str) -> dict[str, bytes]:
    """netlist.net, and the bill as a workbook, as two tables and as data for an order.

    `date` is written into the netlist, "" for none.
    """
    labels = {s.label: s.label for s in design.request.strips}
    board = design.layout.board if design.layout else None
    netlist = netlist_text(named_netlist(design.netlist, board, names), PROGRAM, labels, date)
    return {
        "netlist.net": netlist.encode(),
        "assembly-bill.csv": assembly_bill_csv(design.netlist, board),
        "bill.csv": bill_csv(design.bill),
        "bill.xlsx": bill_workbook(design),
        needs_file.NAME: json_bytes(needs_file.needs_document(design.content)),
    }

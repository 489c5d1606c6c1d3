"""What a build says when it is done: as lines and as a JSON document."""

from __future__ import annotations

from boardgen.design import Design
from boardgen.documents import problems, values
from boardgen.documents.order_files import to_verify
from boardgen.documents.response import judged_lines, targets_document

SCHEMA = "boardgen build 1"
DEMONSTRATION = "demonstration prices are invented: replace them with --prices before ordering"


def document(design: Design, folder: str, files: list[str]) -> dict[str, object]:
    """The summary as plain data."""
    bill, netlist = design.bill, design.netlist
    return {
        "schema": SCHEMA,
        "title": design.spec.title,
        "revision": design.spec.revision,
        "folder": folder,
        "files": files,
        "shortfalls": problems.as_json(problems.shortfalls(design.problems)),
        "warnings": problems.as_json(problems.warnings(design.problems)),
        "targets": targets_document(design.prediction),
        "ports": len(netlist.ports),
        "parts": sum(c.fitted for c in netlist.components),
        "nets": len(netlist.nets),
        "bill": {
            "lines": len(bill.lines),
            "boards": bill.boards,
            "currency": bill.currency,
            "order_total": str(bill.order_total),
            "total_per_board": str(bill.total_per_board),
            "board_value": str(bill.board_value),
            "unpriced": [line.part.key for line in bill.unpriced],
        },
        "verify": list(to_verify(design)),
    }


def lines(design: Design) -> list[tuple[str, str]]:
    """Heading and text of each line of the summary."""
    bill, netlist = design.bill, design.netlist
    ways = sum(s.fitted for s in design.request.antennas)
    antennas = "1 antenna" if ways == 1 else f"{ways} antennas"
    board = f"{antennas} to one output, {sum(c.fitted for c in netlist.components)} parts, {len(netlist.nets)} nets"
    if bill.boards == 1:
        cost = f"{len(bill.lines)} lines, {bill.order_total} {bill.currency} for one board"
    else:
        cost = (
            f"{len(bill.lines)} lines, {bill.order_total} {bill.currency} for {bill.boards} boards, "
            f"{bill.total_per_board} each"
        )
    return [
        ("board", board),
        *_highlights(design),
        ("bill", cost),
        *judged_lines(design.prediction),
        ("verify", f"{len(to_verify(design))} things before you order: sheet Assumptions of bill.xlsx"),
    ]


def _highlights(design: Design) -> list[tuple[str, str]]:
    """The values a practitioner asks for first."""
    found = []
    for row in values.rows(design.choices, design.request.strips):
        if row.role == "turns":
            found.append(("winding", f"{row.chosen} turns on {row.part} ({row.subject.split(': ', 1)[-1]})"))
        elif row.role in ("choke", "blocking capacitor"):
            found.append((row.role.split()[0], f"{row.chosen} {row.part} ({row.subject})"))
        elif row.role == "relay voltage":
            found.append(("relay", f"{row.part}: {row.achieved} left at the coil, {row.needed.lstrip('≥ ')} needed"))
        elif row.role == "longest cable":
            found.append(("cable", f"{row.needed.lstrip('≥ ')} asked for, up to {row.achieved} would work"))
    return found

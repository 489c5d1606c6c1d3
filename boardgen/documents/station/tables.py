"""The station as rows for text files: selection, conductors, switch contacts, proof, faults, paths."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from boardgen.documents.station.finding import found_by
from boardgen.formats.csv_text import csv_bytes, harmless_cell
from boardgen.station.conductors import Conductor
from boardgen.station.faults import place_text
from boardgen.station.interlock import barred
from boardgen.station.manual_switch import contacts, positions_in_words, switch_names
from boardgen.station.readings import PointReading
from boardgen.station.table import Row
from boardgen.station_design import StationDesign

Rows = list[list[str]]


def table_bytes(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """A table of comma-separated values; a cell is never a formula."""
    return csv_bytes(headings, [[harmless_cell(cell) for cell in row] for row in rows])


SELECTION = (
    "direction",
    "bearing, degrees",
    "antenna",
    "remote",
    "position",
    "outputs on",
    "conductors live",
    "relays",
    "relays of idle boxes",
    "feeds",
)


def selection(design: StationDesign) -> Rows:
    """Rest, then a row for each direction."""
    made = design.table
    rest = f"feeder of {made.rest} through, no antenna"
    rows = [["at rest", "", rest, "", "", "", "", "", "", ""]]
    names = switch_names(design.station.steering, design.plan.source.switches)
    return rows + [_selection_row(row, names) for row in made.rows]


def _selection_row(row: Row, names: Sequence[str]) -> list[str]:
    return [
        row.direction,
        f"{row.bearing_deg:g}",
        row.selected,
        row.remote,
        positions_in_words(names, row.positions) if row.positions else "",
        " ".join(str(n) for n in row.outputs),
        "; ".join(f"{box} {place_text(c)}" for box, c in row.live),
        "; ".join(f"{r.board} {r.ref}" for r in row.relays),
        "; ".join(f"{r.board} {r.ref}" for r in row.along),
        "; ".join(f"{box}/{antenna}" for box, antenna in row.fed),
    ]


CONDUCTORS = ("box", "cable", "position", "pair", "colour", "carries", "source end", "most current, A")


def conductors(design: StationDesign) -> Rows:
    """Every conductor of every cable."""
    return [
        [
            box,
            str(flow.conductor.place.cable),
            str(flow.conductor.place.position),
            str(flow.conductor.place.pair),
            flow.conductor.place.colour,
            flow.conductor.what,
            source_end(design, flow.conductor),
            f"{flow.most_a:.3f}",
        ]
        for box, flows in design.flows.items()
        for flow in flows
    ]


def source_end(design: StationDesign, conductor: Conductor) -> str:
    """What a conductor is joined to at the source."""
    if conductor.is_return:
        return "0V of the supply"
    if conductor.is_coil_supply:
        return "fused plus of the supply"
    if conductor.output:
        return f"{design.source.way} {conductor.output}"
    joints = [j for j in design.station.steering.joints if j.load in conductor.loads]
    ends = [f"{design.source.way} {j.output}{' through a diode' if j.diode else ''}" for j in joints]
    return ", ".join(ends) or "not joined"


JOINTS = ("output", "works", "joined by", "directions")


def joints(design: StationDesign) -> Rows:
    """Every wire and diode between outputs and lines."""
    steering = design.station.steering
    diode = f"diode, {'cathode' if design.station.sinks else 'anode'} at the output"
    directions = {o.number: "; ".join(o.directions) for o in steering.outputs}
    return [[str(j.output), str(j.load), diode if j.diode else "wire", directions[j.output]] for j in steering.joints]


BARRED = ("output", "never with", "since they join")


def never_together(design: StationDesign) -> Rows:
    """Every pair of outputs that must never be on together."""
    found = barred(design.station.steering)
    return [[str(b.outputs[0]), str(b.outputs[1]), "; ".join(map(str, b.joins))] for b in found]


CONTACTS = ("switch", "position", "pole", "directions", "wiring")


def switch_contacts(design: StationDesign) -> Rows:
    """Every contact of the manual switches; the wiper of each pole goes to the fused supply."""
    rows = []
    for c in contacts(design.station.steering):
        parts = [f"{'diode' if j.diode else 'wire'} to {j.load}" for j in c.joints]
        wiring = f"join to position {c.bridged} of this pole" if c.bridged else "; ".join(parts)
        rows.append([str(c.switch), str(c.position), str(c.pole), "; ".join(c.directions), wiring])
    return rows


PROOF = ("state", "extreme", "relay or feed", "wanted", "volts", "must operate, V", "must release, V", "result")


def proof(design: StationDesign) -> Rows:
    """Every relay and every feed in every state at every extreme, without a fault."""
    return [_reading(r) for r in design.proof.readings]


def _reading(r: PointReading) -> list[str]:
    return [
        r.case,
        r.corner,
        str(r.at),
        "yes" if r.wanted else "no",
        f"{round(r.volts, 3) + 0.0:.3f}",
        f"{r.needed_v:.3f}",
        f"{r.most_v:.3f}",
        r.verdict,
    ]


FAULTS = ("fault", "where", "most from the source, A", "found by", *PROOF)


def faults(design: StationDesign) -> Rows:
    """What each single fault does: every relay that is then wrong in a state, at its worst; or that none is."""
    rows = []
    for fault in design.proof.faults:
        first = [fault.kind, str(fault.befell), f"{fault.most_a:.2f}", found_by(fault, design.blows_a)]
        rows += [[*first, *_reading(r)] for r in fault.wrong] or [[*first, *[""] * 7, "no relay goes wrong"]]
    return rows


PATHS = (
    "direction",
    "frequency, MHz",
    "box loss, dB",
    "feeder loss, dB",
    "noise at antenna, dB",
    "floor rise, dB",
    "by the losses, dB",
)


def paths(design: StationDesign) -> Rows:
    """The path budget of every direction by frequency."""
    return [
        [
            path.direction,
            f"{p.frequency_hz / 1e6:.4g}",
            f"{p.loss_db('board'):.2f}",
            f"{p.coax_db:.2f}",
            f"{p.external_db:.1f}",
            f"{p.whole_db:.2f}",
            f"{p.rise_db:.2f}",
        ]
        for path in design.paths
        for p in path.points
    ]

"""The proof: volts at every relay in every state at the extremes, and what each single fault does."""

from __future__ import annotations

from boardgen.documents.identity import named
from boardgen.documents.page.blocks import Block, Column, Group, Section, Table, Words
from boardgen.documents.station.finding import METER, ammeter
from boardgen.documents.station.source import Source
from boardgen.documents.text import Text, Value
from boardgen.station.board_network import MeterPoint
from boardgen.station.proof import FaultEffect
from boardgen.station.readings import PointReading

MOST_SHOWN = 2
"""So many wrong readings of a fault are named, the rest counted."""
MOST_OF_A_KIND = 16
"""So many faults of a kind are told in the book."""


def section(source: Source) -> Section:
    """Every relay and fed port at its worst; then the faults."""
    proof = source.proof
    cases = len(source.table.rows) + 1
    corners = len({r.corner for r in proof.readings})
    words = (
        f"{len(proof.readings)} readings: {cases} states, rest among them, at {corners} extremes of temperature and "
        "supply. The source gives ", Value(named("source", "most current"), f"{proof.most_a:.2f} A"),
        " at most. Volts are computed from the netlists of the boxes, "
        "the resistance of every conductor, and diodes at both temperatures; a relay operates at or above its "
        "must-operate voltage and has released at or below its must-release voltage.",
    )  # fmt: skip
    verdict = (
        f"{len(proof.wrong)} readings are not right: see the summary."
        if proof.wrong
        else "Every relay does what is wanted in every state."
    )
    blocks: tuple[Block, ...] = (
        Words(verdict),
        Words(words),
        Group("At the worst", (_wanted(source), _unwanted(source))),
        Group("Single faults", _faults(source)),
    )
    do = "Read what a fault looks like before you look for one: the table says what each does."
    return Section("proof", "Proof of every state", do, blocks)


def _points(source: Source) -> list[MeterPoint]:
    return list(dict.fromkeys(r.at for r in source.proof.readings))


def _wanted(source: Source) -> Table:
    found = [r for s in _points(source) if (r := source.proof.worst(s, wanted=True))]
    heads = ("Relay or port", "Least volts", "Needed", "To spare", "Direction", "At")
    return Table("While it is wanted", _columns(heads), [_row(r, r.needed_v) for r in found])


def _unwanted(source: Source) -> Table:
    found = [r for s in _points(source) if (r := source.proof.worst(s, wanted=False))]
    heads = ("Relay or port", "Most volts", "Released below", "To spare", "Direction", "At")
    return Table("While it is not", _columns(heads), [_row(r, r.most_v) for r in found])


def _columns(heads: tuple[str, ...]) -> tuple[Column, ...]:
    return tuple(Column(h, "number" if n in (1, 2, 3) else "text") for n, h in enumerate(heads))


def _row(reading: PointReading, limit_v: float) -> tuple[Text, ...]:
    if reading.wanted:
        volts, limit = wanted_volts(reading.at, reading.volts, limit_v)
    else:
        volts, limit = _volts(reading.at, "unwanted", reading.volts, limit_v)
    spare = Value(f"{volts.names}.to_spare", f"{reading.margin_v:.2f} V")
    return (str(reading.at), volts, limit, spare, reading.case, reading.corner)


def wanted_volts(point: MeterPoint, volts: float, needed_v: float) -> tuple[Value, Value]:
    """What a relay or port has at its worst while it is wanted, and what it needs."""
    return _volts(point, "wanted", volts, needed_v)


def _volts(point: MeterPoint, state: str, volts: float, limit_v: float) -> tuple[Value, Value]:
    return (
        Value(named(str(point), state, "volts"), f"{round(volts, 2) + 0.0:.2f} V"),
        Value(named(str(point), state, "limit"), f"{limit_v:.2f} V"),
    )


def _faults(source: Source) -> tuple[Block, ...]:
    """A table for each kind; where one has many, the first of them, and faults.csv has all."""
    blocks: list[Block] = []
    for kind in dict.fromkeys(f.kind for f in source.proof.faults):
        own = [f for f in source.proof.faults if f.kind == kind]
        harmful = [f for f in own if f.wrong]
        told = (harmful or own)[:MOST_OF_A_KIND]
        columns = (
            Column("Where"),
            Column("What it does"),
            Column("The supply's ammeter"),
        )
        rows = [
            (
                _befell(source, f), Value(named("fault", f.name, "effect"), _does(f)),
                Value(named("fault", f.name, "sign"), ammeter(f, source.design.blows_a) or "nothing"),
            )
            for f in told
        ]  # fmt: skip
        left = len(own) - len(told)
        words = f"{len(own)} tried, {len(own) - len(harmful)} of them change no relay."
        more = f" {left} more stand in faults.csv." if left else ""
        blocks.append(Table(f"{kind[0].upper()}{kind[1:]}", columns, rows))
        blocks.append(Words(f"{words}{more} With the fuse out, {METER[kind]}."))
    return tuple(blocks) or (Words("No single fault was tried."),)


def _befell(source: Source, fault: FaultEffect) -> str:
    """A steering diode by the name that it has in the drawing."""
    joint = fault.befell.joint
    if joint is None:
        return str(fault.befell)
    return f"steering diode {source.diodes[joint]}, from {source.way} {joint.output} to {joint.load}"


def _does(fault: FaultEffect) -> str:
    if not fault.wrong:
        return "no relay does anything else"
    shown = [f"{r.at} {r.verdict} with {r.case} on ({round(r.volts, 1) + 0.0:.1f} V)" for r in fault.wrong[:MOST_SHOWN]]
    more = len(fault.wrong) - MOST_SHOWN
    return "; ".join(shown) + (f"; and {more} more" if more > 0 else "")

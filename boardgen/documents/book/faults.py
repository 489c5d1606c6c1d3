"""The fault-finding table: every common fault planted in the netlist, and which readings it changes."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from boardgen.commissioning.cable import CableBench, FarEnd
from boardgen.commissioning.diagnosis import Symptom, alike, symptoms
from boardgen.commissioning.faults import board_faults, strip_faults
from boardgen.commissioning.radio import RadioChange
from boardgen.commissioning.strip_readings import Change
from boardgen.commissioning.winding_test import bridge_readings
from boardgen.documents.book.cable import CABLE
from boardgen.documents.book.radio_tests import band_edge, predicted
from boardgen.documents.book.source import Source, listed
from boardgen.documents.book.windings import bridge_name
from boardgen.documents.identity import named, several
from boardgen.documents.page.blocks import Block, Column, Group, Section, Table, Words
from boardgen.documents.readings_words import expected, value, worked
from boardgen.documents.text import Text, Value, in_row, joined, plain
from boardgen.documents.values import text
from boardgen.kinds.fault import Fault
from boardgen.sizing.cable_choices import FUSE_BLOWS

MOST_SHOWN, FIRST_OHMS = 4, 2
"""Of the readings that a fault changes so many are shown at least, and so many of the resistances without power."""
MOST_DB = 80.0
"""More than this nobody measures with simple instruments."""
HOW = (
    "Computed: each fault was planted in the netlist, one at a time, and every reading of the "
    "commissioning sheet worked out "
    "anew. A reading is listed where it leaves its range by more than a tenth, a loss where "
    "it grows by half a decibel, an "
    "isolation where it falls by 6 dB. They stand in the order of the tests, rows too: resistances with nothing "
    "selected, current and volts on the supply, resistances with a relay held in, radio. A row shows the first, "
    "and more where another fault begins alike. A dry joint of a terminal or connector stands for 1000 ohm. "
    "Two faults at once can look like a third: begin with the first wrong reading."
)


def section(source: Source) -> Section:
    """For each kind of antenna, for the board and for the cable: wrong readings first, then what to look for."""
    bench, network = source.bench, source.design.prediction.network
    blocks: list[Block] = [Words(HOW)]
    # what all share is read with a port that has a relay
    seen_with = next((n for n, (_, strips) in enumerate(source.tests) if not strips[0].rest), 0)
    for number, (test, strips) in enumerate(source.tests):
        shared = board_faults(bench) if number == seen_with else ()
        own = strip_faults(bench, strips[0])
        found = symptoms(test, (*own, *shared), network)
        tables = _tables(source, alike(found[: len(own)]))
        alike_to = in_row(s.label for s in strips[1:])
        words = (Words(f"Alike, with their own designators: {alike_to}."),) if alike_to else ()
        blocks.append(Group(f"On {strips[0].label}", (*words, *tables)))
        if shared:
            last = Group(
                f"On what all antennas share, seen with {strips[0].label}", _tables(source, alike(found[len(own) :]))
            )
    blocks += [last, _cable(source)]
    do = (
        "Find your wrong readings on the left, then look at the part named beside them; mend one "
        "thing and measure again."
    )
    return Section("faults", "Fault finding", do, tuple(blocks))


def _tables(source: Source, found: tuple[Symptom, ...]) -> tuple[Block, ...]:
    seen: dict[Told, list[str]] = {}
    unseen = []
    for symptom in found:
        suspect = f"{listed(symptom.fault.refs)}: {symptom.fault.name}"
        told = _told(source, symptom)
        if told:
            seen.setdefault(told, []).append(suspect)
        else:
            unseen.append(suspect)
    shown = shown_readings(sorted(seen, key=lambda told: told[0][0]))
    rows = [
        (joined("; ", (_told_of(seen[told], one) for one in first)), "; ".join(seen[told]))
        for told, first in shown.items()
    ]
    columns = (Column("What you read"), Column("Look for"))
    blocks: list[Block] = [Table("What reads wrong, and what to look for", columns, rows)]
    if unseen:
        blocks.append(Words(f"None of the readings shows these, so look twice while you build: {'; '.join(unseen)}."))
    return tuple(blocks)


class Read(NamedTuple):
    """A reading that a fault changes: the number of its test, what is read, what is found and what would be right."""

    test: int
    what: Text
    found: str
    right: Value


Told = tuple[Read, ...]
"""Every reading that a fault changes, in the order of the tests."""
BRIDGE, IDLE_OHMS, AMPERES, VOLTS, HELD_OHMS, RADIO = range(6)


def _told(source: Source, symptom: Symptom) -> Told:
    """All readings that the fault changes, in the order of the tests."""
    early = [_on_bridge(source, symptom.fault)] if symptom.fault.mistake else []
    metered = [_metered(change) for change in symptom.changes]
    heard = [_heard(source, change) for change in symptom.radio]
    return tuple(sorted((*early, *metered, *heard), key=lambda one: one.test))


def _told_of(suspects: Sequence[str], one: Read) -> Text:
    """A reading in words; what is found is named by the faults that make it."""
    found = Value(several(*(named("fault", suspect, plain(one.what)) for suspect in suspects)), one.found)
    return joined("", (one.what, ": ", found, " instead of ", one.right))


def _test(change: Change) -> int:
    reading = change.expected
    if reading.unit == "ohm":
        return HELD_OHMS if reading.selection.operated else IDLE_OHMS
    return AMPERES if reading.unit == "A" else VOLTS


def shown_readings(faults: Sequence[Told]) -> dict[Told, Told]:
    """Of each the readings that its row shows: few, but enough that no two rows read the same."""
    most = MOST_SHOWN
    shown = {told: _first(told, most) for told in faults}
    while most < max((len(told) for told in faults), default=0):
        count = Counter(shown.values())
        most += 1
        shown = {told: first if count[first] == 1 else _first(told, most) for told, first in shown.items()}
    return shown


def _first(told: Told, most: int) -> Told:
    """The first readings, so that not all are resistances without power where the supply tells more."""
    early = [one for one in told if one.test <= IDLE_OHMS]
    later = told[len(early) :]
    return (*early[: max(FIRST_OHMS, most - len(later))], *later)[:most]


def _on_bridge(source: Source, fault: Fault) -> Read:
    """What a bridge reads of a core that is wound wrong, before it is soldered in."""
    component = source.design.netlist.component[fault.refs[0]]
    found = bridge_readings(source.design.request, source.design.choices, component)
    one, value = next((one, one.mistake[1]) for one in found if one.mistake and one.mistake[0] == fault.mistake)
    right = Value(bridge_name(fault.refs, one, "middle"), text(one.figure.value, one.figure.unit))
    wrong = f"about {text(value, one.figure.unit)}"
    return Read(BRIDGE, f"before soldering, {one.name} on a bridge", wrong, right)


def _metered(change: Change) -> Read:
    reading = change.expected
    state = f", {worked(reading.selection)}" if reading.selection.operated and reading.unit == "ohm" else ""
    found = value(reading, change.found)
    where = reading.where if reading.unit == "ohm" else reading.name
    return Read(_test(change), f"{where}{state}", found, expected(reading))


def _heard(source: Source, change: RadioChange) -> Read:
    right = predicted(source, change.quantity, change.selected, change.port, change.at_hz)
    edge = band_edge(source.design.spec.band, change.at_hz)
    return Read(RADIO, (f"{change.quantity} at ", edge), _decibels(change.found_db), right)


def _decibels(value: float) -> str:
    """No more than can be measured and believed."""
    if value > MOST_DB:
        return f"over {MOST_DB:.0f} dB"
    return f"{value:.0f} dB" if value > 10 else f"{value:.1f} dB"


def _cable(source: Source) -> Group:
    """Faults of the cable, as they show from the source end with the first antenna selected."""
    strip, *others = source.selectable
    other = others[0] if others else None
    cable = CableBench(source.bench)
    most_a = FUSE_BLOWS * source.design.choices.choice("cable fuse", CABLE).achieved
    right = (f"With {strip.label} selected from the source: ", *far_end(cable.far_end(strip, other), strip.label), ".")
    rows = [
        (far_end(cable.far_end(strip, other, fault.change), strip.label, fault.name, most_a), fault.name)
        for fault in cable.faults(strip, other)
    ]
    columns = (Column("What you find at the source and at the box"), Column("Look for"))
    return Group("On the control cable", (Words(right), Table("", columns, rows)))


def far_end(end: FarEnd, label: str, fault: str = "", most_a: float = math.inf) -> tuple[str | Value, ...]:
    """What is found with that antenna selected, and whether a fuse stands so much."""
    names = [named("cable", *((fault,) if fault else ()), label, what) for what in ("current", "terminal volts")]
    amperes = "no current" if end.supply_a < 20e-6 else text(end.supply_a, "A")
    blows = ("the fuse blows; without one ",) if end.supply_a > most_a else ()
    relay = "relay pulls in" if end.pulled_in else "relay stays out"
    wrong = f", but that of {', '.join(end.others)} pulls in" if end.others else ""
    volts = f"{round(end.terminal_v, 1) + 0.0:.1f} V"
    return (*blows, Value(names[0], amperes), ", ", Value(names[1], volts), f" at its terminal, {relay}{wrong}")

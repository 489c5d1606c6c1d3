"""The fault-finding table: every common fault planted in the netlist, and which readings it changes."""

from __future__ import annotations

from boardgen.commissioning.diagnosis import Symptom, alike, board_symptoms, kinds_of_strip, strip_symptoms
from boardgen.commissioning.strip_test import Change, StripTest
from boardgen.documents.book.readings_words import LIMIT_A, expected, value
from boardgen.documents.book.source import Source, listed
from boardgen.documents.page.blocks import Block, Column, Group, Section, Table, Words

MOST_SHOWN = 3


def section(source: Source) -> Section:
    """For each kind of antenna and for the board: wrong readings first, then what to look for."""
    kinds = kinds_of_strip(source.bench)
    blocks: list[Block] = [Words(HOW)]
    for strips in kinds:
        test = StripTest(source.bench, strips[0])
        others = f" (as {', '.join(s.label for s in strips[1:])})" if len(strips) > 1 else ""
        blocks.append(Group(f"On {strips[0].label}{others}", _tables(alike(strip_symptoms(test)))))
    test = StripTest(source.bench, kinds[0][0])
    blocks.append(
        Group(f"On what all antennas share, seen with {test.strip.label}", _tables(alike(board_symptoms(test))))
    )
    do = "Find your wrong readings on the left, then look at the part named beside them; mend one thing and measure again."
    return Section("faults", "Fault finding", do, tuple(blocks))


HOW = (
    "Computed: each fault was planted in the netlist, one at a time, and every reading of the commissioning sheet worked out "
    "anew; a reading is listed where it leaves its range by more than a tenth. A dry joint stands for 1000 ohm. Two faults "
    "at once can look like a third: begin with the first wrong reading in the order of the tests."
)


def _tables(symptoms: tuple[Symptom, ...]) -> tuple[Block, ...]:
    seen: dict[tuple[str, ...], list[str]] = {}
    unseen = []
    for symptom in symptoms:
        suspect = f"{listed(symptom.fault.refs)}: {symptom.fault.name}"
        if symptom.changes:
            seen.setdefault(tuple(_words(c) for c in symptom.changes[:MOST_SHOWN]), []).append(suspect)
        else:
            unseen.append(suspect)
    rows = [("; ".join(words), "; ".join(suspects)) for words, suspects in seen.items()]
    blocks: list[Block] = [
        Table("What reads wrong, and what to look for", (Column("What you read"), Column("Look for")), rows)
    ]
    if unseen:
        blocks.append(Words(f"No reading with a meter shows these; the radio tests may: {'; '.join(unseen)}."))
    return tuple(blocks)


def _words(change: Change) -> str:
    reading = change.expected
    state = f", {reading.selected} selected" if reading.selected else ""
    found = value(reading, change.found, LIMIT_A)
    return f"{reading.where}{state}: {found} instead of {expected(reading)}"

"""Plants every common fault, one at a time, and finds which readings a person would see change."""

from __future__ import annotations

from dataclasses import dataclass, replace

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.faults import Fault, board_faults, strip_faults
from boardgen.commissioning.strip_test import Change, StripTest
from boardgen.spec.strip import Strip


@dataclass(frozen=True)
class Symptom:
    """A fault with the readings it changes; none where a meter shows nothing."""

    fault: Fault
    changes: tuple[Change, ...]


def kinds_of_strip(bench: Bench) -> tuple[tuple[Strip, ...], ...]:
    """Fitted antennas whose parts and readings are alike, together."""
    found: dict[tuple[object, ...], list[Strip]] = {}
    for strip in bench.request.antennas:
        if strip.fitted:
            parts = tuple(
                (c.part.key, c.subject.stage, c.subject.slot) for c in bench.fitted if c.subject.strip == strip.label
            )
            found.setdefault(parts, []).append(strip)
    return tuple(map(tuple, found.values()))


def strip_symptoms(test: StripTest) -> tuple[Symptom, ...]:
    """Every fault of one antenna's parts."""
    return tuple(Symptom(fault, test.under(fault)) for fault in strip_faults(test.bench, test.strip))


def board_symptoms(test: StripTest) -> tuple[Symptom, ...]:
    """Every fault of what no antenna has to itself, seen with that antenna."""
    return tuple(Symptom(fault, test.under(fault)) for fault in board_faults(test.bench))


def alike(symptoms: tuple[Symptom, ...]) -> tuple[Symptom, ...]:
    """Equal parts with the same fault and the same readings as one, in order."""
    found: dict[tuple[object, ...], Symptom] = {}
    for symptom in symptoms:
        readings = tuple((c.expected.where, c.expected.selected, f"{c.found:.2g}") for c in symptom.changes)
        key = (symptom.fault.name, "".join(c for c in symptom.fault.refs[0] if c.isalpha()), readings)
        if key in found:
            first = found[key]
            refs = (*first.fault.refs, *symptom.fault.refs)
            found[key] = replace(first, fault=replace(first.fault, refs=refs))
        else:
            found[key] = symptom
    return tuple(found.values())

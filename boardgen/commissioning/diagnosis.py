"""Plants every common fault, one at a time, and finds which readings a person would see change."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.radio import RadioChange, radio_changes
from boardgen.commissioning.strip_readings import Change, StripReadings
from boardgen.kinds.fault import Fault
from boardgen.spec.strip import Strip

if TYPE_CHECKING:
    from boardgen.rf.network import Network


class Symptom(Struct, frozen=True):
    """A fault with the readings it changes, on a meter and by radio; none of either where nothing simple shows it."""

    fault: Fault
    changes: tuple[Change, ...]
    radio: tuple[RadioChange, ...]


def kinds_of_strip(bench: Bench) -> tuple[tuple[Strip, ...], ...]:
    """Fitted antennas whose parts and readings are alike, together."""
    found: dict[tuple[object, ...], list[Strip]] = {}
    for strip in bench.request.antennas:
        if strip.fitted:
            parts = tuple(
                (c.part.key, replace(c.subject, strip="")) for c in bench.fitted if c.subject.strip == strip.label
            )
            found.setdefault(parts, []).append(strip)
    return tuple(map(tuple, found.values()))


def symptoms(test: StripReadings, faults: Sequence[Fault], network: Network) -> tuple[Symptom, ...]:
    """Each fault planted by itself, read as that antenna's test reads; `network` is the board at radio frequencies."""
    band = test.bench.request.spec.band
    radio = radio_changes(test.bench, network, test.strip.label, faults, (band.lowest, band.highest))
    return tuple(Symptom(f, test.under(f), heard) for f, heard in zip(faults, radio, strict=True))


def alike(found: Sequence[Symptom]) -> tuple[Symptom, ...]:
    """Equal parts with the same fault and the same readings as one, in order."""
    joined: dict[tuple[object, ...], Symptom] = {}
    for one in found:
        meter = tuple((c.expected.where, c.expected.selection, f"{c.found:.2g}") for c in one.changes)
        radio = tuple((c.quantity, c.at_hz, round(c.found_db)) for c in one.radio)
        key = (one.fault.name, one.fault.refs[0].rstrip("0123456789"), meter, radio)
        before = joined.get(key)
        refs = (*before.fault.refs, *one.fault.refs) if before else one.fault.refs
        joined[key] = replace(before or one, fault=replace(one.fault, refs=refs))
    return tuple(joined.values())

"""How a fault of a station is found: by what is heard, by the current of the supply, or with a meter."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from boardgen.spec import quantity
from boardgen.station.faults import Kind
from boardgen.station.proof import FaultEffect

METER: Final[Mapping[Kind, str]] = {
    "open conductor": "ohms from end to end of the conductor: open",
    "open return": "both plugs off: ohms of this conductor against its mates from end to end",
    "open diode": "meter on its diode range across it: open both ways",
    "shorted diode": "meter on its diode range across it: 0 V both ways",
    "shorted conductors": "both plugs off: ohms between the two, which should read open",
    "crossed conductors": "both plugs off: ohms from each terminal to the end that bears its name",
    "plugs A and B": "hold both plugs side by side, clips down: the colours must be in one order",
    "wet terminal": "plug off at the source: ohms between the two, which should read open; dry the box and look again",
    "welded output": "cables off, output off: ohms across its contact, which should read open",
}
"""What an ohmmeter or a look tells, with the fuse out, where nothing else does."""


def found_by(fault: FaultEffect, blows_a: float) -> str:
    """The first sign of a fault, and what the meter then tells; the fuse blows for certain above `blows_a`."""
    current = ammeter(fault, blows_a)
    return "; ".join([*_heard(fault), *([current] if current else []), f"fuse out, {METER[fault.kind]}"])


def _heard(fault: FaultEffect) -> list[str]:
    """A relay that is silent where it should click, or clicks where it should not."""
    silent = next((r for r in fault.wrong if r.verdict == "fails to operate"), None)
    extra = next((r for r in fault.wrong if r.verdict == "operates unwanted"), None)
    late = next((r for r in fault.wrong if r.verdict == "may not release"), None)
    found = []
    if silent is not None:
        found.append(f"with {silent.case} on, {silent.at} {'is not heard' if silent.at.ref else 'has no volts'}")
    if extra is not None:
        found.append(f"with {extra.case} on, {extra.at} {'is heard too' if extra.at.ref else 'has volts'}")
    if late is not None and not found:
        found.append(f"going to {late.case}, {late.at} may stay {'pulled in' if late.at.ref else 'on'}")
    return found


def ammeter(fault: FaultEffect, blows_a: float) -> str:
    """What an ammeter in the supply tells, "" for nothing."""
    if fault.most_a > blows_a:
        return "the fuse blows"
    if fault.sign is None or not fault.sign.shows:
        return ""
    sound, now = (quantity.format(round(max(a, 0.0), 5), "A", 2) for a in (fault.sign.sound_a, fault.sign.fault_a))
    return f"with {fault.sign.case} on the supply gives {now}, not {sound}"

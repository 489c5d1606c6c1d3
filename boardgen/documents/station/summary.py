"""What a station says when it is done, in lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from boardgen.documents.counted import counted
from boardgen.station.assemble import spare
from boardgen.station.budget import Path
from boardgen.station.reach import Reach
from boardgen.station.steering import outputs_needed
from boardgen.station_design import StationDesign


def lines(design: StationDesign) -> list[tuple[str, str]]:
    """Heading and text of each line of the summary."""
    steering, source = design.station.steering, design.plan.source
    kind = "positions" if design.source.is_switch else "outputs"
    needed = outputs_needed(steering, design.source)
    others = {rest: len(s.diodes) for rest, s in design.steerings.items() if rest != steering.wanted.rest}
    compared = "; ".join(f'{n} with "{rest}" at rest' for rest, n in others.items())
    diodes = f"{len(steering.diodes)} of {design.diode.number}" if steering.diodes else "none"
    return [
        (
            "station",
            f"{counted(len(design.boxes), 'box', 'boxes')}, {counted(len(design.plan.direction), 'direction')}",
        ),
        ("source", f"{needed} of {source.outputs} {kind}, at most {design.proof.most_a * 1e3:.0f} mA"),
        ("at rest", f'the feeder of "{steering.wanted.rest}" is through, nothing is energised'),
        ("diodes", f"{diodes}{f' ({compared})' if compared else ''}"),
        *_least(design),
        *(("cable", _cable(design, name, reach)) for name, reach in design.reaches.items()),
        ("faults", _faults(design)),
        *(("path", words) for words in _paths(design.paths)),
    ]


def _paths(paths: Iterable[Path]) -> Iterator[str]:
    """A line for all directions whose paths mean the same, with the first of them."""
    alike: dict[str, list[str]] = {}
    for path in paths:
        alike.setdefault(path.meaning, []).append(path.direction)
    for meaning, (first, *others) in alike.items():
        yield f"{first}{f' and {len(others)} more' if others else ''}: {meaning}"


def _least(design: StationDesign) -> list[tuple[str, str]]:
    """The relay with the least to spare while wanted, and that which gets most while not."""
    readings = design.proof.readings
    rows = []
    for heading, wanted in (("wanted", True), ("unwanted", False)):
        found = [r for r in readings if r.wanted == wanted]
        if found:
            r = min(found, key=lambda r: r.rank_v)
            limit = f"{r.needed_v:.2f} V needed" if wanted else f"{r.most_v:.2f} V allowed"
            words = f'{r.volts + 0.0:.2f} V at {r.at} with "{r.case}" on, {r.corner}; {limit}'
            rows.append((heading, f"{'at least' if wanted else 'at most'} {words}"))
    return rows


def _cable(design: StationDesign, name: str, reach: Reach) -> str:
    length = design.boxes[name].spec.control.length
    free = spare(design.station.cables[name].conductors)
    if reach.longest_m == 0:
        return f"{name}: {length:g} m asked for, not even a short one would work"
    gauge = f", {reach.thinnest_awg} AWG would do" if reach.thinnest_awg is not None else ""
    spares = counted(free, "spare conductor")
    return f"{name}: {length:g} m asked for, up to {reach.longest_m:.0f} m would work{gauge}; {spares}"


def _faults(design: StationDesign) -> str:
    found = design.proof.faults
    wrong = [f for f in found if f.wrong]
    unwanted = sum(any(r.verdict == "operates unwanted" for r in f.wrong) for f in wrong)
    return (
        f"{len(found)} single faults tried in every state: {len(found) - len(wrong)} do nothing, "
        f"{unwanted} work a wrong relay: faults.csv"
    )

"""What a station says when it is done: as lines and as a JSON document."""

from __future__ import annotations

from boardgen.documents import problems
from boardgen.station.assemble import spare
from boardgen.station.reach import Reach
from boardgen.station.steering import outputs_needed
from boardgen.station_design import StationDesign

SCHEMA = "boardgen station 1"


def values(design: StationDesign) -> dict[str, object]:
    """What was worked out for the station, as plain data."""
    steering = design.station.steering
    return {
        "schema": SCHEMA,
        "title": design.plan.title,
        "revision": design.plan.revision,
        "rest": steering.wanted.rest,
        "outputs": outputs_needed(steering, design.source),
        "diodes": len(steering.diodes),
        "diodes_by_rest": {rest: len(s.diodes) for rest, s in design.steerings.items()},
        "boxes": [_box(design, name) for name in design.boxes],
        "relays": _relays(design),
        "source_a": round(design.proof.most_a, 4),
        "fuse_a": design.fuse.figures["rated current"].value,
        "faults": {"proved": len(design.proof.faults), "with_effect": sum(bool(f.wrong) for f in design.proof.faults)},
        "paths": [
            {"direction": p.direction, "box": p.box, "antenna": p.antenna, "sentence": p.sentence} for p in design.paths
        ],
        "shortfalls": problems.as_json(problems.shortfalls(design.problems)),
        "warnings": problems.as_json(problems.warnings(design.problems)),
    }


def document(design: StationDesign, folder: str, files: list[str]) -> dict[str, object]:
    """The summary as plain data."""
    return {**values(design), "folder": folder, "files": files}


def _box(design: StationDesign, name: str) -> dict[str, object]:
    reach, control = design.reaches[name], design.boxes[name].spec.control
    return {
        "name": name,
        "title": design.boxes[name].spec.title,
        "control_length_m": control.length,
        "longest_control_m": round(reach.longest_m, 1),
        "thinnest_awg": reach.thinnest_awg,
        "spare_conductors": spare(design.station.cables[name].conductors),
    }


def _relays(design: StationDesign) -> list[dict[str, object]]:
    """The least volts of each relay and feed while wanted, and the most while not, with their limits."""
    found: list[dict[str, object]] = []
    for at in dict.fromkeys(r.at for r in design.proof.readings):
        on, off = (design.proof.worst(at, wanted=wanted) for wanted in (True, False))
        found.append(
            {
                "subject": str(at),
                "least_wanted_v": round(on.volts, 3) if on else None,
                "must_operate_v": round(on.needed_v, 3) if on else None,
                "most_unwanted_v": round(off.volts, 3) + 0.0 if off else None,
                "must_release_v": round(off.most_v, 3) if off else None,
            }
        )
    return found


def lines(design: StationDesign) -> list[tuple[str, str]]:
    """Heading and text of each line of the summary."""
    steering, source = design.station.steering, design.plan.source
    kind = "positions" if design.source.is_switch else "outputs"
    needed = outputs_needed(steering, design.source)
    others = {rest: len(s.diodes) for rest, s in design.steerings.items() if rest != steering.wanted.rest}
    compared = "; ".join(f'{n} with "{rest}" at rest' for rest, n in others.items())
    diodes = f"{len(steering.diodes)} of {design.diode.number}" if steering.diodes else "none"
    return [
        ("station", f"{_count(len(design.boxes), 'box', 'boxes')}, {_count(len(design.plan.direction), 'direction')}"),
        ("source", f"{needed} of {source.outputs} {kind}, at most {design.proof.most_a * 1e3:.0f} mA"),
        ("at rest", f'the feeder of "{steering.wanted.rest}" is through, nothing is energised'),
        ("diodes", f"{diodes}{f' ({compared})' if compared else ''}"),
        *_least(design),
        *(("cable", _cable(design, name, reach)) for name, reach in design.reaches.items()),
        ("faults", _faults(design)),
        *(("path", path.sentence) for path in design.paths),
    ]


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
    spares = _count(free, "spare conductor")
    return f"{name}: {length:g} m asked for, up to {reach.longest_m:.0f} m would work{gauge}; {spares}"


def _faults(design: StationDesign) -> str:
    found = design.proof.faults
    wrong = [f for f in found if f.wrong]
    unwanted = sum(any(r.verdict == "operates unwanted" for r in f.wrong) for f in wrong)
    return (
        f"{len(found)} single faults tried in every state: {len(found) - len(wrong)} do nothing, "
        f"{unwanted} work a wrong relay: faults.csv"
    )


def _count(number: int, one: str, many: str = "") -> str:
    return f"{number} {one}" if number == 1 else f"{number} {many or one + 's'}"

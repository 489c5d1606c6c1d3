"""station.json, and what `station` says when it is done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Annotated

from msgspec import UNSET, UnsetType

from boardgen.documents.json import document
from boardgen.documents.json.document import Problem, Record, says
from boardgen.model import problem
from boardgen.station.assemble import spare
from boardgen.station.steering import outputs_needed
from boardgen.station_design import StationDesign


class Box(Record, frozen=True):
    """A box and its control cable."""

    name: str
    title: str
    control_length_m: float
    longest_control_m: Annotated[float, says("Up to where its relays would still work.")]
    thinnest_awg: Annotated[int | None, says("The thinnest wire that would do at its length.")]
    spare_conductors: int


class Relay(Record, frozen=True):
    """The least volts of a relay or feed while wanted, and the most while not, with their limits."""

    subject: str
    least_wanted_v: float | None
    must_operate_v: float | None
    most_unwanted_v: float | None
    must_release_v: float | None


class SingleFaults(Record, frozen=True):
    """Single faults that were tried in every state."""

    proved: int
    with_effect: Annotated[int, says("Those that work a wrong relay.")]


class Path(Record, frozen=True):
    """The path of a direction in a sentence."""

    direction: str
    box: str
    antenna: str
    sentence: str


class Station(Record, frozen=True, tag_field="schema", tag="boardgen station 1"):
    """What was worked out for a station."""

    title: str
    revision: str
    rest: Annotated[str, says("The box whose feeder is through at rest.")]
    outputs: Annotated[int, says("Outputs that are needed.")]
    diodes: int
    diodes_by_rest: Annotated[Mapping[str, int], says("Diodes with each of the boxes at rest.")]
    boxes: tuple[Box, ...]
    relays: tuple[Relay, ...]
    source_a: Annotated[float, says("The most current from the source.")]
    fuse_a: float
    faults: SingleFaults
    paths: tuple[Path, ...]
    shortfalls: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    folder: Annotated[str | UnsetType, says("Where the files were written.")] = UNSET
    files: tuple[str, ...] | UnsetType = UNSET


def station_document(
    design: StationDesign,
    found: Iterable[problem.Problem] | None = None,
    folder: str | UnsetType = UNSET,
    files: Sequence[str] | UnsetType = UNSET,
) -> Station:
    """`found` is what falls short or should be known: by itself that of the station alone."""
    steering, found = design.station.steering, design.problems if found is None else tuple(found)
    faults = design.proof.faults
    return Station(
        title=design.plan.title,
        revision=design.plan.revision,
        rest=steering.wanted.rest,
        outputs=outputs_needed(steering, design.source),
        diodes=len(steering.diodes),
        diodes_by_rest={rest: len(s.diodes) for rest, s in design.steerings.items()},
        boxes=tuple(_box(design, name) for name in design.boxes),
        relays=tuple(_relays(design)),
        source_a=round(design.proof.most_a, 4),
        fuse_a=design.fuse.figures["rated current"].value,
        faults=SingleFaults(len(faults), sum(bool(f.wrong) for f in faults)),
        paths=tuple(Path(p.direction, p.box, p.antenna, p.sentence) for p in design.paths),
        shortfalls=document.shortfalls(found),
        warnings=document.warnings(found),
        folder=folder,
        files=UNSET if isinstance(files, UnsetType) else tuple(files),
    )


def _box(design: StationDesign, name: str) -> Box:
    reach, control = design.reaches[name], design.boxes[name].spec.control
    return Box(
        name=name,
        title=design.boxes[name].spec.title,
        control_length_m=control.length,
        longest_control_m=round(reach.longest_m, 1),
        thinnest_awg=reach.thinnest_awg,
        spare_conductors=spare(design.station.cables[name].conductors),
    )


def _relays(design: StationDesign) -> Iterable[Relay]:
    for at in dict.fromkeys(r.at for r in design.proof.readings):
        on, off = (design.proof.worst(at, wanted=wanted) for wanted in (True, False))
        yield Relay(
            subject=str(at),
            least_wanted_v=round(on.volts, 3) if on else None,
            must_operate_v=round(on.needed_v, 3) if on else None,
            most_unwanted_v=round(off.volts, 3) + 0.0 if off else None,
            must_release_v=round(off.most_v, 3) if off else None,
        )

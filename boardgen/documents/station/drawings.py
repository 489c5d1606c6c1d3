"""The three drawings of a station, from what was worked out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from boardgen.documents.identity import named
from boardgen.documents.station.antenna_plan import Arm, antenna_plan
from boardgen.documents.station.overview import BoxSeen, overview
from boardgen.documents.station.source import Source
from boardgen.documents.station.wiring_diagram import Column, Field, Foot, Joint, Row, wiring_diagram
from boardgen.documents.text import Value, plain
from boardgen.spec.label import folder_name
from boardgen.station.conductors import Conductor
from boardgen.station.consistency import split
from boardgen.station.faults import place_text
from boardgen.station.steering import Joint as Steered
from boardgen.station.steering import Output
from boardgen.station.wanted import Load

OVERVIEW, DIRECTIONS = "station-overview.svg", "station-directions.svg"


def wiring_name(box: str) -> str:
    """The file of the sheet that shows what works a box."""
    return f"station-wiring-{folder_name(box) or 'box'}.svg"


def drawings(source: Source) -> dict[str, str]:
    """The drawings by file name."""
    title = source.plan.title
    return {
        OVERVIEW: overview(
            f"{title}: overview", _boxes(source), _source_words(source), source.station.selector is not None
        ),
        DIRECTIONS: antenna_plan(f"{title}: directions", _arms(source)),
        **{
            wiring_name(box.name): wiring_diagram(f"{title}: wiring of {box.name}", _fields(source, box.name))
            for box in source.plan.box
        },
    }


def _boxes(source: Source) -> tuple[BoxSeen, ...]:
    rest = source.station.steering.wanted.rest
    return tuple(
        BoxSeen(
            box.name,
            tuple(_antenna(source, f"{box.name}/{a.label}") for a in source.specs[box.name].antenna),
            feeder_words(source, box.name),
            f"control: {plain(control_words(source, box.name))}",
            box.name == rest,
        )
        for box in source.plan.box
    )


def _antenna(source: Source, antenna: str) -> str:
    """An antenna with the remotes up its coax."""
    remotes = [r.name for r in source.plan.remote if split(r.antenna) == split(antenna)]
    return ", ".join([split(antenna)[1], *remotes])


def feeder_words(source: Source, box: str) -> str:
    """The main coax of a box."""
    feeder = source.specs[box].feeder
    return f"{feeder.cable or 'feeder, no cable named'}, {source.say.far(feeder.length)}"


def control_words(source: Source, box: str) -> tuple[str, Value]:
    """The control cable of a box."""
    control = source.specs[box].control
    several = f"{control.cables} cables of " if control.cables > 1 else ""
    length = Value(named("box", box, "control length"), source.say.far(control.length))
    return f"{several}{control.conductors} conductors of {control.cable.text}, ", length


def _source_words(source: Source) -> str:
    outputs = source.plan.source.outputs
    kind = f"manual switch of {outputs} positions" if source.is_switch else f"{outputs} {source.outputs_words}"
    return f"{kind}, {source.supply.words}"


def _arms(source: Source) -> list[Arm]:
    return [
        Arm(
            row.direction,
            row.bearing_deg,
            row.box,
            row.selected + (f", {row.remote}" if row.remote else ""),
        )
        for row in source.table.rows
    ]


def _fields(source: Source, box: str) -> list[Field]:
    """What works one box, on a sheet of its own: at the source, and where diodes sit in the boxes, in the box."""
    steering = source.station.steering
    joints = [j for j in steering.joints if j.load.box == box]
    numbers = {j.output for j in joints} | {c.output for c in source.station.cables[box].conductors if c.output}
    rows = tuple(Row(o.number, _row_words(source, o, box)) for o in steering.outputs if o.number in numbers)
    supply = f"plus of {source.supply.words}, through {source.fuse}; minus is the 0V of every cable"
    if source.sinks:
        supply = f"minus of {source.supply.words}; plus, through {source.fuse}, is the coil supply of every cable"
    feeders = tuple(load for load in steering.wanted.every if load.kind == "feeder" and load.box == box)
    feet = [_selector(source, feeders)] if feeders else []
    if not source.station.in_boxes:
        drawn = tuple(_joint(source, j) for j in joints)
        title = "At the source: contacts, steering, and where each line ends"
        return [Field(title, rows, (_foot(source, box), *feet), drawn, supply=supply, sinks=source.sinks)]
    own = [c for c in source.station.cables[box].conductors if c.output]
    columns = tuple(Column(f"{box} {c.output}", (place_text(c), c.what)) for c in own)
    feet.append(Foot(f"cable to {box}", columns, _notes(source, box)))
    at_source = [_joint(source, j) for j in joints if j.load.kind == "feeder"]
    at_source += [Joint(c.output, f"{box} {c.output}", diode=False) for c in own]
    title = "At the source: contacts, and the conductors they feed"
    return [
        Field(title, rows, tuple(feet), tuple(at_source), supply=supply, sinks=source.sinks),
        _box_field(source, box),
    ]


def _row_words(source: Source, output: Output, box: str) -> str:
    """An output with its directions in this box, and the other boxes to which its point of the source leads too."""
    through = source.station.steering.wanted.through
    own = [direction for direction in output.directions if through(direction) == box]
    others = dict.fromkeys(load.box for load in output.works if load.box != box)
    also = f" (also to {', '.join(others)})" if others else ""
    return f"{_way(source, output)}: {', '.join(own)}{also}"


def _joint(source: Source, joint: Steered) -> Joint:
    return Joint(joint.output, str(joint.load), joint.diode, source.diodes.get(joint, ""))


def _way(source: Source, output: Output) -> str:
    """An output by its number; of a switch also where its contacts are."""
    if not source.is_switch:
        return f"{source.way} {output.number}"
    steering = source.station.steering
    found = sorted({steering.positions[direction][output.switch - 1] for direction in output.directions})
    pole = f"pole {output.pole}, " if source.plan.source.poles > 1 else ""
    name = f"{source.switch_names[output.switch - 1]} " if len(source.switch_names) > 1 else ""
    return f"{source.way} {output.number}, {name}{pole}{'position' if len(found) == 1 else 'positions'} {runs(found)}"


def runs(numbers: Sequence[int]) -> str:
    """Rising numbers in words: "1, 3 to 5"."""
    found: list[list[int]] = []
    for number in numbers:
        if found and found[-1][-1] == number - 1:
            found[-1].append(number)
        else:
            found.append([number])
    words = [", ".join(str(n) for n in run) if len(run) < 3 else f"{run[0]} to {run[-1]}" for run in found]
    return ", ".join(words)


def _box_field(source: Source, box: str) -> Field:
    own = [c for c in source.station.cables[box].conductors if c.output]
    joints = [j for j in source.station.steering.joints if j.load.box == box and j.load.kind != "feeder"]
    loads = sorted({j.load for j in joints})
    columns = tuple(Column(str(load), (f"terminal {load.kind} {load.strip}".strip(),)) for load in loads)
    rows = tuple(Row(c.output, f"{place_text(c)}: {source.way} {c.output}") for c in own)
    drawn = tuple(_joint(source, j) for j in joints)
    returns = [c for c in source.station.cables[box].conductors if c.is_return]
    foot = Foot(f"box {box}", columns, tuple(_listed("terminal 0V", returns)))
    return Field(
        f"In the box {box}: steering before the terminals", rows, (foot,), drawn, switched=False, sinks=source.sinks
    )


def _foot(source: Source, box: str) -> Foot:
    columns = tuple(
        Column(str(c.loads[0]), (place_text(c), _carries(source, box, c)))
        for c in source.station.cables[box].conductors
        if c.loads
    )
    return Foot(f"box {box}", columns, _notes(source, box))


def _carries(source: Source, box: str, conductor: Conductor) -> str:
    """What a conductor carries; of a feed also the remotes that it works up the coax."""
    fed = {(load.box, load.strip) for load in conductor.loads if load.kind == "feed"}
    at = [(r.name, split(r.antenna)) for r in source.plan.remote]
    remotes = [name for name, (at_box, strip) in at if at_box == box and fed & {(box, strip), (box, "")}]
    return ", ".join([conductor.what, *remotes])


def _selector(source: Source, feeders: tuple[Load, ...]) -> Foot:
    refs = source.station.selector.refs if source.station.selector else {}
    columns = tuple(Column(str(load), (f"relay {refs[load.box]}", f"select {load.box}")) for load in feeders)
    return Foot(
        "feeder selector", columns, ("0V and coil supply to the source" if source.sinks else "0V to the source",)
    )


def _notes(source: Source, box: str) -> tuple[str, ...]:
    made = source.station.cables[box].conductors
    returns, spares = [c for c in made if c.is_return], [c for c in made if _is_spare(c)]
    plus = [c for c in made if c.is_coil_supply]
    return (*_listed("0V", returns), *_listed("coil supply", plus), *_listed("spare", spares))


def _listed(words: str, found: Sequence[Conductor]) -> Iterator[str]:
    """Colours two a line; where there are none, the numbers in each cable."""
    coloured = [c for c in found if c.place.colour]
    for n in range(0, len(coloured), 2):
        yield f"{words}: {', '.join(place_text(c) for c in coloured[n : n + 2])}"
    for cable in dict.fromkeys(c.place.cable for c in found if not c.place.colour):
        numbers = sorted(c.place.position for c in found if c.place.cable == cable and not c.place.colour)
        of = f" of cable {cable}" if cable > 1 else ""
        yield f"{words}: {'conductor' if len(numbers) == 1 else 'conductors'} {runs(numbers)}{of}"


def _is_spare(conductor: Conductor) -> bool:
    return not conductor.net

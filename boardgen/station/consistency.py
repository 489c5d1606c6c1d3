"""Checks between keys of a plan, and between a plan and the specifications of its boxes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, Literal

from boardgen.spec import quantity
from boardgen.spec.faults import Fault, KeyPath
from boardgen.spec.keys import Antenna, Spec
from boardgen.spec.label import ascii_name
from boardgen.station.keys import Plan
from boardgen.tables.shown import shown

GENERATED = "generated"
"""Asks for a selector that is worked out from the plan."""
SELECTOR: Final = "selector"
"""The name of the selector's board in the station; no box bears it."""
RESERVED = (SELECTOR, "source", "rest")
"""Names that no box may have, in small letters."""
_CLASS = 0.25
"""Coil voltages within this share of each other can have one supply."""
LEAST_SUPPLY_V = 3.0
"""As of control.supply of a board."""


def split(antenna: str) -> tuple[str, str]:
    """Box and label of "dune/north-east"; the label is empty where there is no slash."""
    box, _, label = antenna.partition("/")
    return box.strip(" "), label.strip(" ")


def inconsistencies(plan: Plan) -> list[Fault]:
    """The faults of a plan whose keys are each in order."""
    checks = (
        _box_names,
        _reserved,
        _rest,
        _direction_labels,
        _remote_names,
        _known_remotes,
        _known_boxes,
        _pairs,
        _source,
    )
    return [fault for check in checks for fault in check(plan)]


def _twice(table: str, key: str, names: list[str], kind: str) -> Iterator[Fault]:
    by_name: dict[str, int] = {}
    for at, name in enumerate(names):
        plain = ascii_name(name, at + 1).casefold()
        first = by_name.setdefault(plain, at)
        if first != at:
            same = names[first].casefold() == name.casefold()
            found = f"{shown(name)} is also the {key} of {table} {first + 1}"
            unlike = f"{shown(name)} becomes {shown(plain)} in plain letters, as {table} {first + 1} does"
            yield Fault(
                f"P020 {kind} used twice",
                ((table, at, key), (table, first, key)),
                found if same else unlike,
                f"give each {table} its own {key}; capitals and accents do not count",
            )


def _box_names(plan: Plan) -> Iterator[Fault]:
    yield from _twice("box", "name", [box.name for box in plan.box], "name")


def _reserved(plan: Plan) -> Iterator[Fault]:
    for at, box in enumerate(plan.box):
        if ascii_name(box.name, at + 1).casefold() in RESERVED:
            found = f"{shown(box.name)} stands for another part of the station"
            yield Fault("P019 reserved name", (("box", at, "name"),), found, "choose another name")


def _direction_labels(plan: Plan) -> Iterator[Fault]:
    yield from _twice("direction", "label", [d.label for d in plan.direction], "label")


def _remote_names(plan: Plan) -> Iterator[Fault]:
    yield from _twice("remote", "name", [r.name for r in plan.remote], "name")


def _rest(plan: Plan) -> Iterator[Fault]:
    names = [box.name for box in plan.box]
    rest = plan.receiver.rest
    key: KeyPath = ("receiver", "rest")
    if rest is not None and rest not in names:
        yield Fault("P021 unknown box", (key,), f"there is no box {shown(rest)}", _boxes(names))
    for at, box in enumerate(plan.box):
        here: KeyPath = ("box", at, "rest")
        if box.rest is False and rest == box.name:
            yield Fault("P022 rest", (here, key), f"receiver.rest is {shown(rest)}, whose box has rest = false")
        elif box.rest and rest not in (None, box.name):
            yield Fault(
                "P022 rest", (here, key), f"{shown(box.name)} has rest = true, but receiver.rest is {shown(rest)}"
            )
    claimed = [at for at, box in enumerate(plan.box) if box.rest]
    for at in claimed[1:]:
        found = f"{shown(plan.box[at].name)} and {shown(plan.box[claimed[0]].name)} both have rest = true"
        yield Fault("P022 rest", (("box", at, "rest"),), found, "one feeder alone is through at rest")
    if all(box.rest is False for box in plan.box):
        found = "every box has rest = false, so that no feeder could be through at rest"
        yield Fault("P022 rest", (("box", 0, "rest"),), found, "leave it out of one box at least")


def _known_remotes(plan: Plan) -> Iterator[Fault]:
    names = [r.name for r in plan.remote]
    for at, direction in enumerate(plan.direction):
        if direction.remote is not None and direction.remote not in names:
            known = f"known are {', '.join(shown(n) for n in names)}" if names else "no [[remote]] is written yet"
            found = f"there is no remote {shown(direction.remote)}"
            yield Fault("P023 unknown remote", (("direction", at, "remote"),), found, known)


def _antennas(plan: Plan) -> Iterator[tuple[KeyPath, str]]:
    yield from ((("direction", at, "antenna"), d.antenna) for at, d in enumerate(plan.direction))
    yield from ((("direction", at, "beside"), d.beside) for at, d in enumerate(plan.direction) if d.beside is not None)
    yield from ((("remote", at, "antenna"), r.antenna) for at, r in enumerate(plan.remote))


def _known_boxes(plan: Plan) -> Iterator[Fault]:
    names = [box.name for box in plan.box]
    for key, antenna in _antennas(plan):
        box, label = split(antenna)
        if not label:
            wanted = f'write box and antenna, such as "{names[0]}/north"'
            yield Fault("P024 antenna", (key,), f"{shown(antenna)} names no box and antenna", wanted)
        elif box not in names:
            yield Fault("P021 unknown box", (key,), f"there is no box {shown(box)}", _boxes(names))


def _pairs(plan: Plan) -> Iterator[Fault]:
    """The two antennas of a pair are two, in one box."""
    for at, direction in enumerate(plan.direction):
        if direction.beside is None:
            continue
        (box, label), (other_box, other) = split(direction.antenna), split(direction.beside)
        key: tuple[KeyPath, ...] = (("direction", at, "beside"),)
        if box != other_box:
            found = f"{shown(direction.beside)} is not in the box of {shown(direction.antenna)}"
            yield Fault("P038 pair", key, found, "one feeder is through at a time: name an antenna of the same box")
        elif label == other:
            yield Fault("P038 pair", key, f"{shown(direction.beside)} is the antenna itself", "name another, or none")


def _source(plan: Plan) -> Iterator[Fault]:
    source = plan.source
    if source.kind == "manual switch" and source.together:
        found = "a switch has one position on at a time"
        yield Fault(
            "P025 source", (("source", "together"),), found, "leave together out, or give the switch more poles"
        )
    if source.kind not in ("high-side driver", "open drain") and source.leakage:
        found = "a contact that is open lets nothing through"
        yield Fault("P025 source", (("source", "leakage"),), found, 'leave it out, or set kind = "high-side driver"')
    if source.kind != "manual switch" and not source.off_position:
        found = "outputs have no position for off"
        yield Fault("P025 source", (("source", "off_position"),), found, "leave it out: all outputs off is off")
    if source.kind != "manual switch" and source.switches != "one":
        found = "only manual switches are several"
        yield Fault("P025 source", (("source", "switches"),), found, 'leave it out, or set kind = "manual switch"')
    elif source.switches != "one" and (source.poles != 1 or len(plan.box) == 1):
        found = "several switches have one pole each, and choose among several boxes"
        yield Fault("P025 source", (("source", "switches"),), found, "leave switches or poles out")
    if source.kind != "manual switch" and source.poles != 1:
        found = "poles are those of a manual switch"
        yield Fault("P025 source", (("source", "poles"),), found, 'leave poles out, or set kind = "manual switch"')
    if source.supply.low - source.drop < LEAST_SUPPLY_V:
        found = f"{source.drop:g} V of the supply of {source.supply.low:g} V and more are lost in the source"
        wanted = f"at least {LEAST_SUPPLY_V:g} V must be left: take a higher supply, or a source that loses less"
        yield Fault("P025 source", (("source", "drop"),), found, wanted)


def _boxes(names: list[str]) -> str:
    return f"the boxes are {', '.join(shown(name) for name in names)}"


def between_files(plan: Plan, specs: Mapping[str, Spec]) -> list[Fault]:
    """The faults between a plan and the specifications that could be read, by box."""
    checks = (_known_antennas, _remote_feeds, _following, _drive, _returns, _coils)
    return [fault for check in checks for fault in check(plan, specs)]


def antenna_of(specs: Mapping[str, Spec], antenna: str) -> Antenna | None:
    """The antenna named "box/label", or None."""
    box, label = split(antenna)
    known = specs[box].antenna if box in specs else ()
    return next((a for a in known if a.label == label), None)


def _known_antennas(plan: Plan, specs: Mapping[str, Spec]) -> Iterator[Fault]:
    for key, name in _antennas(plan):
        box, label = split(name)
        if box not in specs or not label:
            continue
        antenna = antenna_of(specs, name)
        if antenna is None:
            wanted = f"it has {', '.join(shown(a.label) for a in specs[box].antenna)}"
            yield Fault("P026 unknown antenna", (key,), f"the box {shown(box)} has no antenna {shown(label)}", wanted)
        elif not antenna.fitted:
            found = f"the parts of {shown(label)} are not fitted in the box {shown(box)}"
            yield Fault("P026 unknown antenna", (key,), found, "set fitted = true there, or choose another antenna")


def _remote_feeds(plan: Plan, specs: Mapping[str, Spec]) -> Iterator[Fault]:
    fed: dict[str, int] = {}
    for at, remote in enumerate(plan.remote):
        antenna = antenna_of(specs, remote.antenna)
        key: KeyPath = ("remote", at, "antenna")
        if antenna is not None and antenna.feed is None:
            found = f"no feed goes up the coax of {shown(remote.antenna)}"
            yield Fault("P027 no feed", (key,), found, 'write feed = "12 V 60 mA" at that antenna of the box')
        first = fed.setdefault("/".join(split(remote.antenna)), at)
        if first != at:
            found = f"{shown(remote.antenna)} already feeds {shown(plan.remote[first].name)}"
            yield Fault("P027 no feed", (key,), found, "one feed goes up a coax: name one remote for it")


def _following(plan: Plan, specs: Mapping[str, Spec]) -> Iterator[Fault]:
    """A feed that follows the selection cannot be off while its antenna is selected."""
    remotes = {"/".join(split(r.antenna)): r.name for r in plan.remote}
    for at, direction in enumerate(plan.direction):
        box, label = split(direction.antenna)
        own = [f"{box}/{label}"] + (["/".join(split(direction.beside))] if direction.beside else [])
        name = next((remotes[antenna] for antenna in own if remotes.get(antenna) not in (None, direction.remote)), None)
        following = box in specs and specs[box].switching.feed_lines == "with selection"
        if following and name is not None:
            found = f"{shown(name)} is always on there: the feeds of {shown(box)} follow the selection"
            wanted = 'set feed_lines = "own" in the specification of the box, or name the remote here'
            yield Fault("P028 feed follows", (("direction", at, "remote"),), found, wanted)


def _drive(plan: Plan, specs: Mapping[str, Spec]) -> Iterator[Fault]:
    drive = drive_of(plan)
    for at, box in enumerate(plan.box):
        spec = specs.get(box.name)
        if spec is None:
            continue
        if spec.control.drive != drive:
            found = f"{shown(box.name)} is driven on the {spec.control.drive}"
            wanted = f'the source switches the {drive} of its coils: set drive = "{drive}" in its specification'
            yield Fault("P029 drive", (("box", at, "spec"),), found, wanted)
        elif drive == "low side" and any(a.feed for a in spec.antenna):
            found = f"{shown(box.name)} feeds antennas, and open-drain outputs give no volts"
            wanted = 'leave the feeds out of its specification, or take a source of kind = "high-side driver"'
            yield Fault("P029 drive", (("box", at, "spec"),), found, wanted)


def drive_of(plan: Plan) -> Literal["high side", "low side"]:
    """Which end of the coils the source switches."""
    return "low side" if plan.source.kind == "open drain" else "high side"


def _returns(plan: Plan, specs: Mapping[str, Spec]) -> Iterator[Fault]:
    for at, box in enumerate(plan.box):
        if box.name not in specs:
            continue
        own = specs[box.name].control
        conductors = box.control.conductors or own.conductors
        there = conductors * (box.control.cables or own.cables)
        returns = box.control.returns or own.returns
        if returns >= there:
            found = f"{returns} returns take all {there} conductors"
            yield Fault("P030 no conductor left", (("box", at, "control"),), found, "leave one at least for a relay")


def _coils(plan: Plan, specs: Mapping[str, Spec]) -> Iterator[Fault]:
    coils = {box.name: specs[box.name].control.coil for box in plan.box if box.name in specs}
    for at, box in enumerate(plan.box):
        volt = coils.get(box.name)
        lowest = min(coils.values(), default=0.0)
        if volt is not None and volt > (1 + _CLASS) * lowest:
            here, there = quantity.format(volt, "V"), quantity.format(lowest, "V")
            found = f"the coils of {shown(box.name)} take {here}, others {there}"
            yield Fault(
                "P031 coils", (("box", at, "spec"),), found, "one supply works them all: take relays of one voltage"
            )


def selector_faults(plan: Plan, spec: Spec, rest: str) -> list[Fault]:
    """What keeps a selector of the user's own from serving this plan: a port for each box, and that at rest."""
    key: tuple[KeyPath, ...] = (("receiver", "selector"),)
    ports, boxes = [a.label for a in spec.antenna], [box.name for box in plan.box]
    found = []
    if sorted(ports) != sorted(boxes):
        text = f"the selector has the ports {', '.join(map(shown, ports))}"
        wanted = f"give it one for each box: {', '.join(map(shown, boxes))}"
        found.append(Fault("P035 selector ports", key, text, wanted))
    if spec.control.drive != drive_of(plan):
        text = f"the selector is driven on the {spec.control.drive}"
        found.append(Fault("P029 drive", key, text, f'set drive = "{drive_of(plan)}" in its specification'))
    if spec.switching.rest != rest:
        at_rest = "no port" if spec.switching.rest is None else shown(spec.switching.rest)
        text = f"the selector leads {at_rest} through at rest, the plan the feeder of {shown(rest)}"
        found.append(Fault("P036 selector rest", (*key, ("receiver", "rest")), text, "name the same box in both"))
    return found

"""Selection: what is on for each direction, which diodes steer, how a manual switch is wired."""

from __future__ import annotations

from boardgen.documents.counted import counted
from boardgen.documents.page.blocks import Block, Column, Group, Picture, Section, Table, Terms, Words
from boardgen.documents.pictures.sheets import whole
from boardgen.documents.station.drawings import DIRECTIONS, runs, wiring_name
from boardgen.documents.station.source import Source
from boardgen.documents.text import Code, Text, in_row
from boardgen.station.faults import place_text
from boardgen.station.interlock import RELEASE_MS, barred, groups, most_at_once
from boardgen.station.manual_switch import Contact, contacts
from boardgen.station.steering import Joint

SHEET_MM = 179.0
"""Of an A4 sheet between its margins."""


def section(source: Source, drawn: dict[str, str]) -> Section:
    """The table, and the picture of the directions."""
    shows = "Directions with their bearings, north up: " + ", ".join(
        f"{r.direction} {r.bearing_deg:g} degrees" for r in source.table.rows
    )
    rest = f"Nothing on: no antenna, the feeder of {source.table.rest} is through."
    blocks: tuple[Block, ...] = (
        Words(rest),
        _table(source),
        Picture(drawn[DIRECTIONS], shows, "Directions, north up"),
    )
    do = "Print this table and keep it beside the receiver: what is on for each direction, and what must then be live."
    return Section("selection", "Selection table", do, blocks)


def _table(source: Source) -> Table:
    columns = (
        Column("Direction"), Column("Position" if source.is_switch else "Outputs on", "number"), Column("Antenna"),
        Column("Box, feeder"), Column("Relays energised"), Column("Feeds on"), Column("Live conductors"),
    )  # fmt: skip
    rows = [("at rest", "0" if source.is_switch else "none", "none", source.table.rest, "none", "none", "none")]
    for row in source.table.rows:
        fed = in_row(f"{box}/{label}" for box, label in row.fed)
        rows.append(
            (
                row.direction,
                source.chosen(row),
                row.selected + (f" with {row.remote}" if row.remote else ""),
                row.feeder,
                ", ".join(r.ref if r.board == row.box else f"{r.board} {r.ref}" for r in row.relays)
                + (f"; idle: {', '.join(f'{r.board} {r.ref}' for r in row.along)}" if row.along else ""),
                fed or "none",
                ", ".join(place_text(c) if box == row.box else f"{box}: {place_text(c)}" for box, c in row.live)
                or "none",
            )
        )
    return Table("Every direction", columns, rows)


def wiring(source: Source, drawn: dict[str, str]) -> Section:
    """The diagram, the diodes one by one, and the switch."""
    count = len(source.diodes)
    also = " and to the selector" if source.station.selector else ""
    where = "in the boxes, before the terminals" if source.station.in_boxes else "at the source"
    facts: list[tuple[str, Text]] = [
        ("supply", (source.supply, ", fused at the source: ", Code(source.fuse))),
        ("one fuse", "it stands for the fuses that the books of the boards name, which are left out in a station"),
        (
            "diodes",
            f"{count} of {source.station.diode.name}, {where}" if count else "none: no output works a line of another",
        ),
        ("0V", f"minus of the supply, to the 0V conductors of every cable{also}"),
        *((("coil supply", f"the fused plus, to that conductor of every cable{also}"),) if source.sinks else ()),
    ]
    blocks: list[Block] = [
        Terms(tuple(facts)),
        *(_sheet(source, drawn, box.name) for box in source.plan.box),
        Group("Joint by joint", (_joints(source),)),
    ]
    blocks.append(_switch(source) if source.is_switch else _interlock(source))
    do = "Wire by the drawing, tick each joint in the table, and test every output with a meter before cables go on."
    return Section("wiring", "Wiring at the source", do, tuple(blocks))


def _sheet(source: Source, drawn: dict[str, str], box: str) -> Picture:
    """What works one box, on paper in its own size where it fits the sheet."""
    svg = drawn[wiring_name(box)]
    return Picture(svg, _shows(source, box), f"Wiring of {box}", paper_mm=min(SHEET_MM, whole(svg).wide_mm))


def _shows(source: Source, box: str) -> str:
    own = [(j, name) for j, name in source.diodes.items() if j.load.box == box]
    diodes = ", ".join(f"{name} from {source.way} {j.output} to {j.load}" for j, name in own)
    return f"Rows are the {source.way}s of the source, columns the lines. " + (
        f"Diodes: {diodes}." if diodes else "No diodes."
    )


def _joints(source: Source) -> Table:
    columns = (Column("", "tick"), Column(source.way.capitalize(), "number"), Column("Line"), Column("Joined by"))
    rows = [
        (f"{source.way} {j.output} to {j.load}", str(j.output), str(j.load), _by(source, j))
        for j in source.station.steering.joints
    ]
    return Table("Every joint", columns, rows)


def _by(source: Source, joint: Joint) -> str:
    name = source.diodes.get(joint)
    return "wire" if name is None else f"diode {name}, its band towards the {source.way if source.sinks else 'line'}"


def _interlock(source: Source) -> Group:
    """Which outputs bar each other; a switch has one position at a time by itself."""
    steering = source.station.steering
    pairs, most = barred(steering), most_at_once(steering)
    words = (
        f"At most {counted(most, 'output is', 'outputs are')} on at once. {counted(len(pairs), 'pair')} of outputs "
        "must never be on together, not even while one takes over from the other: of the antennas of a box one output "
        f"at a time, and of the feeders one row. Release first, wait {RELEASE_MS} ms (assumed), then operate. Every "
        "pair stands in never-together.csv and, as the rule a controller is to keep, in selection.json: no diode can "
        "keep it."
    )
    rows = [(what, runs([o.number for o in own])) for what, own in groups(steering).items()]
    table = Table("Outputs that bar each other", (Column("One at a time"), Column("Outputs")), rows)
    return Group("Never together", (Words(words), table) if rows else (Words(words),))


def _switch(source: Source) -> Group:
    made = contacts(source.station.steering)
    poles = source.plan.source.poles
    of = "1 pole" if poles == 1 else f"{poles} poles"
    several = len(source.switch_names)
    off = (
        "a position with nothing on it is off."
        if source.plan.source.off_position
        else "it has no off: a switch of its own in the supply is the off."
    )
    words = (
        f"{'A rotary switch' if several == 1 else f'{several} rotary switches, each'} of {of} and "
        f"{source.plan.source.outputs} positions, break before make, rated 30 V and the current of the fuse. The wiper "
        f"of each pole goes to the fused plus; {off}"
    )
    if source.plan.source.switches == "one a box":
        words += " Turn every other switch to off before one is turned on: two would join two feeders."
    columns = (
        Column("", "tick"), Column("Position", "number"), Column("Pole", "number"), Column("Contact", "number"),
        Column("Directions"), Column("Goes to"),
    )  # fmt: skip
    rows = [
        (
            f"{source.switch_names[c.switch - 1]} position {c.position} pole {c.pole}",
            str(c.position) if several == 1 else f"{source.switch_names[c.switch - 1]} {c.position}",
            str(c.pole),
            str(_number(source, c)),
            ", ".join(c.directions),
            _goes(source, c),
        )
        for c in made
    ]
    return Group("The manual switch", (Words(words), Table("Contacts of the switch", columns, rows)))


def _number(source: Source, contact: Contact) -> int:
    """What the drawing and the cable sheets call it; contacts that are joined are one."""
    direction = contact.directions[0]
    outputs = source.station.steering.outputs
    own = (o for o in outputs if (o.switch, o.pole) == (contact.switch, contact.pole))
    return next(o.number for o in own if direction in o.directions)


def _goes(source: Source, contact: Contact) -> str:
    if contact.bridged:
        return f"joined to position {contact.bridged} of this pole"
    return ", ".join(f"{j.load} by {source.diodes.get(j, 'wire')}" for j in contact.joints)

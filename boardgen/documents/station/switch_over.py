"""The way from a manual switch to relay outputs: what is used again, what is taken out, what each output takes over."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from boardgen.documents.counted import counted
from boardgen.documents.page.blocks import Block, Column, Section, Table, Terms
from boardgen.documents.station.source import Source
from boardgen.station.manual_switch import contacts
from boardgen.station.steering import Steering, steer


class Takeover(Struct, frozen=True):
    """An output, the loads it works, the directions for which it is on, and the contacts that it replaces.

    A contact is its switch, position and pole.
    """

    output: int
    works: tuple[str, ...]
    directions: tuple[str, ...]
    contacts: tuple[tuple[int, int, int], ...]


class SwitchOver(Struct, frozen=True):
    """Steering by relay outputs in the place of a switch, and how many diodes are used again, missing or left over."""

    steering: Steering
    takeovers: tuple[Takeover, ...]
    kept: int
    wanted: int
    left: int


def switch_over(source: Source) -> SwitchOver:
    """One output on at a time, as the switch had one position: the same lines, and the same feeder at rest."""
    old = source.station.steering
    own = replace(source.design.source, is_switch=False, together=False, poles=1, switches="one")
    new = steer(old.wanted, own)
    by_direction: dict[str, list[tuple[int, int, int]]] = {}
    for contact in contacts(old):
        for direction in contact.directions:
            by_direction.setdefault(direction, []).append((contact.switch, contact.position, contact.pole))
    takeovers = tuple(
        Takeover(
            output.number,
            tuple(str(load) for load in output.works),
            output.directions,
            tuple(dict.fromkeys(c for direction in output.directions for c in by_direction[direction])),
        )
        for output in new.outputs
    )
    have, need = len(old.diodes), len(new.diodes)
    return SwitchOver(new, takeovers, min(have, need), max(0, need - have), max(0, have - need))


def section(source: Source) -> Section:
    """What stays, what is new, and output by output what it takes over."""
    plan = switch_over(source)
    outputs = counted(len(plan.takeovers), "output")
    fresh = f", {counted(plan.wanted, 'more is', 'more are')} wanted" if plan.wanted else ""
    spare = f", {counted(plan.left, 'is', 'are')} left over" if plan.left else ""
    facts = (
        (
            "used again",
            "boxes, feeder selector, every cable with its plugs, the supply, its fuse, the lines as they end",
        ),
        ("diodes", f"{plan.kept} of {len(source.diodes)} used again{fresh}{spare}"),
        ("new", f"relay contacts with {outputs}, one on at a time, each from the fused plus to its lines"),
        ("taken out", "the rotary switch; keep it wired to a plug, and the station has a second control at hand"),
    )
    columns = (
        Column("", "tick"), Column("Output", "number"), Column("Takes over position, pole"), Column("Works"),
        Column("Joined by"), Column("Directions"),
    )  # fmt: skip
    rows = [
        (
            f"output {t.output} moved",
            str(t.output),
            "; ".join(f"{_named(source, switch)}{position}, {pole}" for switch, position, pole in t.contacts),
            ", ".join(t.works),
            _joined(plan.steering, t.output),
            ", ".join(t.directions),
        )
        for t in plan.takeovers
    ]
    blocks: tuple[Block, ...] = (Terms(facts), Table("Output by output", columns, rows))
    do = (
        'Should relay outputs take over one day, set kind = "relay outputs" in the plan and rewire the source by this '
        "table; nothing changes in the field."
    )
    return Section("switch-over", "From the switch to relay outputs", do, blocks)


def _named(source: Source, switch: int) -> str:
    return f"{source.switch_names[switch - 1]} " if len(source.switch_names) > 1 else ""


def _joined(steering: Steering, output: int) -> str:
    return ", ".join(f"{'diode' if j.diode else 'wire'} to {j.load}" for j in steering.joints if j.output == output)

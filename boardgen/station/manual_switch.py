"""The wiring of manual switches: which line each contact of each position goes to, and where its diodes go."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from boardgen.station.steering import Joint, Steering, Switches


class Contact(Struct, frozen=True):
    """A contact of a switch: its switch, position and pole from 1, and the directions that it serves.

    `joints` are the wires and diodes from it to the lines. Where another contact of the pole is to be joined to it,
    `bridged` is the position of the first of them, and the joints are those of that contact.
    """

    switch: int
    position: int
    pole: int
    directions: tuple[str, ...]
    joints: tuple[Joint, ...]
    bridged: int


def contacts(steering: Steering) -> tuple[Contact, ...]:
    """Every contact that works something, switch by switch; the wiper of each pole goes to the supply."""
    served: dict[tuple[int, int, int], list[str]] = {}
    for output in steering.outputs:
        for direction in output.directions:
            position = steering.positions[direction][output.switch - 1]
            served.setdefault((output.switch, position, output.number), []).append(direction)
    found = []
    first: dict[int, int] = {}
    by_number = {output.number: output for output in steering.outputs}
    for (switch, position, number), directions in sorted(served.items()):
        bridged = first.setdefault(number, position)
        joints = tuple(j for j in steering.joints if j.output == number)
        pole = by_number[number].pole
        found.append(Contact(switch, position, pole, tuple(directions), joints, 0 if bridged == position else bridged))
    return tuple(found)


def positions_in_words(names: Sequence[str], positions: Sequence[int]) -> str:
    """What a direction asks of the switches: "3", or each by its name: "antenna 3, box 2", off ones left out."""
    if len(positions) == 1:
        return str(positions[0])
    return ", ".join(f"{name} {position}" for name, position in zip(names, positions, strict=True) if position)


def switch_names(steering: Steering, switches: Switches) -> tuple[str, ...]:
    """What each switch is called."""
    if switches == "one":
        return ("switch",)
    if switches == "two":
        return ("antenna", "box")
    return tuple(dict.fromkeys(steering.wanted.through(direction) for direction in steering.wanted.loads))

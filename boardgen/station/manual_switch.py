"""The wiring of a manual switch: which line each contact of each position goes to, and where its diodes go."""

from __future__ import annotations

from msgspec import Struct

from boardgen.station.steering import Joint, Steering
from boardgen.station.table import positions


class Contact(Struct, frozen=True):
    """A contact of a switch: its position and pole from 1, and the directions that it serves.

    `joints` are the wires and diodes from it to the lines. Where another contact of the pole is to be joined to it,
    `bridged` is the position of the first of them, and the joints are those of that contact.
    """

    position: int
    pole: int
    directions: tuple[str, ...]
    joints: tuple[Joint, ...]
    bridged: int


def contacts(steering: Steering) -> tuple[Contact, ...]:
    """Every contact that works something, position by position; the wiper of each pole goes to the supply."""
    found = []
    first: dict[int, int] = {}
    for loads, position in positions(steering).items():
        directions = tuple(d for d, wanted in steering.wanted.loads.items() if wanted == loads)
        for output in steering.outputs:
            if directions[0] in output.directions:
                bridged = first.setdefault(output.number, position)
                joints = tuple(j for j in steering.joints if j.output == output.number)
                found.append(Contact(position, output.pole, directions, joints, 0 if bridged == position else bridged))
    return tuple(found)

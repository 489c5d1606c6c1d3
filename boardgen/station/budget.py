"""The path from antenna to receiver: losses, and what they do to the noise floor."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.rf.receive_path import MATTERS_DB, PathPoint, frequencies_hz, path_point
from boardgen.spec import quantity
from boardgen.spec.keys import Spec
from boardgen.station.consistency import split
from boardgen.station.keys import Plan
from boardgen.station.wanted import antennas

if TYPE_CHECKING:
    from boardgen.rf.response import Response

Losses = Mapping[str, tuple[tuple[float, float], ...]]
"""By antenna: frequency in Hz and loss of the board in dB, rising frequencies."""


class Path(Struct, frozen=True):
    """The path of a direction, and what it means in words; no points where the box's feeder has no cable.

    Of two antennas at once it is that of the antenna whose board loses more.
    """

    direction: str
    box: str
    antenna: str
    points: tuple[PathPoint, ...]
    meaning: str

    @property
    def sentence(self) -> str:
        """The direction, and what its path means."""
        return f"{self.direction}: {self.meaning}"


def board_losses(response: Response) -> Losses:
    """The insertion loss of each antenna of a box while it is selected, as predicted."""
    frequencies = [float(f) for f in response.frequency_hz]
    return {
        c.selected: tuple(zip(frequencies, (float(v) for v in c.values), strict=True))
        for c in response.of("insertion loss")
    }


def paths(plan: Plan, specs: Mapping[str, Spec], losses: Mapping[str, Losses]) -> tuple[Path, ...]:
    """The path of every direction; the selector's own loss is not in it."""
    found = []
    for direction in plan.direction:
        box, _ = split(direction.antenna)
        both = [split(antenna)[1] for antenna in antennas(direction)]
        antenna = max(both, key=lambda label: max(loss_db for _, loss_db in losses[box][label]))
        spec = specs[box]
        points = () if spec.feeder.cable is None else _points(spec, losses[box][antenna], direction.gain)
        combined = "; what combines the two antennas is not in it" if points and len(both) > 1 else ""
        found.append(Path(direction.label, box, antenna, points, f"{_meaning(points)}{combined}"))
    return tuple(found)


def _points(spec: Spec, losses: tuple[tuple[float, float], ...], gain_db: float | None) -> tuple[PathPoint, ...]:
    """At each frequency the path with the board's loss nearest to it."""
    return tuple(
        path_point(spec, f, max(0.0, min(losses, key=lambda row: abs(row[0] / f - 1))[1]), gain_db)
        for f in frequencies_hz(spec)
    )


def _meaning(points: tuple[PathPoint, ...]) -> str:
    if not points:
        return "no feeder is named for this box, so that nothing is said of the noise floor"
    worst = max(points, key=lambda point: point.whole_db)
    at = quantity.format(worst.frequency_hz, "Hz", 3)
    if worst.whole_db < MATTERS_DB:
        return f"all to the receiver raises the noise floor by {worst.whole_db:.1f} dB at {at}, not heard"
    most = max(worst.shares_db, key=lambda name: worst.shares_db[name])
    return f"weak signals lose {worst.whole_db:.1f} dB at {at}, {worst.shares_db[most]:.1f} by the {most}"

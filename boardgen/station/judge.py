"""What falls short in a station, in sentences that say what would work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from boardgen.model.problem import Place, Problem
from boardgen.station.board_network import MeterPoint
from boardgen.station.keys import Plan
from boardgen.station.network import Station
from boardgen.station.proof import PointReading, Proof
from boardgen.station.reach import Reach


def judge(plan: Plan, station: Station, proof: Proof, reaches: Mapping[str, Reach]) -> tuple[Problem, ...]:
    """Relays and ports without their volts, relays that work unwanted, what could not be solved or is not steered."""
    return (*_wrong(plan, proof, reaches), *_unsettled(proof), *_not_steered(plan, station))


def _wrong(plan: Plan, proof: Proof, reaches: Mapping[str, Reach]) -> Iterator[Problem]:
    worst: dict[tuple[MeterPoint, bool], PointReading] = {}
    for reading in proof.wrong:
        key = (reading.at, reading.wanted)
        if key not in worst or reading.rank_v < worst[key].rank_v:
            worst[key] = reading
    boxes = {box.name: f"box[{number}].control" for number, box in enumerate(plan.box, 1)}
    for reading in worst.values():
        place = Place(key=boxes.get(reading.at.board, "source.supply"))
        if reading.wanted:
            found = f'{reading.at} is left {reading.volts:.2f} V with "{reading.case}" on, {reading.corner}'
            wanted = f"it needs {reading.needed_v:.2f} V"
            yield Problem(
                "P040 too few volts", "shortfall", place, found, wanted, _offer(reaches.get(reading.at.board))
            )
        else:
            found = f'{reading.at} gets {reading.volts:.2f} V with "{reading.case}" on, {reading.corner}'
            wanted = f"it may not release above {reading.most_v:.2f} V"
            yield Problem("P041 sneak path", "shortfall", place, found, wanted, "Take more returns for this cable.")


def _offer(reach: Reach | None) -> str:
    if reach is None or reach.longest_m == 0:
        return "Not even a cable of no length would do: raise the lowest supply."
    gauge = f", or {reach.thinnest_awg} AWG at this length" if reach.thinnest_awg is not None else ""
    return f"It works up to {reach.longest_m:.0f} m{gauge}. More returns or a higher supply would do too."


def _unsettled(proof: Proof) -> Iterator[Problem]:
    if proof.unsettled:
        found = f"{len(proof.unsettled)} networks could not be solved, the first: {proof.unsettled[0]}"
        yield Problem("P042 not solved", "shortfall", Place(), found, "", "Their states are not proved.")


def _not_steered(plan: Plan, station: Station) -> Iterator[Problem]:
    """Lines of stages, which no direction works."""
    for number, box in enumerate(plan.box, 1):
        for line in station.boards[box.name].netlist.control_lines:
            if not line.selects:
                found = f'"{line.net}" of {box.name} works relays whichever antenna is selected: no direction steers it'
                hint = "Bring a spare conductor to it, from a switch of its own."
                yield Problem("P043 line not steered", "warning", Place(key=f"box[{number}].control"), found, "", hint)

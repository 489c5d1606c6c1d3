"""What falls short in a station, in sentences that say what would work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.sizing.feed_line import highest_feed_v
from boardgen.sizing.relay import borne_v
from boardgen.spec import quantity
from boardgen.spec.keys import Spec
from boardgen.spec.strip import strips
from boardgen.station.board_network import MeterPoint
from boardgen.station.feasible import source_of, switch_offers
from boardgen.station.keys import Plan
from boardgen.station.network import Station
from boardgen.station.proof import Proof
from boardgen.station.reach import Reach
from boardgen.station.readings import PointReading
from boardgen.station.selector_spec import wanted_isolation_db

COMMON_POSITIONS: Final = 12
"""Contacts on a wafer of usual rotary switches (recalled)."""


def judge(plan: Plan, station: Station, proof: Proof, reaches: Mapping[str, Reach]) -> tuple[Problem, ...]:
    """Relays and ports without their volts, relays that work unwanted, what could not be solved or is not steered."""
    return (
        *_wrong(plan, proof, reaches),
        *_unsettled(proof),
        *_not_steered(plan, station),
        *_shared(plan, station),
        *_many_positions(plan, station),
        *_pairs(plan),
    )


def too_many_volts(plan: Plan, boards: Mapping[str, tuple[Part, Spec]]) -> Iterator[Problem]:
    """Relays and fed ports that the highest supply brings more volts than they bear, on a cable of no length.

    `boards` are the relay and the specification of each board by its name.
    """
    supply, hint = plan.source.supply.high, "Lower the supply, or take parts and equipment for it."
    place = Place(key="source.supply")
    for name, (part, spec) in boards.items():
        bears_v = borne_v(part, spec.control.hottest)
        if supply > bears_v:
            found = f"the supply may reach {supply:.1f} V at the coils of {name}"
            wanted = f"{part.number} bears {bears_v:.1f} V at {spec.control.hottest:g} degC"
            yield Problem("P044 too many volts", "shortfall", place, found, wanted, hint)
        for strip in strips(spec):
            if strip.feed and strip.fitted and supply > highest_feed_v(strip.feed):
                found = f"up to {supply:.1f} V arrive at {name} {strip.label} before what is fed draws current"
                wanted = f"at most {highest_feed_v(strip.feed):.1f} V are allowed on {strip.feed.voltage:g} V"
                yield Problem("P044 too many volts", "shortfall", place, found, wanted, hint)


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


def _pairs(plan: Plan) -> Iterator[Problem]:
    """What two antennas on one bus ask of their user."""
    for number, direction in enumerate(plan.direction, 1):
        if direction.beside is not None:
            found = f"{direction.antenna} and {direction.beside} are on one bus with {direction.label} on"
            wanted = "each then loads the other, and what is predicted holds for one alone"
            hint = "Combine them in the box by a combiner of your own, with both antennas at its inputs."
            yield Problem("P047 pair", "warning", Place(key=f"direction[{number}].beside"), found, wanted, hint)


def _many_positions(plan: Plan, station: Station) -> Iterator[Problem]:
    """A switch of more positions than a wafer has."""
    if plan.source.kind == "manual switch" and plan.source.outputs > COMMON_POSITIONS:
        others = list(switch_offers(station.steering, source_of(plan), COMMON_POSITIONS))
        found = f"a rotary switch of {plan.source.outputs} positions is hard to find"
        wanted = f"{COMMON_POSITIONS} a wafer are common"
        hint = f"What would do with {COMMON_POSITIONS}: {', or '.join(others)}." if others else ""
        yield Problem("P048 switch", "warning", Place(key="source.outputs"), found, wanted, hint)


def _shared(plan: Plan, station: Station) -> Iterator[Problem]:
    """What sharing of lines asks of the selector."""
    if station.steering.shares:
        of_switch = bool(station.steering.positions)
        by = "one switch works" if of_switch else f"{len(station.steering.outputs)} outputs work"
        found = f"the boxes share lines: {by} them all"
        kept_db = wanted_isolation_db(plan, shares=True)
        wanted = (
            "an idle box then selects an antenna too, and the feeder selector alone keeps it from the receiver, by "
            f"{kept_db:g} dB or more"
        )
        hint = f"With {'a switch a box' if of_switch else 'an output for each relay'}, idle boxes select none."
        yield Problem("P045 shared lines", "warning", Place(key="source.outputs"), found, wanted, hint)


def too_much_current(plan: Plan, amperes: Mapping[int, float]) -> Iterator[Problem]:
    """Outputs that carry more than they may, by their number."""
    limit_a = plan.source.limit
    over = {number: ampere for number, ampere in amperes.items() if limit_a is not None and ampere > limit_a}
    if limit_a is not None and over:
        number, ampere = max(over.items(), key=lambda row: (round(row[1], 9), -row[0]))
        more = f", and {len(over) - 1} more carry too much" if len(over) > 1 else ""
        found = f"output {number} carries {quantity.format(ampere, 'A', 3)}{more}"
        wanted = f"{quantity.format(limit_a, 'A', 3)} are allowed"
        hint = "Spread what it works over more outputs, or let outputs work relays that carry the current."
        yield Problem("P046 output current", "shortfall", Place(key="source.limit"), found, wanted, hint)


def _not_steered(plan: Plan, station: Station) -> Iterator[Problem]:
    """Lines of stages, which no direction works."""
    for number, box in enumerate(plan.box, 1):
        for line in station.boards[box.name].netlist.control_lines:
            if not line.selects:
                found = f'"{line.net}" of {box.name} works relays whichever antenna is selected: no direction steers it'
                hint = "Bring a spare conductor to it, from a switch of its own."
                yield Problem("P043 line not steered", "warning", Place(key=f"box[{number}].control"), found, "", hint)

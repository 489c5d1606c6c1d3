"""Capacitors across the pair at both ends of transformers, which meet their leakage: low-pass sections of the line.

All of a selected path counts: the sections of both transformers, the strays of ports, relays and bus, and between them
the inductance of contacts and copper. Of the capacitors on offer that are no more than meets the most leakage, those
are taken with which little is reflected where most is: over the top of the band, the range of the leakage, and the ways
from nearest and farthest antenna with theirs. Of those that are about as good, the nearest to half of the leakage at
each end are taken.
Cost: each pair at an antenna with each at the output, some thousand, at 3 frequencies for 3 leakages and 4 ways as one
array: a few milliseconds. The path has no loss, so that both its halves are solved once and then joined.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from itertools import product
from typing import Final

import numpy as np
from msgspec import Struct

from boardgen.handbook.compensation import Array, end_capacitance_f, joined_return_loss_db, ladder_admittance_s
from boardgen.kinds.relay import CONTACT_INDUCTANCE, RELAY, THROUGH
from boardgen.model.choice import Choice, Subject
from boardgen.model.outcome import Outcome, choice, for_strip, shortfall
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.model.transformer import Wound
from boardgen.request import Request, candidates, needed, standing_of
from boardgen.sizing import rules
from boardgen.sizing.assumed_copper import (
    LONG_COPPER,
    PORT_COPPER,
    PORT_PAIR,
    STRIP_COPPER,
    STRIP_PAIR,
    bus_between,
    bus_to_0v,
    run_copper,
)
from boardgen.sizing.preference import preferred
from boardgen.sizing.relay import usable_part
from boardgen.spec import quantity
from boardgen.spec.strip import Strip
from boardgen.stages.braid_breaker import BOARD_END, PORT_END
from boardgen.stages.braid_breaker import NAME as STAGE

LEAST_RETURN_LOSS_DB: Final = 14.0
"""What the leakage of the transformers may leave of the match, anywhere in its range, unless the target asks for less:
design rule of this program."""
BOARD_END_V: Final = 50.0
"""Least rated voltage behind a transformer, which keeps surges of the coax to itself: design rule of this program."""
CENTRE_OF_STEP: Final = 1.12
"""Preferred numbers of twelve a decade miss by no more than this."""
TUBE_F: Final = 1.5e-12
"""Of each electrode of a gas tube to earth: the most of the tube that is taken first (read)."""
NEAR: Final = (0.6, 1.6)
"""Shares of L/(2 Z^2) between which capacitors are tried."""
WEIGHT: Final = 4
"""Power to which reflected power is averaged: near the worst of it, and steady where several are equally bad."""
ENOUGH_DB: Final = 26.0
"""Return loss of the path beyond which more is worth nothing, since the cores themselves leave less."""
SAME_DIGITS: Final = 9
"""Distances are compared to so many digits, so that equal ones are equal on every machine."""
WITHIN_DB: Final = 0.25
"""What a pair may be worse than the best, where it is nearer to half of the leakage at each end."""
TOP_POINTS: Final = (0.5, 0.75, 1.0)
"""Shares of the highest frequency: below, leakage is small."""


class End(Struct, frozen=True):
    """A strip as the path meets it, all as seen from the board's side.

    `leakages_h` are least, stated and most; all zero without a transformer. `ports_f` and `boards_f` are what may be
    fitted at either end of it; `port_f` and `board_f` the strays that lie there already.
    """

    leakages_h: tuple[float, float, float]
    ports_f: tuple[float, ...]
    boards_f: tuple[float, ...]
    port_f: float
    board_f: float


class Fitted(Struct, frozen=True):
    """Positions of the capacitors at port and board, the antenna's first, and the least return loss with them."""

    antenna: tuple[int, int]
    output: tuple[int, int]
    worst_db: float


def compensation(request: Request, wound: Mapping[str, Wound]) -> Mapping[str, Outcome]:
    """The capacitors at both ends of each transformer that is to have them, and what the match is at worst with them.

    `wound` has the transformers by the label of their strip. The output's capacitors are those that suit the first
    antenna with a transformer best; each antenna's then suit the output.
    """
    if not any(one.compensated for one in wound.values()):
        return {}
    output = request.output
    end = _end(request, output, wound.get(output.label))
    first = next((s for s in request.antennas if s.label in wound), request.antennas[0])
    chosen = _best(_end(request, first, wound.get(first.label)), end, *_path(request)).output
    settled = End(end.leakages_h, (end.ports_f[chosen[0]],), (end.boards_f[chosen[1]],), end.port_f, end.board_f)
    found: dict[str, Outcome] = {}
    known: dict[tuple[float, bool], Outcome] = {}
    worst_db = _best(_end(request, first, wound.get(first.label)), settled, *_path(request)).worst_db
    if output.label in wound and wound[output.label].compensated:
        found[output.label] = _outcome(request, output, wound[output.label], chosen, worst_db)
    for strip in request.antennas:
        if strip.label not in wound or not wound[strip.label].compensated:
            continue
        key = (strip.impedance, strip.surge)
        if key in known and not known[key].problems:
            found[strip.label] = for_strip(known[key], strip.label)
        else:
            # a problem names its strip
            fitted = _best(_end(request, strip, wound[strip.label]), settled, *_path(request))
            known[key] = _outcome(request, strip, wound[strip.label], fitted.antenna, fitted.worst_db)
            found[strip.label] = known[key]
    return found


def _outcome(request: Request, strip: Strip, wound: Wound, at: tuple[int, int], worst_db: float) -> Outcome:
    outcome = Outcome()
    for end, place, part_of in (
        (PORT_END, at[0], "leakage of the transformer"),
        (BOARD_END, at[1], "leakage of the transformer, and the way to the output"),
    ):
        part = _offered(request, strip, end, wound)[place]
        capacitance = part.figures["capacitance"]
        most_f = _most_f(request, strip, end, wound)
        alone_f = end_capacitance_f(wound.leakage.value, request.z0_ohm, _ohm(request, strip, end))
        value = choice(
            "compensation capacitor",
            Subject(strip.label, STAGE, end),
            "at most",
            most_f * CENTRE_OF_STEP,
            capacitance.value,
            basis=part_of,
            formula="least reflection of the path where it is most; no more than meets the most leakage",
            source="ladder network of the path; the limit is half a step of preferred numbers",
            standing=standing_of(wound.leakage, capacitance),
            part=part.key,
            next_limit=f"L/(2 Z0 Z_end) by itself is {alone_f * 1e12:.3g} pF",
        )
        problems = () if value.met else (_too_large(value.subject, most_f, part),)
        outcome += Outcome((value,), (part,), problems)
    story = choice(
        "compensated return loss",
        Subject(strip.label, STAGE, "transformer"),
        "at least",
        min(LEAST_RETURN_LOSS_DB, request.spec.targets.return_loss.value),
        worst_db,
        basis="leakage anywhere in its range, nearest and farthest antenna",
        formula="both transformers' series L with C across the line at both ends, strays between",
        source="ladder network of the path",
        standing=wound.leakage.standing,
        at_hz=request.spec.band.highest,
    )
    return outcome + Outcome((story,), (), () if story.met else (_spread_too_wide(story),))


def _ohm(request: Request, strip: Strip, end: str) -> float:
    """The impedance at that end of a transformer."""
    return strip.impedance if end == PORT_END else request.z0_ohm


def _most_f(request: Request, strip: Strip, end: str, wound: Wound) -> float:
    """What meets the most leakage there; an antenna's end on the board also meets the copper to the output."""
    z0 = request.z0_ohm
    way_f = 0.0 if strip.is_output or end == PORT_END else max(_path(request)[0]) / z0**2
    return end_capacitance_f(wound.leakage.most, z0, _ohm(request, strip, end), request.spec.band.highest) + way_f


def _end(request: Request, strip: Strip, wound: Wound | None) -> End:
    """Two strays to 0V, one at each conductor, lie in series across the pair."""
    ratio, stray = strip.impedance / request.z0_ohm, _relay_strays(request)
    copper = LONG_COPPER if strip.is_output else PORT_COPPER
    port_f = ratio * (PORT_PAIR.value + (copper.value + (TUBE_F if strip.surge else 0.0)) / 2)
    if strip.is_output:
        antennas = len(request.antennas)
        # the braid of the bus lies at 0V, or floats
        share = 1.0 if request.spec.switching.bus_braid == "bonded" else 0.5
        each_f = stray["coil to fixed contact capacitance"] + stray[THROUGH]
        board_f = bus_between(antennas).value + share * (bus_to_0v(antennas).value + antennas * each_f)
    else:
        each_f = STRIP_COPPER.value + stray["coil to contact capacitance"]
        board_f = stray["pole to pole capacitance"] + STRIP_PAIR.value + each_f / 2
    if wound is None:
        return End((0.0, 0.0, 0.0), (0.0,), (0.0,), port_f, board_f)
    leakages_h = (wound.leakage.least, wound.leakage.value, wound.leakage.most)
    if not wound.compensated:
        return End(leakages_h, (0.0,), (0.0,), port_f, board_f)
    ports_f, boards_f = (
        tuple(share * _farads(part) for part in _offered(request, strip, end, wound))
        for end, share in ((PORT_END, ratio), (BOARD_END, 1.0))
    )
    return End(leakages_h, ports_f, boards_f, port_f, board_f)


def _path(request: Request) -> tuple[tuple[float, ...], float, float]:
    """Inductances from nearest and farthest antenna to the output with their ranges, impedance, highest frequency."""
    steps = len(request.spec.output.attenuator)
    contacts_h = 2 * (request.spec.switching.relays_in_series + steps) * _relay_strays(request)[CONTACT_INDUCTANCE]
    near, far = run_copper(0, steps), run_copper(len(request.antennas) - 1, steps)
    ways_h = tuple(contacts_h + henry for henry in (near.least, near.value, far.value, far.most))
    return ways_h, request.z0_ohm, request.spec.band.highest


def _relay_strays(request: Request) -> Mapping[str, float]:
    offered = preferred(request, "relay", "relay")
    relay = next((part for part in offered if usable_part(request, part)), offered[0])
    return {name: relay.figures.get(name, figure).value for name, figure in RELAY.assumed.items()}


@functools.lru_cache(256)
def _best(antenna: End, output: End, ways_h: tuple[float, ...], z0: float, highest_hz: float) -> Fitted:
    """The capacitors nearest to half of the leakage at each end with which the path reflects little."""
    frequency = highest_hz * np.array(TOP_POINTS)
    way = np.array(ways_h)[:, None]
    at_bus = _section(output, z0, frequency)
    at_relay = _section(antenna, z0, frequency)
    behind = 1 / (2j * np.pi * frequency * way + 1 / at_relay)
    losses_db = joined_return_loss_db(behind[:, None], at_bus[None]).reshape(len(behind), len(at_bus), -1)
    reflected = np.mean(10 ** (-WEIGHT * np.minimum(losses_db, ENOUGH_DB) / 10), axis=2)
    off = _off(antenna, z0)[:, None] + _off(output, z0)
    off[reflected > reflected.min() * 10 ** (WEIGHT * WITHIN_DB / 10)] = np.inf
    one, other = divmod(int(np.argmin(np.round(off, SAME_DIGITS))), len(at_bus))
    worst_db = float(losses_db[one, other].min())
    return Fitted(divmod(one, len(antenna.boards_f)), divmod(other, len(output.boards_f)), worst_db)


def _off(end: End, z0: float) -> Array:
    """How far each pair of capacitors is from L/(2 Z0^2) at both ends."""
    ideal_f = end.leakages_h[1] / (2 * z0**2)
    pairs = np.array(list(product(end.ports_f, end.boards_f)))
    off: Array = np.sum(np.log(np.where(pairs > 0, pairs, ideal_f or 1.0) / (ideal_f or 1.0)) ** 2, axis=1)
    return off


def _section(end: End, z0: float, frequency_hz: Array) -> Array:
    """Admittance of a strip as the bus sees it, (pairs of capacitors, leakages, 1, frequencies)."""
    pairs = np.array(list(product(end.ports_f, end.boards_f)))[:, :, None, None, None]
    leakage = np.array(end.leakages_h)[:, None, None]
    return ladder_admittance_s([end.port_f + pairs[:, 0], end.board_f + pairs[:, 1]], [leakage], z0, frequency_hz)


def _too_large(subject: Subject, most_f: float, part: Part) -> Problem:
    wanted = quantity.format(most_f, "F", 3)
    found = f"no capacitor on offer that keeps its value is as small as {wanted}; taken is {part.number}"
    return shortfall("V132 compensation", subject, found, "", "Add one to the catalogue, or leave compensation off.")


def _spread_too_wide(story: Choice) -> Problem:
    found = f"leakage may lie so far off that the compensated path alone leaves {story.achieved:.1f} dB return loss"
    hint = "A lower highest frequency, or windings as a pair, spreads less."
    return shortfall("V133 leakage", story.subject, found, f"{story.required:g} dB are wanted", hint)


def _offered(request: Request, strip: Strip, end: str, wound: Wound) -> tuple[Part, ...]:
    """Capacitors that keep their value and bear the voltage, near what the leakage asks and no more than meets the
    most of it; the nearest where none is.
    """
    volts = rules.SURGE_CAPACITOR_V if end == PORT_END and strip.surge else BOARD_END_V
    ideal_f = end_capacitance_f(wound.leakage.value, request.z0_ohm, _ohm(request, strip, end))
    most_f = min(NEAR[1] * ideal_f, CENTRE_OF_STEP * _most_f(request, strip, end, wound))
    steady = [p for p in candidates(request, "capacitor", "") if p.attributes.get("dielectric") == "C0G"]
    offered = [p for p in steady if needed(p, "capacitance", "rated voltage")]
    rated = [p for p in offered if p.figures["rated voltage"].value >= volts] or offered
    near = [p for p in rated if NEAR[0] * ideal_f <= _farads(p) <= most_f]
    return tuple(near or [min(rated, key=lambda p: abs(np.log(_farads(p) / ideal_f)))])


def _farads(part: Part) -> float:
    return part.figures["capacitance"].value

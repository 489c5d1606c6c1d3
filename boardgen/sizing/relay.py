"""The relay: whether it operates at the far end of the cable in every selection state, and what it bears."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Literal

from msgspec import Struct

from boardgen.handbook import coil
from boardgen.model.choice import Choice, Subject
from boardgen.model.figure import Figure
from boardgen.model.outcome import Outcome, choice, shortfall, warning
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.request import Request, needed, standing_of
from boardgen.sizing import rules
from boardgen.sizing.cable import SOURCE, Currents, Loop, feed_currents, hot_ohm_per_m
from boardgen.sizing.preference import preferred
from boardgen.stages.line_nets import Line
from boardgen.stages.lines import lines

SUBJECT = Subject("", "selector", "relay")
ASSUMED_THERMAL_K_PER_W = 150.0
"""Where a sheet gives none: the higher of the figures read for signal relays of this size (125 and 150 K/W)."""
SHEET_C = 20.0
"""Temperature at which sheets state the maximum coil voltage."""
ASSUMED_HIGHEST_C = 70.0
"""Where a sheet gives no highest temperature: the lowest of those read for signal relays."""
CONTACT_ROLES = tuple(f"pole {pole} {end}" for pole in "AB" for end in ("common", "normally closed", "normally open"))
FIGURES = ("coil voltage", "coil resistance", "must operate", "maximum coil voltage")


class Drawn(Struct, frozen=True):
    """What coils and their lamps draw without a cable, in amperes.

    `line` is the most that a single line draws, `whole` what all lines draw that may be live at once: one select line,
    and the line of every stage that has its own.
    """

    line: float
    whole: float


class State(Struct, frozen=True):
    """A line that works relays while every other that may be live with it is: coils on it, and all other currents."""

    name: str
    verb: Literal["selected", "live"]
    coils: int
    currents: Currents
    others_a: float


class Judged(Struct, frozen=True):
    """A relay on this cable: worst voltage at its coil, what it needs there, how long the cable may be.

    `most_v` is what the coil bears at the hottest. `hot` is drawn at the lowest supply and the hottest, where feeds
    have least left; `cold` at the highest supply and the coldest, the most there is.
    """

    part: Part
    coil_c: float
    needed_v: float
    lowest_v: float
    state: State
    highest_v: float
    longest_m: float
    hot: Drawn
    cold: Drawn
    most_v: float

    @property
    def shortage(self) -> float:
        """1 or less where both rules are met."""
        return max(self.needed_v / max(self.lowest_v, 1e-9), self.highest_v / self.most_v)


def relay(request: Request, series_diode: Part | None) -> tuple[Outcome, Judged]:
    """The first relay in order of preference that meets both rules, else the one that misses least.

    Rules: the coil is left with what it must operate at, at the lowest supply and the hottest, on every line that works
    relays while all others are live that may be; the highest supply is within what the coil bears. Source: Ohm's law;
    temperature of the coil: handbook/coil.py.

    Raises
    ------
    InputError
        Where no relay on offer has the coil voltage, a known pin map, all figures, and contacts for small signals.

    """
    offered = preferred(request, "relay", "relay")
    usable = [p for p in offered if usable_part(request, p)]
    if not usable:
        raise InputError([_none_usable(request, offered)])
    judged = [judge(request, part, series_diode) for part in usable]
    best = next((j for j in judged if j.shortage <= 1), None)
    if best is None:
        best = min(judged, key=lambda j: j.shortage)
    return Outcome(_choices(request, best), (best.part,), tuple(_problems(request, best))), best


def usable_part(request: Request, part: Part) -> bool:
    """Whether every figure and pin is known, the coil fits, and the contacts suit small signals."""
    figures = needed(part, *FIGURES)
    if figures is None or not {"coil +", "coil -", *CONTACT_ROLES} <= part.pins.keys():
        return False
    pinned = request.spec.parts.relay == part.key
    return figures[0].value == request.spec.control.coil and (pinned or for_small_signals(part))


def for_small_signals(part: Part) -> bool:
    """Gold-clad or bifurcated contacts stay reliable at microvolts."""
    contacts = part.attributes.get("contacts", "").lower()
    return "gold" in contacts or "bifurcated" in contacts


def judge(request: Request, part: Part, series_diode: Part | None) -> Judged:
    """The relay at the end of the whole cable, on each line that works relays, with all others live that may be."""
    control = request.spec.control
    resistance, must_operate = part.figures["coil resistance"], part.figures["must operate"]
    drop_v = series_diode.figures["forward voltage"].most if series_diode else 0.0
    coil_c = hot_coil_c(request, part, control.supply.low - drop_v)
    needed_v = coil.operate_voltage_at(must_operate.most, coil_c)
    one_coil = coil.resistance_at(resistance.least, coil_c)
    lamp_a = rules.INDICATOR_A if control.indicators else 0.0

    def hot_a(coils: int) -> float:
        return lamp_a + coils * (control.supply.low - drop_v) / one_coil

    def cold_a(coils: int) -> float:
        return lamp_a + coils * control.supply.high / coil.resistance_at(resistance.least, control.coldest)

    states = _states(request, hot_a)
    left_v, longest = [], []
    for state in states:
        loop = _loop(request, one_coil / state.coils, drop_v)
        left_v.append(loop.coil_v(control.supply.low, control.length, state.currents, lamp_a, state.others_a))
        longest.append(loop.longest_m(control.supply.low, needed_v, state.currents, lamp_a, state.others_a))
    lowest_v = min(left_v)
    worst = states[left_v.index(lowest_v)]
    hot, cold = _drawn(request, hot_a), _drawn(request, cold_a)
    return Judged(
        part,
        coil_c,
        needed_v,
        lowest_v,
        worst,
        control.supply.high,
        min(longest),
        hot,
        cold,
        borne_v(part, control.hottest),
    )


def _live(request: Request) -> tuple[list[Line], list[Line]]:
    """The fitted lines of which one at a time is live, and those that may be live beside it and each other."""
    fitted = [line for line in lines(request) if line.works_relays and line.fitted]
    return [line for line in fitted if line.kind == "select"], [line for line in fitted if line.kind != "select"]


def _states(request: Request, drawn_a: Callable[[int], float]) -> list[State]:
    """Each line beside the others that draw most. `drawn_a` is what so many coils draw."""
    select, of_stages = _live(request)
    feeds = feed_currents(request)
    beside_a = sum(drawn_a(line.coils) for line in of_stages)
    states = [State(line.strip, "selected", line.coils, feeds[line.strip], beside_a) for line in select]
    most = max(currents.through_0v for currents in feeds.values())
    selected_a = max(drawn_a(line.coils) for line in select)
    for line in of_stages:
        others_a = selected_a + beside_a - drawn_a(line.coils)
        states.append(State(line.net, "live", line.coils, Currents(0.0, most), others_a))
    return states


def _drawn(request: Request, drawn_a: Callable[[int], float]) -> Drawn:
    select, of_stages = _live(request)
    line_a = max(drawn_a(line.coils) for line in (*select, *of_stages))
    whole_a = max(drawn_a(line.coils) for line in select) + sum(drawn_a(line.coils) for line in of_stages)
    return Drawn(line_a, whole_a)


def hot_coil_c(request: Request, part: Part, volts: float) -> float:
    """Temperature in degC of the energised coil at the hottest, with that voltage across its nominal resistance."""
    thermal = (
        part.figures["thermal resistance"].value if "thermal resistance" in part.figures else ASSUMED_THERMAL_K_PER_W
    )
    power = volts**2 / part.figures["coil resistance"].value
    return coil.coil_temperature(request.spec.control.hottest, thermal, power)


def borne_v(part: Part, hottest_c: float) -> float:
    """The most volts that the coil bears without end in surroundings of `hottest_c`, degrees Celsius.

    The sheet's maximum holds up to 20 degC and the rated voltage at the sheet's highest temperature; between them the
    square of the voltage falls in a straight line, as the heat does that the coil may give off.

    Source: sheets state the maximum at 20 degC alone and draw it falling over temperature; the line is assumed.
    """
    most_v, rated_v = part.figures["maximum coil voltage"].least, part.figures["coil voltage"].value
    highest = part.figure("highest temperature")
    span_k = max((highest.value if highest else ASSUMED_HIGHEST_C) - SHEET_C, 1.0)
    warmth = min(max((hottest_c - SHEET_C) / span_k, 0.0), 1.0)
    return math.sqrt(most_v**2 + warmth * (min(rated_v, most_v) ** 2 - most_v**2))


def _loop(request: Request, coil_ohm: float, drop_v: float) -> Loop:
    """High side: out by the select line, back by 0V. Low side: out by the coil supply, back by the select line."""
    one = hot_ohm_per_m(request)
    returns = one / request.spec.control.returns
    if request.low_side:
        return Loop(one, one, 0.0, coil_ohm, drop_v, common=one)
    return Loop(one, returns, returns, coil_ohm, drop_v, common=returns)


def _choices(request: Request, judged: Judged) -> tuple[Choice, ...]:
    part, control = judged.part, request.spec.control
    figures: tuple[Figure, ...] = (part.figures["coil resistance"], part.figures["must operate"])
    one = hot_ohm_per_m(request)
    loop_ohm = control.length * one * (2 if request.low_side else 1 + 1 / control.returns)
    return (
        choice(
            "relay voltage",
            SUBJECT,
            "at least",
            judged.needed_v,
            judged.lowest_v,
            basis=(
                f'worst state "{judged.state.name}", {control.supply.low:g} V, {control.hottest:g} degC, '
                f"coil at {judged.coil_c:.0f} degC"
            ),
            formula="(V - diode - I_feeds R_0V)/(1 + R_loop/R_coil) against must-operate x R(T)/R(20)",
            source=f"{SOURCE}; resistance of copper over temperature",
            standing=standing_of(*figures),
            part=part.key,
            next_limit=f"cable up to {judged.longest_m:.0f} m",
        ),
        choice(
            "relay",
            SUBJECT,
            "at most",
            judged.most_v,
            judged.highest_v,
            basis=f"highest supply on a short cable, as on the bench, {control.hottest:g} degC",
            formula="V_supply <= sqrt(V_max^2 + (V_rated^2 - V_max^2)(T - 20)/(T_highest - 20))",
            source="the relay's sheet; the fall over temperature is assumed",
            standing="assumed" if control.hottest > SHEET_C else standing_of(part.figures["maximum coil voltage"]),
            part=part.key,
        ),
        choice(
            "control loop resistance",
            SUBJECT,
            "at most",
            loop_ohm * judged.longest_m / control.length,
            loop_ohm,
            basis=f"{control.length:g} m at {control.hottest:g} degC",
            formula="R_select + R_0V / returns, each x (1 + 0.00393 (T - 20))",
            source=SOURCE,
            standing="computed",
            part=part.key,
        ),
    )


def _problems(request: Request, judged: Judged) -> Iterator[Problem]:
    control = request.spec.control
    yield from _temperature(request, judged.part)
    if judged.highest_v > judged.most_v:
        found = f"the supply may reach {judged.highest_v:.1f} V, {judged.part.number} bears {judged.most_v:.1f} V"
        found += f" at {control.hottest:g} degC"
        yield shortfall("V151 coil voltage", SUBJECT, found, "", "Lower the supply or pin another relay.")
    if judged.lowest_v >= judged.needed_v:
        return
    found = (
        f'with "{judged.state.name}" {judged.state.verb} {judged.lowest_v:.2f} V are left at the coil of '
        f"{judged.part.number} over "
        f"{control.length:.0f} m of {control.cable.text}"
    )
    wanted = f"it needs {judged.needed_v:.2f} V with its coil at {judged.coil_c:.0f} degC"
    hint = (
        f"It works up to {judged.longest_m:.0f} m. More returns, thicker conductors, a higher supply, "
        "or feeds on their own pair would do."
        if judged.longest_m
        else "Not even a cable of no length would do: raise the lowest supply."
    )
    yield shortfall("V150 relay voltage", SUBJECT, found, wanted, hint)


def _temperature(request: Request, part: Part) -> Iterator[Problem]:
    """A warning where the surroundings leave the range that the relay's sheet gives."""
    control = request.spec.control
    lowest, highest = part.figure("lowest temperature"), part.figure("highest temperature")
    if highest and control.hottest > highest.value:
        found = f"{part.number} is made for up to {highest.value:g} degC, the hottest is {control.hottest:g} degC"
        yield warning("V153 temperature", SUBJECT, found, "Shade the box, or pin another relay.")
    if lowest and control.coldest < lowest.value:
        found = f"{part.number} is made for down to {lowest.value:g} degC, the coldest is {control.coldest:g} degC"
        yield warning("V153 temperature", SUBJECT, found, "Pin another relay.")


def _none_usable(request: Request, offered: tuple[Part, ...]) -> Problem:
    """Why not a single relay can be taken."""
    volts = request.spec.control.coil
    found = (
        f"no relay on offer has a {volts:g} V coil, a known pin map, all coil figures and contacts for small signals"
    )
    if len(offered) == 1:
        part = offered[0]
        blanks = [name for name in FIGURES if name not in part.figures]
        blanks += [role for role in CONTACT_ROLES if role not in part.pins]
        found = f"{part.number} cannot be used: " + (
            f"not known of it: {', '.join(blanks)}" if blanks else f"its coil is not for {volts:g} V"
        )
    there = sorted({p.figures["coil voltage"].value for p in offered if "coil voltage" in p.figures} - {volts})
    other = f" ({', '.join(f'{v:g} V' for v in there)})" if there else ""
    hint = (
        f"Set control.coil to a voltage on offer{other}, or add the part with its drawing's figures to a folder of "
        "your own."
    )
    return Problem("V152 relay", "error", Place(key="control.coil"), found, "", hint)

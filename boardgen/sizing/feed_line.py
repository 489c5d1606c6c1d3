"""The feed from the source to the port: its fuse, the voltage that arrives, the cable length it allows.

One load stands for what is fed, in sizing, on the board and in a station: it draws the current that the specification
states, as a regulator does, whatever volts it gets from the least that it is allowed on.
"""

from __future__ import annotations

from boardgen.direct_current.elements import Curve
from boardgen.handbook import data_cable
from boardgen.model.choice import Choice, Subject
from boardgen.model.figure import Figure
from boardgen.model.outcome import Outcome, choice, gather, shortfall
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.model.roles import RoleName
from boardgen.request import Request, candidates, figure_order, needed, standing_of
from boardgen.sizing import rules
from boardgen.sizing.cable import SOURCE, feed_currents, hot_ohm_per_m
from boardgen.sizing.relay import Drawn
from boardgen.spec.strip import Strip
from boardgen.spec.values import Feed

FUSE_RATED_C, FUSE_DERATING_PER_K = 23.0, 0.0108
"""Hold current of a resettable fuse is rated at this temperature; the share of it lost for each kelvin above.

Source: Bourns MF-R sheet REV. AL 05/21, MF-R010: 0.10 A at 23, 0.08 at 40, 0.07 at 50, 0.06 at 60, 0.05 at 70 degC.
"""

FLAT_A = 1e-9
"""By how much the current of what is fed rises for a volt more: a curve has to rise."""


def fuses(request: Request) -> Outcome:
    """A resettable fuse for each feed line, or one for a shared line."""
    fed = [s for s in request.strips if s.feed]
    if not fed:
        return Outcome()
    if request.spec.switching.feed_lines == "shared":
        return _fuse(request, "", sum(s.feed.current for s in fed if s.feed and s.fitted))
    return gather(_fuse(request, s.label, s.feed.current) for s in fed if s.feed)


def _fuse(request: Request, owner: str, current: float) -> Outcome:
    subject = Subject(owner, "control entry", "feed fuse")
    factor = max(0.1, 1 - FUSE_DERATING_PER_K * max(0.0, request.spec.control.hottest - FUSE_RATED_C))
    supply = request.spec.control.supply.high
    offered = candidates(request, "fuse", "fuse", figure_order("hold current"))
    known = [p for p in offered if needed(p, "hold current", "rated voltage", "resistance")]
    rated = [p for p in known if p.figures["rated voltage"].value >= supply] or known
    largest = max(rated, key=figure_order("hold current"))
    part = next((p for p in rated if p.figures["hold current"].value * factor >= current), largest)
    hold = part.figures["hold current"]
    value = choice(
        "feed fuse",
        subject,
        "at least",
        current,
        hold.value * factor,
        chosen=hold.value,
        basis=f"hold current at {request.spec.control.hottest:g} degC",
        formula=f"I_hold x (1 - {FUSE_DERATING_PER_K:g} (T - {FUSE_RATED_C:g})) >= feed current",
        source="the fuse's sheet; derating by Bourns MF-R sheet REV. AL 05/21",
        standing="read",
        part=part.key,
    )
    problems: tuple[Problem, ...] = ()
    if not value.met:
        found = f"the largest fuse on offer, {part.number}, holds {value.achieved * 1e3:.0f} mA at the hottest"
        hint = "Give each feed its own line, or lower the feed current."
        problems = (shortfall("V180 feed fuse", subject, found, f"{current * 1e3:.0f} mA are needed", hint),)
    return Outcome((value,), (part,), problems)


def feed_voltages(request: Request, taken: Outcome, coils: Drawn) -> tuple[Outcome, float]:
    """Voltage of each feed at its port, all feeds on, and the greatest length of cable at which all arrive.

    Rule: at least 90 % of what was asked for arrives at the lowest supply and the hottest.

    Parameters
    ----------
    taken
        What was decided for fuses and chokes, whose resistance the feeds pass.
    coils
        What the coils draw beside the feeds.

    Returns
    -------
    outcome, metres
        The length is infinite where there is no feed.

    """
    parts = {part.key: part for part in taken.parts}
    choices = {(c.role, c.subject): parts[c.part] for c in taken.choices if c.part in parts}
    judged = [_judge(request, strip, choices, coils) for strip in request.strips if strip.feed and strip.fitted]
    return gather(outcome for outcome, _ in judged), min((m for _, m in judged), default=float("inf"))


def _judge(
    request: Request, strip: Strip, parts: dict[tuple[RoleName, Subject], Part], coils: Drawn
) -> tuple[Outcome, float]:
    if strip.feed is None:
        raise ValueError("only a strip with a feed has a feed voltage")
    current = strip.feed.current
    fuse, *figures = _in_path(request, strip, parts)
    hot = request.spec.control.hottest
    copper_ohm = sum(data_cable.at_temperature(f.most, hot) for f in figures)
    line_a, return_a = _line_currents(request, strip, coils)
    one, control = hot_ohm_per_m(request), request.spec.control
    per_metre = line_a * one + return_a * one / control.returns
    on_board = current * copper_ohm + _fuse_current(request, current) * fuse.most
    arrives = control.supply.low - on_board - per_metre * control.length
    required = rules.FEED_SHARE * strip.feed.voltage
    subject = Subject(strip.label, "feed", "port")
    value = choice(
        "feed voltage",
        subject,
        "at least",
        required,
        arrives,
        basis=f"all feeds on, lowest supply, {hot:g} degC; asked for {strip.feed.voltage:g} V, "
        f"less {100 * (1 - rules.FEED_SHARE):g} %",
        formula="V - I_line R_line - I_all R_0V/returns - I (R_fuse + R_chokes)",
        source=SOURCE,
        standing=standing_of(fuse, *figures),
    )
    longest = max(0.0, (control.supply.low - on_board - required) / per_metre)
    low = () if value.met else (_problem(request, strip, value, longest),)
    return Outcome((value,), (), low) + _too_high(request, strip, strip.feed), longest


def feed_load(name: str, centre: str, braid: str, feed: Feed) -> Curve:
    """What is fed, as an element between two points: its whole current from the least volts that suffice on.

    Below those it is short of volts already, and stands as the resistance that it then has.
    """
    least_v = rules.FEED_SHARE * feed.voltage
    return Curve(name, centre, braid, ((0.0, 0.0), (least_v, feed.current), (least_v + 1, feed.current + FLAT_A)))


def highest_feed_v(feed: Feed) -> float:
    """The most volts that equipment fed with this takes."""
    return rules.FEED_MOST_SHARE * feed.voltage


def _too_high(request: Request, strip: Strip, feed: Feed) -> Outcome:
    """Of the highest supply, which a port sees on a short cable before what is fed draws current."""
    subject, highest_v = Subject(strip.label, "feed", "port"), request.spec.control.supply.high
    value = choice(
        "highest feed voltage",
        subject,
        "at most",
        highest_feed_v(feed),
        highest_v,
        basis="highest supply on a short cable, before what is fed draws current",
        formula=f"V_supply <= {rules.FEED_MOST_SHARE:g} x the voltage asked for",
        source=f"{rules.DESIGN_RULE}; what equipment takes is assumed",
        standing="assumed",
    )
    if value.met:
        return Outcome((value,))
    found = f"up to {highest_v:.1f} V arrive at the port before what is fed draws current"
    wanted = f"at most {value.required:.1f} V are allowed for equipment of {feed.voltage:g} V"
    hint = "Lower the supply, or ask for what the equipment takes."
    return Outcome((value,), (), (shortfall("V182 feed overvoltage", subject, found, wanted, hint),))


def _in_path(request: Request, strip: Strip, parts: dict[tuple[RoleName, Subject], Part]) -> list[Figure]:
    """The resistances that the feed current passes on the board: fuse first, then chokes out and back."""
    owner = "" if request.spec.switching.feed_lines == "shared" else strip.label
    found = [parts["feed fuse", Subject(owner, "control entry", "feed fuse")].figures["resistance"]]
    for slot in ("centre choke", "supply choke", "braid choke"):
        part = parts.get(("choke", Subject(strip.label, "feed", slot)))
        if part:
            found.append(part.figures["dc resistance"])
    bifilar = parts.get(("choke", Subject(strip.label, "feed", "bifilar choke")))
    return found + ([bifilar.figures["dc resistance"]] * 2 if bifilar else [])


def _fuse_current(request: Request, own: float) -> float:
    if request.spec.switching.feed_lines != "shared":
        return own
    return sum(s.feed.current for s in request.strips if s.feed and s.fitted)


def _line_currents(request: Request, strip: Strip, coils: Drawn) -> tuple[float, float]:
    """Current on the feed's own conductor, and through 0V."""
    states = feed_currents(request)
    follows = request.spec.switching.feed_lines == "with selection" and not strip.is_output
    through = states[strip.label].through_0v if follows else max(c.through_0v for c in states.values())
    own = strip.feed.current if strip.feed else 0.0
    line = _fuse_current(request, own)
    if follows:
        line += coils.line
    return line, through if request.low_side else through + coils.whole


def _problem(request: Request, strip: Strip, value: Choice, longest: float) -> Problem:
    found = f"{value.achieved:.2f} V arrive at the port over {request.spec.control.length:.0f} m"
    wanted = f"{value.required:.2f} V are needed"
    hint = f"It works up to {longest:.0f} m. More returns, thicker conductors or a higher supply would do."
    if not longest:
        hint = "Not even a cable of no length would do: raise the lowest supply, or ask for a lower voltage."
    return shortfall("V181 feed voltage", Subject(strip.label, "feed", "port"), found, wanted, hint)

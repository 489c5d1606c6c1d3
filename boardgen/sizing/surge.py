"""Gas tubes at the ports and from earth to 0V, and suppressors on the lines.

Rules: the lowest spark-over of a tube is at least 1.2 times the direct voltage that it bears; a suppressor stands off
the highest supply. Source: common practice, no source; holdover of tubes: ITU-T K.12 (recalled).
"""

from __future__ import annotations

from boardgen.model.choice import Choice, Subject
from boardgen.model.outcome import Outcome, choice, gather, shortfall, warning
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.model.roles import RoleName
from boardgen.request import Request, candidates, figure_order, needed, standing_of
from boardgen.spec import quantity
from boardgen.spec.strip import Strip

SPARK_RATIO = 1.2
"""Least spark-over of a tube over the direct voltage it bears."""
HOLDOVER_A = 0.2
"""Current at which tubes are commonly tested to let go: ITU-T K.12 (recalled)."""
SOURCE = "lowest spark-over is nominal less tolerance; holdover: ITU-T K.12 (recalled)"


def surge_parts(request: Request) -> Outcome:
    """Tubes of the strips, suppressors of the lines, the tube from earth to 0V."""
    outcomes = [_port_tube(request, strip) for strip in request.strips if strip.surge]
    if request.spec.protection.surge:
        outcomes.append(line_suppressor(request))
    if request.has_earth and request.spec.protection.earth_to_0v == "gas tube":
        outcomes.append(earth_tube(request))
    return gather(outcomes)


def _tubes(request: Request, pin: str, electrodes: str) -> tuple[Part, ...]:
    """Tubes with all figures; those with that number of electrodes first."""
    offered = [p for p in candidates(request, "gas tube", pin) if needed(p, "spark-over voltage")]
    return tuple(sorted(offered, key=lambda p: p.attributes.get("electrodes") != electrodes))


def _tube(role: RoleName, subject: Subject, tubes: tuple[Part, ...], volts: float) -> tuple[Choice, Part]:
    required = SPARK_RATIO * volts
    part = next((p for p in tubes if p.figures["spark-over voltage"].least >= required), tubes[0])
    spark = part.figures["spark-over voltage"]
    value = choice(
        role,
        subject,
        "at least",
        required,
        spark.least,
        chosen=spark.value,
        basis="lowest of tolerance against the highest supply",
        formula=f"nominal less tolerance >= {SPARK_RATIO:g} x direct voltage",
        source=SOURCE,
        standing=standing_of(spark),
        part=part.key,
    )
    return value, part


def _port_tube(request: Request, strip: Strip) -> Outcome:
    """One tube for both conductors, since two seldom fire together and make a common surge a differential one."""
    subject = Subject(strip.label, "surge", "tube")
    volts = request.spec.control.supply.high if strip.feed else 1.0
    value, part = _tube("surge tube", subject, _tubes(request, "surge_tube", "3"), volts)
    problems: list[Problem] = []
    if not value.met:
        found = f"{part.number} may fire at {value.achieved:.0f} V with {volts:.1f} V of feed on the coax"
        problems.append(
            shortfall("V140 spark-over", subject, found, f"{value.required:.0f} V are needed", "Pin a higher tube.")
        )
    if strip.feed and strip.feed.current > HOLDOVER_A:
        asked, limit = (quantity.format(amperes, "A") for amperes in (strip.feed.current, HOLDOVER_A))
        found = f"a feed of {asked} can keep a fired tube lit: tubes let go below {limit}"
        problems.append(
            warning("V141 holdover", subject, found, "Switch the feed off after a storm, or limit its current.")
        )
    return Outcome((value,), (part,), tuple(problems))


def earth_tube(request: Request) -> Outcome:
    """The tube between earth and 0V. Raises InputError where none of two electrodes is on offer."""
    subject = Subject("", "earth", "tube")
    two = tuple(p for p in _tubes(request, "earth_tube", "2") if p.attributes.get("electrodes") == "2")
    if not two:
        place = Place(key="parts.earth_tube")
        found = "from earth to 0V stands a tube with two electrodes; none is on offer"
        raise InputError([Problem("V144 earth tube", "error", place, found, "", "Pin a tube with two electrodes.")])
    value, part = _tube("earth tube", subject, two, request.spec.control.supply.high)
    problems: tuple[Problem, ...] = ()
    if not value.met:
        hint = 'Set protection.earth_to_0v = "linked" or "open", or pin a higher tube.'
        problems = (
            shortfall("V142 earth tube", subject, f"{part.number} may fire at {value.achieved:.0f} V", "", hint),
        )
    return Outcome((value,), (part,), problems)


def line_suppressor(request: Request) -> Outcome:
    """The lowest stand-off that the highest supply does not reach."""
    subject = Subject("", "control entry", "suppressor")
    volts = request.spec.control.supply.high
    offered = candidates(request, "suppressor", "line_suppressor", figure_order("stand-off voltage"))
    known = [p for p in offered if needed(p, "stand-off voltage")]
    highest = max(known, key=figure_order("stand-off voltage"))
    part = next((p for p in known if p.figures["stand-off voltage"].value >= volts), highest)
    stand_off = part.figures["stand-off voltage"]
    value = choice(
        "line suppressor",
        subject,
        "at least",
        volts,
        stand_off.value,
        basis="highest supply",
        formula="stand-off >= highest supply",
        source="common practice, no source",
        standing=standing_of(stand_off),
        part=part.key,
    )
    problems: tuple[Problem, ...] = ()
    if not value.met:
        found = f"{part.number} stands {stand_off.value:.1f} V off, the supply may reach {volts:.1f} V"
        hint = "Lower the supply, or add a higher suppressor to the catalogue."
        problems = (shortfall("V143 suppressor", subject, found, "", hint),)
    return Outcome((value,), (part,), problems)

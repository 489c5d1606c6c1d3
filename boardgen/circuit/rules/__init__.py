"""The rules that every board must meet: each has an id, a severity and a plain sentence for what it finds."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct

from boardgen.circuit.rules import cautions, direct_current, drawn, pins, polarity, ratings, reach
from boardgen.model.netlist import Netlist
from boardgen.model.problem import Place, Problem, Severity
from boardgen.request import Request


class Rule(Struct, frozen=True):
    """`check` yields (where, sentence) for each fault."""

    id: str
    severity: Severity
    check: Callable[[Request, Netlist], Iterable[tuple[str, str]]]


RULES: tuple[Rule, ...] = (
    Rule("C001 pins", "shortfall", pins.every_pin_on_a_net),
    Rule("C002 names", "shortfall", pins.names_are_unique),
    Rule("C003 one driver a coil", "shortfall", polarity.one_driver_a_coil),
    Rule("C004 polarity", "shortfall", polarity.right_way_round),
    Rule("C005 surge parts", "shortfall", polarity.tubes_to_earth),
    Rule("C006 ratings", "shortfall", ratings.within_ratings),
    Rule("C007 feed short", "shortfall", direct_current.no_feed_is_shorted),
    Rule("C008 floating", "shortfall", direct_current.nothing_floats),
    Rule("C009 selected antenna", "shortfall", reach.selected_reaches_output),
    Rule("C010 idle antennas", "shortfall", reach.idle_reach_nothing),
    Rule("C012 drawn", "shortfall", drawn.every_part_is_drawn),
    Rule("C020 braid joined to control cable", "warning", cautions.braid_on_control_cable),
    Rule("C021 not Ethernet", "warning", cautions.jack_is_not_ethernet),
    Rule("C022 label of two things", "warning", cautions.label_is_a_designator),
)


def check(request: Request, netlist: Netlist) -> tuple[Problem, ...]:
    """What every rule finds, in the order of the rules."""
    return tuple(
        Problem(rule.id, rule.severity, Place(key=where), sentence)
        for rule in RULES
        for where, sentence in rule.check(request, netlist)
    )

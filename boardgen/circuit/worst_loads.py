"""What direct current does to each part at its worst: heat in resistors, current through all that is rated for one.

Every line is live at once with the highest supply at the board itself, as on a short cable: each relay is operated and
each feed loaded. It is solved twice, at the hottest and at the coldest, where coils draw most.
Source: the network of direct_current/; ratings by the makers' sheets.
Cost: two solutions of a network with a node for each net.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from boardgen.direct_current.elements import Element, Resistor, VoltageSource
from boardgen.direct_current.network import Network
from boardgen.direct_current.solution import Solution
from boardgen.direct_current.solve import solve
from boardgen.handbook import coil
from boardgen.kinds import kind_of
from boardgen.kinds.direct_current import DirectPart, Warmth
from boardgen.kinds.kind import Without
from boardgen.model.choice import Choice
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component, Netlist
from boardgen.model.outcome import Outcome, choice, shortfall
from boardgen.model.problem import Problem
from boardgen.request import Request
from boardgen.sizing.feed_line import feed_load
from boardgen.stages.lines import lines

POWER, CURRENT = "power", "rated current"
FULL_POWER_C, NO_POWER_C = 70.0, 155.0
"""Up to where a film resistor bears its rated power, and where it bears none: IEC 60115-1, recalled."""
MOST_IN_CORE_A = 1e-3
"""Most direct current through a winding on a signal's core: four turns then magnetise a core of 30 mm path by 0.1 A/m.

A hundredth of what begins to saturate a manganese-zinc ferrite; assumed.
"""
LEAST_TOLD_A = 1e-4
"""Less is leakage of diodes."""
NONE_A = 1e-6
"""Less than this through a core is none."""


class Load(Struct, frozen=True):
    """Most heat in a part, in watts, and most current through any of its windings or junctions, in amperes."""

    watt: float
    ampere: float


def with_worst_loads(request: Request, choices: Choices, netlist: Netlist) -> Choices:
    """The values with what each part bears in the circuit that was built of them."""
    loads = worst_loads(request, choices, netlist)
    return replace(choices, values=choices.values + loads.choices, problems=choices.problems + loads.problems)


def worst_loads(request: Request, choices: Choices, netlist: Netlist) -> Outcome:
    """Heat and current of every fitted part that is rated for one, with what is more than it bears."""
    found = _loads(request, choices, netlist)
    made = [(component, value) for component in netlist.components for value in _choices(request, component, found)]
    problems = [_problem(component, value) for component, value in made if not value.met]
    return Outcome(tuple(value for _, value in made), (), tuple(problems))


def _loads(request: Request, choices: Choices, netlist: Netlist) -> dict[str, Load]:
    """By designator, the worse of both ends of the temperature."""
    control = request.spec.control
    worst: dict[str, Load] = {}
    for celsius in (control.hottest, control.coldest):
        parts = {c.ref: _elements(c, choices, netlist, celsius) for c in netlist.components if c.fitted}
        solution = solve(_network(request, netlist, parts))
        for ref, elements in parts.items():
            one, known = _load(elements, solution), worst.get(ref, Load(0.0, 0.0))
            worst[ref] = Load(max(one.watt, known.watt), max(one.ampere, known.ampere))
    return worst


def _elements(component: Component, choices: Choices, netlist: Netlist, celsius: float) -> tuple[Element, ...]:
    """The part at the least resistance of its tolerance, its junctions and coils at that temperature."""
    kind = kind_of(component.part)
    if isinstance(kind.direct_current, Without):
        return ()
    nets = netlist.pin_nets[component.ref]
    part = DirectPart(component.ref, component, nets, "low", True, choices, Warmth(celsius, "least"))
    found = tuple(kind.direct_current(part))
    if kind.name != "relay":
        return found
    coil_ends = {nets["coil +"], nets["coil -"]}
    return tuple(
        replace(e, ohm=coil.resistance_at(e.ohm, celsius)) if isinstance(e, Resistor) and {*e.ends} == coil_ends else e
        for e in found
    )


def _network(request: Request, netlist: Netlist, parts: dict[str, tuple[Element, ...]]) -> Network:
    """The whole board with its lines live and its feeds loaded."""
    high = request.spec.control.supply.high
    found = [element for elements in parts.values() for element in elements]
    sunk = request.low_side
    for net in dict.fromkeys(line.net for line in lines(request) if line.kind != "0V" and line.fitted):
        is_sunk = sunk and any(line.net == net and line.works_relays for line in lines(request))
        found.append(VoltageSource(f"line {net}", net, "0V", 0.0 if is_sunk else high))
    feeds = {s.label: s.feed for s in request.strips if s.feed and s.fitted}
    for port in netlist.ports:
        feed = feeds.get(port.strip)
        if feed is not None:
            found.append(feed_load(f"{port.ref} load", port.centre, port.braid, feed))
    return Network(tuple(found), "0V", tuple(net.name for net in netlist.nets))


def _load(elements: tuple[Element, ...], solution: Solution) -> Load:
    amperes = [abs(solution.current(e.name)) for e in elements]
    watts = [abs(solution.current(e.name) * solution.volts(*e.ends)) for e in elements if _joined(solution, e)]
    return Load(sum(watts), max(amperes, default=0.0))


def _joined(solution: Solution, element: Element) -> bool:
    """Whether its ends have volts between them at all: an open contact may part the network."""
    one, other = (solution.network.island[end] for end in element.ends)
    return one == other


def _choices(request: Request, component: Component, found: dict[str, Load]) -> Iterator[Choice]:
    """What is held against the ratings of a part's sheet, to six digits, so that equal strips stay equal."""
    part, load = component.part, found.get(component.ref)
    power, current = part.figure(POWER), part.figure(CURRENT)
    hottest = request.spec.control.hottest
    basis = f"every line live at once, highest supply on a short cable, {hottest:g} degC or the coldest"
    if load and power:
        share = min(1.0, max(0.01, (NO_POWER_C - hottest) / (NO_POWER_C - FULL_POWER_C)))
        yield choice(
            "dissipation",
            component.subject,
            "at most",
            power.least * share,
            float(f"{load.watt:.6g}"),
            basis=basis,
            formula=f"V I <= P, P falling from {FULL_POWER_C:g} to {NO_POWER_C:g} degC",
            source="the part's sheet; derating of film resistors: IEC 60115-1 (recalled)",
            standing=power.standing,
            part=part.key,
        )
    if load and part.kind == "core":
        yield choice(
            "direct current",
            component.subject,
            "at most",
            MOST_IN_CORE_A,
            0.0 if load.ampere < NONE_A else float(f"{load.ampere:.6g}"),
            basis=basis,
            formula="H = N I/l: four turns over 30 mm make 0.13 A/m of it; where none flows, no core is magnetised, or "
            "warmer than its surroundings",
            source="a hundredth of what begins to saturate a manganese-zinc ferrite; assumed",
            standing="assumed",
            part=part.key,
        )
    if load and current and load.ampere > LEAST_TOLD_A:
        yield choice(
            "direct current",
            component.subject,
            "at most",
            current.least,
            float(f"{load.ampere:.6g}"),
            basis=basis,
            formula="I <= rated current, at which a choke's core is not saturated and its winding not too warm",
            source="the part's sheet",
            standing=current.standing,
            part=part.key,
        )


def _problem(component: Component, value: Choice) -> Problem:
    if component.part.kind == "core":
        text = f"{value.achieved:.3g} A of direct current flow through a winding of {component.ref}"
        wanted = f"at most {value.required * 1e3:g} mA"
        return shortfall("V191 core", component.subject, text, wanted, "Let a capacitor block it.")
    what = "turns {:.3g} W into heat" if value.role == "dissipation" else "carries {:.3g} A"
    found = f"{component.ref} ({component.part.number}) {what.format(value.achieved)}"
    wanted = f"it bears {value.required:.3g} {value.unit}"
    return shortfall("V190 rating", component.subject, found, wanted, "Lower the supply, or pin a larger part.")

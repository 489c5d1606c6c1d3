"""The specification of the selector: one port for each feeder, that of the rest feeder through at rest.

It is written as a file of its own, so that its keys can be seen and a changed copy named in the plan.
"""

from __future__ import annotations

import json
from collections.abc import Mapping

from boardgen.spec.keys import Spec
from boardgen.station.consistency import drive_of
from boardgen.station.keys import Plan

LENGTH = "2 m"
"""Of the lines to a selector beside the source (assumed)."""
ISOLATION_DB = 40.0
"""Wanted between feeders: the box of an idle feeder has released its antenna, whose own isolation adds to it."""
SHARED_ISOLATION_DB = 50.0
"""The same where boxes share lines and idle ones have antennas selected: far below what any antenna's pattern rejects
(assumed)."""
TITLE = "feeder selector of {}"
MOST_TITLE = 80


def selector_text(plan: Plan, specs: Mapping[str, Spec], rest: str, *, shares: bool) -> str:
    """The specification as TOML, ports in the order of the boxes but for the rest feeder, which comes first.

    `specs` are those of the boxes by name. Band and impedance are the boxes'; supply and drive follow the source.
    `shares` says that boxes share lines, so that idle ones have antennas selected.
    """
    first = next(iter(specs.values()))
    names = [rest, *(box.name for box in plan.box if box.name != rest)]
    ohms = {name: _output_ohm(specs[name]) for name in names}
    lines = [
        f"title    = {_text(selector_title(plan))}",
        f"revision = {_text(plan.revision)}",
        "",
        "[band]                         # what the boxes cover between them",
        f'lowest    = "{min(s.band.lowest for s in specs.values()):.12g} Hz"',
        f'highest   = "{max(s.band.highest for s in specs.values()):.12g} Hz"',
        f'impedance = "{ohms[rest]:.12g} ohm"',
        f"region    = {first.band.region}",
    ]
    for name in names:
        lines += ["", "[[antenna]]                    # the feeder of this box", f"label = {_text(name)}"]
        if ohms[name] != ohms[rest]:
            lines.append(f'impedance = "{ohms[name]:.12g} ohm"')
    supply = plan.source.supply
    low, high = supply.low - plan.source.drop, supply.high - plan.source.drop
    lines += [
        "",
        "[switching]",
        f"rest = {_text(rest)}",
        "",
        "[protection]",
        f'earth_to_0v = "{first.protection.earth_to_0v}"',
        f"reverse     = {str(first.protection.reverse).lower()}",
        "",
        "[control]                      # beside the source",
        f'drive      = "{drive_of(plan)}"',
        f'coil       = "{first.control.coil:.12g} V"',
        f'supply     = "{low:.12g}..{high:.12g} V"',
        f'length     = "{LENGTH}"',
        f"conductors = {max(first.control.conductors, len(names))}",
        f'hottest    = "{max(s.control.hottest for s in specs.values()):.12g} degC"',
        f'coldest    = "{min(s.control.coldest for s in specs.values()):.12g} degC"',
        "",
        "[targets]",
        f'isolation = "{wanted_isolation_db(plan, shares=shares):.12g} dB"',
        "",
        "[order]",
        f'currency = "{first.order.currency}"',
    ]
    return "\n".join(lines) + "\n"


def selector_title(plan: Plan) -> str:
    """What a generated selector is called."""
    return TITLE.format(plan.title)[:MOST_TITLE].strip()


def wanted_isolation_db(plan: Plan, *, shares: bool) -> float:
    """What the selector is to keep between feeders."""
    if plan.receiver.isolation is not None:
        return plan.receiver.isolation
    return SHARED_ISOLATION_DB if shares else ISOLATION_DB


def _output_ohm(spec: Spec) -> float:
    return spec.band.impedance if spec.output.impedance is None else spec.output.impedance


def _text(words: str) -> str:
    """A basic string of TOML: escapes as in JSON, other letters as they are."""
    return json.dumps(words, ensure_ascii=False)

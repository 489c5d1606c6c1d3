"""A relay with its commons towards the output: at rest it leads the pair of the strip before through, else its own."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import INNER, OUTER, RESTING, Use, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.common import drain, placed, two_pin
from boardgen.stages.selector import coil

STAGE = "changeover"


def fitted(request: Request, strip: Strip) -> bool:
    """Every port has one where a port is through at rest; that port's own has no relay."""
    return request.spec.switching.rest is not None and not strip.is_output


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """The relay, the bleeders of the idle pair, and the parts about the coil."""
    bleeders = _bleeders(request, strip, choices)
    if strip.rest:
        return Wiring(bleeders)
    part = choices.part("relay", Subject("", "selector", "relay"))
    plus, minus = coil.nets(request)
    joins = {"coil +": plus, "coil -": minus}
    for index, pole in enumerate("AB"):
        joins[f"pole {pole} common"] = INNER[index]
        joins[f"pole {pole} normally open"] = OUTER[index]
        joins[f"pole {pole} normally closed"] = RESTING[index]
    relay = placed(Subject(strip.label, STAGE, "relay 1"), part, joins)
    about = [*coil.relay_uses(request, strip, choices, 1, STAGE), *coil.line_uses(request, strip, choices, STAGE)]
    return Wiring((relay, *bleeders, *about), INNER)


def _bleeders(request: Request, strip: Strip, choices: Choices) -> tuple[Use, ...]:
    """One on each conductor of the pair; one is enough where a winding joins them."""
    bleeder = choices.part("bleeder", Subject("", "board", "bleeder"))
    drained = OUTER[1:] if strip.braid_breaker else OUTER
    return tuple(
        two_pin(Subject(strip.label, STAGE, f"{net.split()[1]} bleeder"), bleeder, bleeder.value, net, drain(request))
        for net in drained
    )
